package score

import (
	"math"
	"math/rand/v2"
	"testing"
)

// normalQuantiles are those of the standard normal law at Levels (NIST/SEMATECH e-Handbook 1.3.6.7.1 gives 1.2816 and 2.5758).
var normalQuantiles = [5]float64{-2.5758293, -1.2815516, 0, 1.2815516, 2.5758293}

func TestRanges(t *testing.T) {
	var r, part Ranges
	said := [5]float64{0, 2, 5, 8, 10}
	for _, came := range []float64{5, 3, 1, 9, 11} {
		r.Add(said, came)
	}
	part.Add(said, 8) // on the bound: half
	part.Add(said, math.NaN())
	part.Add([5]float64{0, 1, 2, 3, math.Inf(1)}, 2)
	r.Join(&part)
	c := r.Coverage()
	if c.N != 6 || math.Abs(c.Within-2.5/6) > 1e-12 || math.Abs(c.SE-math.Sqrt(0.16/6)) > 1e-12 || c.MedianError != 3.5 {
		t.Errorf("%+v", c)
	}
	for i, want := range []float64{0, 1, 2.5, 3.5, 5} {
		if math.Abs(c.Points[i].Was-want/6) > 1e-12 || c.Points[i].Said != Levels[i] {
			t.Errorf("point %d: %+v, want %g of 6", i, c.Points[i], want)
		}
	}
	if c := new(Ranges).Coverage(); c.N != 0 || c.Points != nil || c.MedianError != 0 {
		t.Errorf("nothing gives %+v", c)
	}
}

// TestCalibratedForecastsScoreSo draws figures from the law that was said, and from one twice as wide.
func TestCalibratedForecastsScoreSo(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	var right, narrow Ranges
	for range 20_000 {
		x := random.NormFloat64()
		right.Add(normalQuantiles, x)
		narrow.Add(normalQuantiles, 2*x)
	}
	c := right.Coverage()
	if math.Abs(c.Within-0.8) > 4*c.SE || math.Abs(c.MedianError-0.6745) > 0.02 { // the quartile of |N(0,1)|
		t.Errorf("%+v", c)
	}
	for _, p := range c.Points {
		if math.Abs(p.Was-p.Said) > 4*math.Sqrt(p.Said*(1-p.Said)/float64(p.N)) {
			t.Errorf("%+v", p)
		}
	}
	if c := narrow.Coverage(); math.Abs(c.Within-0.478) > 0.02 { // P(|N| < 1.2816/2) = 0.4783
		t.Errorf("too narrow: %+v", c)
	}
}

func TestChances(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	var right, other Chances
	for i := range 40_000 {
		p := random.Float64()
		into := &right
		if i%2 == 0 {
			into = &other
		}
		into.Add(p, random.Float64() < p)
	}
	right.Join(&other)
	right.Add(math.NaN(), true)
	right.Add(1.5, true)
	c := right.Calibration()
	// The Brier score of calibrated chances spread evenly over 0 to 1 is the integral of p(1-p), a sixth.
	if c.N != 40_000 || math.Abs(float64(c.Happened)-c.Expected) > 4*c.SE || math.Abs(c.Brier-1.0/6) > 0.005 || len(c.Points) != 8 {
		t.Errorf("%+v", c)
	}
	for _, p := range c.Points {
		if math.Abs(p.Was-p.Said) > 4*math.Sqrt(p.Said*(1-p.Said)/float64(p.N)) {
			t.Errorf("%+v", p)
		}
	}
	var edge Chances
	edge.Add(0, false)
	edge.Add(1, true)
	if c := edge.Calibration(); c.N != 2 || c.Happened != 1 || c.Brier != 0 || c.Expected != 1 {
		t.Errorf("%+v", c)
	}
	if c := new(Chances).Calibration(); c.N != 0 || c.Brier != 0 {
		t.Errorf("nothing gives %+v", c)
	}
}
