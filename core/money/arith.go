package money

import (
	"errors"
	"math/bits"
)

// ErrTooLarge says that a sum or product is beyond Most.
var ErrTooLarge = errors.New("the amount is too large to compute with")

// Most is the largest amount, either way, that is computed with: a billion units of a currency with three decimals, a thousand times.
const Most Amount = 1e15

// million is the denominator of a Rate, thousand that of a Milli.
const (
	million  = 1_000_000
	thousand = 1000
)

// Times gives price x quantity, rounded half away from zero to a whole minor unit.
func Times(price Amount, q Milli) (Amount, error) { return mulDiv(int64(price), int64(q), thousand) }

// Share gives the share of an amount, rounded half away from zero to a whole minor unit.
func Share(a Amount, r Rate) (Amount, error) { return mulDiv(int64(a), int64(r), million) }

// Within gives the share that an amount holds already: a x r / (1 + r), rounded half away from zero. It is the tax in a price that
// includes it.
func Within(a Amount, r Rate) (Amount, error) {
	if r < 0 {
		return 0, errors.New("a rate below 0 can't be included in an amount")
	}
	return mulDiv(int64(a), int64(r), million+int64(r))
}

// Add gives the sum of amounts.
func Add(list ...Amount) (Amount, error) {
	var sum Amount
	for _, a := range list {
		if a > Most || a < -Most {
			return 0, ErrTooLarge
		}
		if sum += a; sum > Most || sum < -Most {
			return 0, ErrTooLarge
		}
	}
	return sum, nil
}

// ToStep gives the multiple of step that is nearest to an amount, half away from zero. A step of 0 or 1 leaves it as it is.
func ToStep(a, step Amount) (Amount, error) {
	if step < 0 {
		return 0, errors.New("a step to round to can't be below 0")
	}
	if step <= 1 {
		return Add(a)
	}
	n, err := mulDiv(int64(a), 1, int64(step))
	if err != nil {
		return 0, err
	}
	return mulDiv(int64(n), int64(step), 1)
}

// mulDiv gives a x b / d, d > 0, rounded half away from zero, with the product in 128 bits.
func mulDiv(a, b, d int64) (Amount, error) {
	negative := (a < 0) != (b < 0)
	hi, lo := bits.Mul64(magnitude(a), magnitude(b))
	lo, carry := bits.Add64(lo, uint64(d)/2, 0)
	hi += carry
	if hi >= uint64(d) {
		return 0, ErrTooLarge
	}
	q, _ := bits.Div64(hi, lo, uint64(d))
	if q > uint64(Most) {
		return 0, ErrTooLarge
	}
	if negative {
		return -Amount(q), nil
	}
	return Amount(q), nil
}

// magnitude gives |x|, of the smallest integer too.
func magnitude(x int64) uint64 {
	if x < 0 {
		return -uint64(x)
	}
	return uint64(x)
}
