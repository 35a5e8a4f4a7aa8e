package outlook

import (
	"math"
	"testing"

	"witnessmark/core/life"
)

// TestGridAgainstLife holds the fixed grid against core/life's adaptive quadrature, which reference answers hold.
func TestGridAgainstLife(t *testing.T) {
	prior := life.Prior{LogShapeMean: math.Log(3), LogShapeSD: math.Log(1.4), LogScaleMean: math.Log(15000), LogScaleSD: math.Log(1.4)}
	clear := func(x float64) life.Observation { return life.Observation{Kind: life.Clear, At: x} }
	dark := func(x float64) life.Observation { return life.Observation{Kind: life.Dark, At: x} }
	erring := func(o life.Observation) life.Observation { o.Sensitivity, o.Specificity = 0.92, 0.98; return o }
	for name, obs := range map[string][]life.Observation{
		"nothing seen":       nil,
		"one clear":          {clear(8000)},
		"clear and turned":   {clear(8000), clear(8000), dark(13900)},
		"between":            {{Kind: life.Between, Lower: 9000, Upper: 14000}, clear(11000)},
		"looks that may err": {erring(clear(9000)), erring(dark(12000)), erring(clear(13000)), erring(dark(17000))},
		"many":               {clear(9000), clear(10500), dark(16000), dark(14500), clear(12000), dark(18000), clear(8000)},
	} {
		for _, m := range [...]life.Model{life.Weibull, life.Lognormal} {
			p := prior
			if m == life.Lognormal {
				p.LogShapeMean = math.Log(0.4)
			}
			exact, err := life.NewPosterior(m, p, obs)
			if err != nil {
				t.Fatal(err)
			}
			f := &turning{lognormal: m == life.Lognormal, terms: posterior(m, p, obs), likely: []float64{1}}
			if !f.settle() {
				t.Fatalf("%s: the grid explains nothing", name)
			}
			for _, q := range [...]float64{0.05, 0.1, 0.2, 0.5, 0.9} {
				got, want := f.Quantile(q), exact.Quantile(q)
				if math.Abs(math.Log(got/want)) > 0.03 {
					t.Errorf("%v, %s: quantile %g is %.0f on the grid, %.0f by quadrature", m, name, q, got, want)
				}
			}
			low, high := newLife{f}.IntervalRange(0.05, 0)
			a, b := exact.IntervalRange(0.05, 0)
			if math.Abs(math.Log(low/a)) > 0.1 || math.Abs(math.Log(high/b)) > 0.1 { // ends of a range, read off grid points
				t.Errorf("%v, %s: interval %.0f to %.0f on the grid, %.0f to %.0f by quadrature", m, name, low, high, a, b)
			}
		}
	}
}
