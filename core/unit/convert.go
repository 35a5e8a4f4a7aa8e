package unit

import (
	"fmt"
	"math"
	"strconv"
)

// Quantity is a number with its unit. The zero value is the bare number 0.
type Quantity struct {
	Value float64
	Unit  Unit
}

// Convert gives v, in unit from, in unit to. Temperatures are points on the
// scale, not differences. It fails when the units measure different things.
func Convert(v float64, from, to Unit) (float64, error) {
	if from == to && from < numUnits {
		return v, nil
	}
	if !Compatible(from, to) {
		return 0, mismatch(from, to)
	}
	f, t := &defs[from], &defs[to]
	return (v-f.off)*(f.mul*t.div)/(f.div*t.mul) + t.off, nil
}

func mismatch(from, to Unit) error {
	if from == None {
		return fmt.Errorf("a number without a unit can't be turned into %s", describe(to))
	}
	return fmt.Errorf("%s can't be turned into %s: they measure different things", describe(from), describe(to))
}

func describe(u Unit) string {
	if n := u.String(); n != "" {
		return n
	}
	return "a number without a unit"
}

// In gives the quantity in another unit.
func (q Quantity) In(u Unit) (Quantity, error) {
	v, err := Convert(q.Value, q.Unit, u)
	if err != nil {
		return Quantity{}, err
	}
	return Quantity{v, u}, nil
}

// String writes the quantity so that Parse reads exactly it back: the shortest
// decimals that name the number, then the unit's name without a space.
func (q Quantity) String() string {
	text := strconv.FormatFloat(q.Value, 'f', -1, 64)
	if q.Unit == In32 { // a digit must not touch the digits of the name
		text += " "
	}
	return text + q.Unit.String()
}

// Round gives the multiple of step nearest to v, halves away from zero: what a
// gauge with that graduation reads. A step of 0 or less leaves v as it is.
func Round(v, step float64) float64 {
	if !(step > 0) || math.IsInf(step, 1) {
		return v
	}
	// Dividing by a whole number of steps per unit keeps 0.1 * 3 from becoming
	// 0.30000000000000004.
	if per := math.Round(1 / step); per >= 1 && math.Abs(per*step-1) < 1e-9 {
		return finite(math.Round(v*per)/per, v)
	}
	return finite(math.Round(v/step)*step, v)
}

// finite gives r, or v where the rounding overflowed.
func finite(r, v float64) float64 {
	if math.IsInf(r, 0) || math.IsNaN(r) {
		return v
	}
	return r
}

// Decimals gives the number of decimals that a graduation needs: 0 for 1, 1 for
// 0.5, 2 for 0.25. At most 6.
func Decimals(step float64) int {
	scale := 1.0
	for n := range 6 {
		if s := step * scale; math.Abs(s-math.Round(s)) < 1e-9*scale {
			return n
		}
		scale *= 10
	}
	return 6
}
