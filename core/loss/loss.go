// Package loss says how fast a fluid goes, from two looks at its level, with the range that coarse marks leave.
package loss

import (
	"fmt"
	"math"
)

// Rate is a loss in litres per a span, with the range that the marks' coarseness leaves. Least may be below 0: then the
// looks do not prove that anything is lost.
type Rate struct{ Litres, Least, Most float64 }

// Proven says whether something is lost whatever the marks hide.
func (r Rate) Proven() bool { return r.Least > 0 }

// Look is two looks at a level: litres at the first and the last (above any mark that stays the same), what was added
// between them, and how finely the marks can be read, all in litres. Each look may be off by half of that.
type Look struct{ First, Last, Added, Fineness float64 }

// PerThousandKM gives the loss per 1000 km over a distance in km. Both looks on level ground, equally warm.
// Formula: (first - last + added) / km * 1000, plus and minus fineness / km * 1000.
func (l Look) PerThousandKM(km float64) (Rate, error) { return l.per(km, 1000, "km") }

// PerMonth gives the loss per mean month (30.4369 days) over a number of days.
func (l Look) PerMonth(days float64) (Rate, error) { return l.per(days, 365.2425/12, "days") }

func (l Look) per(length, span float64, unit string) (Rate, error) {
	if !(length > 0) || math.IsInf(length, 1) {
		return Rate{}, fmt.Errorf("%v %s is no span to lose anything in", length, unit)
	}
	for _, v := range [2]float64{l.Added, l.Fineness} {
		if !(v >= 0 && v <= 1000) {
			return Rate{}, fmt.Errorf("%v L can neither have been added nor be the step of a mark", v)
		}
	}
	if !(math.Abs(l.First-l.Last) <= 1000) {
		return Rate{}, fmt.Errorf("the levels %v and %v L cannot be right", l.First, l.Last)
	}
	lost, k := l.First-l.Last+l.Added, span/length
	return Rate{lost * k, (lost - l.Fineness) * k, (lost + l.Fineness) * k}, nil
}

// Until gives the distance or the time, in spans of the rate, after which what stands above the lower mark in litres is
// lost: at the likely rate, and at the fastest that the marks allow. Infinite where nothing is lost.
func (r Rate) Until(left float64) (likely, soonest float64, err error) {
	if !(left >= 0 && left <= 1000) {
		return 0, 0, fmt.Errorf("%v L above the lower mark cannot be right", left)
	}
	return spans(left, r.Litres), spans(left, r.Most), nil
}

func spans(left, rate float64) float64 {
	if !(rate > 0) {
		return math.Inf(1)
	}
	return left / rate
}
