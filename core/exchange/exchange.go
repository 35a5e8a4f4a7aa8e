// Package exchange is the sum of part exchanges: a box from which only a part of the fluid can be drained, filled up,
// run until mixed, and drained again.
package exchange

import (
	"fmt"
	"math"
)

// Most is the number of exchanges beyond which nobody goes on; Times refuses more.
const Most = 100

// Left gives the share of old fluid (0 to 1) after a number of exchanges of drain litres out of capacity litres:
// (1 - drain/capacity)^times. The fluid is mixed fully between them; where it is not, more old fluid stays.
func Left(capacity, drain float64, times int) (float64, error) {
	if err := check(capacity, drain); err != nil {
		return 0, err
	}
	if times < 0 || times > Most {
		return 0, fmt.Errorf("%d exchanges cannot be reckoned; expected 0 to %d", times, Most)
	}
	return left(capacity, drain, times), nil
}

// Times gives the fewest exchanges after which no more than a share of old fluid (above 0, up to 1) is left, and the
// share that is then left.
func Times(capacity, drain, share float64) (times int, old float64, err error) {
	if err := check(capacity, drain); err != nil {
		return 0, 0, err
	}
	if !(share > 0 && share <= 1) {
		return 0, 0, fmt.Errorf("a share of %v is never reached by part exchanges; expected above 0 and up to 1", share)
	}
	if drain < capacity {
		// The logarithm finds the place; the step below it decides the rounding.
		n := math.Log(share) / math.Log1p(-drain/capacity)
		if n > Most {
			return 0, 0, fmt.Errorf("it takes more than %d exchanges of %v L", Most, drain)
		}
		times = max(0, int(n)-1)
	}
	for left(capacity, drain, times) > share*(1+1e-12) {
		times++
	}
	if times > Most {
		return 0, 0, fmt.Errorf("it takes more than %d exchanges of %v L", Most, drain)
	}
	return times, left(capacity, drain, times), nil
}

// Litres gives the new fluid that a number of exchanges takes.
func Litres(drain float64, times int) float64 { return drain * float64(times) }

func left(capacity, drain float64, times int) float64 {
	return math.Pow(1-drain/capacity, float64(times))
}

func check(capacity, drain float64) error {
	if !(capacity > 0) || math.IsInf(capacity, 1) {
		return fmt.Errorf("a capacity of %v L is none", capacity)
	}
	if !(drain > 0 && drain <= capacity) {
		return fmt.Errorf("%v L cannot be drained from %v L", drain, capacity)
	}
	return nil
}
