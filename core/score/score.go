// Package score tells how right forecasts were: ranges against the figures that came, and chances against what happened.
//
// A forecast is calibrated when 8 of 10 figures lie in its 80 % ranges, and when of all that was given a chance of 0.3 three of ten
// happen (Dawid, The well-calibrated Bayesian, JASA 77, 1982; Gneiting, Balabdaoui & Raftery, Probabilistic forecasts, calibration
// and sharpness, JRSS B 69, 2007). Brier's score is the mean squared distance of chance and outcome (Brier 1950, Monthly Weather
// Review 78).
package score

import (
	"math"
	"slices"
)

// Levels are the probabilities below which a range's five figures were said to lie.
var Levels = [5]float64{0.005, 0.1, 0.5, 0.9, 0.995}

// Ranges collects ranges and the figures that came. Its zero value is ready.
type Ranges struct {
	n      int
	within float64
	below  [5]float64
	errors []float64
}

// Add takes in one forecast - its quantiles at Levels, ascending - and the figure that came. A figure on a bound counts half.
// What is not a number is left out.
func (r *Ranges) Add(said [5]float64, came float64) {
	for _, x := range append(said[:], came) {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return
		}
	}
	r.n++
	for i, q := range said {
		r.below[i] += under(came, q)
	}
	r.within += under(came, said[3]) - under(came, said[1])
	r.errors = append(r.errors, math.Abs(came-said[2]))
}

// under is how far a figure counts as below a bound.
func under(x, bound float64) float64 {
	switch {
	case x < bound:
		return 1
	case x == bound:
		return 0.5
	}
	return 0
}

// Join adds what another collected.
func (r *Ranges) Join(o *Ranges) {
	r.n += o.n
	r.within += o.within
	for i := range r.below {
		r.below[i] += o.below[i]
	}
	r.errors = append(r.errors, o.errors...)
}

// Point is one point of a calibration plot: what was said, what was, of how many.
type Point struct {
	Said, Was float64
	N         int
}

// Coverage says how ranges did.
type Coverage struct {
	N int
	// Within is the share of figures inside the 80 % range; SE its standard error if 0.8 is right.
	Within, SE float64
	// MedianError is the median distance between the middle of the range and the figure, in the figure's unit.
	MedianError float64
	// Points has a point for each of Levels: said so much to lie below, so much did.
	Points []Point
}

// Coverage sums up.
func (r *Ranges) Coverage() Coverage {
	c := Coverage{N: r.n}
	if r.n == 0 {
		return c
	}
	n := float64(r.n)
	c.Within, c.SE, c.MedianError = r.within/n, math.Sqrt(0.8*0.2/n), median(r.errors)
	for i, q := range Levels {
		c.Points = append(c.Points, Point{q, r.below[i] / n, r.n})
	}
	return c
}

func median(xs []float64) float64 {
	s := slices.Sorted(slices.Values(xs))
	if n := len(s); n%2 == 0 {
		return (s[n/2-1] + s[n/2]) / 2
	}
	return s[len(s)/2]
}
