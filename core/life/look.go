package life

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Look is a look, or a group of equal ones, at a life T: exact when Lower equals Upper, left censored (already turned) when Lower
// is 0, right censored (still good) when Upper is +Inf, else known to lie between the two. Count is how many; it must be positive.
// A Look with Lower 0 and Upper +Inf says nothing and is not counted.
type Look struct {
	Lower, Upper float64
	Count        int
}

// Check says what of a look cannot be, with what was expected.
func (l Look) Check() error {
	switch {
	case math.IsNaN(l.Lower) || math.IsNaN(l.Upper):
		return fmt.Errorf("lower %v and upper %v must be numbers", l.Lower, l.Upper)
	case l.Lower < 0 || math.IsInf(l.Lower, 0):
		return fmt.Errorf("lower is %v; expected 0 (already turned) or a positive exposure", l.Lower)
	case l.Upper <= 0:
		return fmt.Errorf("upper is %v; expected a positive exposure, or none (still good)", l.Upper)
	case l.Lower > l.Upper:
		return fmt.Errorf("lower %v is beyond upper %v; expected lower first", l.Lower, l.Upper)
	case l.Count < 1:
		return fmt.Errorf("count is %d; expected 1 or more", l.Count)
	}
	return nil
}

// spot is n equal observations at the logarithm y.
type spot struct{ y, n float64 }

// span is n equal observations between two logarithms; width is b-a without cancellation.
type span struct{ a, b, width, n float64 }

// sorted are the looks of a fit by kind, equal ones joined.
type sorted struct {
	exact, above, below []spot
	between             []span
	looks               int
}

// manyLooks is from how many looks on it pays to look for equal ones everywhere, not only side by side.
const manyLooks = 3000

// sortLooks checks the looks and sorts them by kind, equal ones joined.
func sortLooks(looks []Look) (sorted, error) {
	var s sorted
	for i, l := range looks {
		if err := l.Check(); err != nil {
			return s, fmt.Errorf("look %d: %w", i+1, err)
		}
	}
	if len(looks) >= manyLooks {
		looks = slices.Clone(looks)
		slices.SortFunc(looks, func(a, b Look) int {
			return cmp.Or(cmp.Compare(a.Lower, b.Lower), cmp.Compare(a.Upper, b.Upper))
		})
	}
	for i := 0; i < len(looks); {
		l, n := looks[i], 0.0
		for ; i < len(looks) && looks[i].Lower == l.Lower && looks[i].Upper == l.Upper; i++ {
			n += float64(looks[i].Count)
		}
		if l.Lower == 0 && math.IsInf(l.Upper, 1) {
			continue
		}
		s.add(l.Lower, l.Upper, n)
		s.looks += int(n)
	}
	return s, nil
}

func (s *sorted) add(lower, upper, n float64) {
	switch {
	case lower == upper:
		s.exact = append(s.exact, spot{math.Log(lower), n})
	case lower == 0:
		s.below = append(s.below, spot{math.Log(upper), n})
	case math.IsInf(upper, 1):
		s.above = append(s.above, spot{math.Log(lower), n})
	default:
		s.between = append(s.between, newSpan(lower, upper, n))
	}
}

func newSpan(lower, upper, n float64) span {
	a := math.Log(lower)
	width := math.Log1p((upper - lower) / lower)
	if math.IsInf(width, 0) || width == 0 {
		width = math.Log(upper) - a
	}
	return span{a, a + width, width, n}
}
