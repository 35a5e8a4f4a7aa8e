package renew

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// anyLife draws a life of any of the kinds, with parameters over many orders of magnitude.
func anyLife(t *rapid.T) Dist {
	logUniform := func(name string, lo, hi float64) float64 {
		return math.Exp(rapid.Float64Range(math.Log(lo), math.Log(hi)).Draw(t, name))
	}
	part := func(scale float64) Dist {
		if rapid.Bool().Draw(t, "lognormal") {
			return Lognormal{logUniform("sigma", 0.03, 3), scale * logUniform("median", 0.05, 20)}
		}
		return Weibull{logUniform("shape", 0.3, 40), scale * logUniform("scale", 0.05, 20)}
	}
	scale := logUniform("unit", 1e-3, 1e7)
	n := rapid.IntRange(1, 4).Draw(t, "parts")
	if n == 1 {
		return part(scale)
	}
	var m Mixture
	for range n {
		m.Weights = append(m.Weights, rapid.Float64Range(0.01, 1).Draw(t, "weight"))
		m.Parts = append(m.Parts, part(scale))
	}
	return m
}

func anyCosts(t *rapid.T) (cp, cf float64) {
	cp = math.Exp(rapid.Float64Range(-5, 10).Draw(t, "ln cp"))
	return cp, cp * (1 + math.Exp(rapid.Float64Range(-9, 11.5).Draw(t, "ln extra")))
}

// scaled is the same life in another unit of age.
func scaled(d Dist, by float64) Dist {
	switch d := d.(type) {
	case Weibull:
		return Weibull{d.Shape, d.Scale * by}
	case Lognormal:
		return Lognormal{d.Sigma, d.Median * by}
	case Mixture:
		m := Mixture{Weights: d.Weights}
		for _, p := range d.Parts {
			m.Parts = append(m.Parts, scaled(p, by))
		}
		return m
	}
	return d
}

// Nothing on a fine grid is cheaper than the optimum, and neither is running to failure.
func TestNothingIsCheaper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyLife(t)
		cp, cf := anyCosts(t)
		p, err := Optimum(d, cp, cf)
		if err != nil {
			t.Fatal(err)
		}
		if p.CostRate > p.RunToFailure*(1+1e-12) || p.Saving < 0 || p.Saving >= 1 {
			t.Fatalf("%+v", p)
		}
		s := newSearch(d, cp, cf)
		for x := s.low / 10; x < s.high*10; x *= 1.013 {
			if c := s.cost(x); c < p.CostRate*(1-1e-11) {
				t.Fatalf("%+v, %v, %v: at %v it costs %v, less than %+v", d, cp, cf, x, c, p)
			}
		}
	})
}

// Another unit of age scales the age, another unit of money only the rate.
func TestUnitsDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyLife(t)
		cp, cf := anyCosts(t)
		a, err := Optimum(d, cp, cf)
		if err != nil {
			t.Fatal(err)
		}
		by, money := 1.609344, rapid.Float64Range(0.01, 100).Draw(t, "money")
		b, err := Optimum(scaled(d, by), cp*money, cf*money)
		if err != nil {
			t.Fatal(err)
		}
		if a.Saving < 1e-12 {
			return // too near to nothing for the same answer in other roundings
		}
		if a.Finite != b.Finite || !near(b.T, a.T*by, 1e-6) || !near(b.CostRate, a.CostRate*money/by, 1e-10) {
			t.Fatalf("%+v, %v, %v:\n%+v\n%+v", d, cp, cf, a, b)
		}
	})
}

// The flat region holds the optimum, and its ends cost 1 % more.
func TestFlatRegion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyLife(t)
		cp, cf := anyCosts(t)
		p, err := Optimum(d, cp, cf)
		if err != nil {
			t.Fatal(err)
		}
		s := newSearch(d, cp, cf)
		if p.Finite && (p.FlatLow >= p.T || p.FlatHigh <= p.T) {
			t.Fatalf("%+v", p)
		}
		if !near(s.cost(p.FlatLow), 1.01*p.CostRate, 1e-6) || !math.IsInf(p.FlatHigh, 1) && !near(s.cost(p.FlatHigh), 1.01*p.CostRate, 1e-6) {
			t.Fatalf("%+v: %v and %v at the ends", p, s.cost(p.FlatLow), s.cost(p.FlatHigh))
		}
	})
}

// A posterior that knows the life gives the answer of that life, whatever the weights' sum.
func TestMixtureOfOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := Weibull{rapid.Float64Range(1.3, 20).Draw(t, "shape"), rapid.Float64Range(1, 1e5).Draw(t, "scale")}
		a, err := Optimum(w, 60, 900)
		b, err2 := Optimum(Mixture{[]float64{3, 2, 0}, []Dist{w, w, Lognormal{0.5, 1}}}, 60, 900)
		if err != nil || err2 != nil || !near(b.T, a.T, 1e-9) || !near(b.CostRate, a.CostRate, 1e-12) {
			t.Fatalf("%+v, %v; %+v, %v", a, err, b, err2)
		}
	})
}

// Any parameters give an error or finite figures.
func TestNoNonsenseComesOut(t *testing.T) {
	odd := []float64{0, -1, math.NaN(), math.Inf(1), math.Inf(-1), 1e-300, 1e300, 1e-12, 1e15, 0.02, 1e4, 1, 20, 1e-9, 1e-4}
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) float64 {
			return rapid.OneOf(rapid.SampledFrom(odd), rapid.Float64()).Draw(t, name)
		}
		var d Dist = Weibull{draw("shape"), draw("scale")}
		if rapid.Bool().Draw(t, "lognormal") {
			d = Lognormal{draw("sigma"), draw("median")}
		}
		p, err := Optimum(d, draw("cp"), draw("cf"))
		if err == nil && (p.sound() != nil || p.Reason == "" || p.CostRate <= 0) {
			t.Fatalf("%+v: %+v", d, p)
		}
	})
}

// Budget: 0.1 ms for one life (a car's outlook of 60 items has 20 ms).
func BenchmarkWeibull(b *testing.B) {
	for b.Loop() {
		if _, err := Optimum(Weibull{2.8, 13000}, 60, 900); err != nil {
			b.Fatal(err)
		}
	}
}

// Budget: 15 ms for a posterior of 400 nodes; the time goes with their number.
func BenchmarkPosterior(b *testing.B) {
	var m Mixture
	for i := range 400 {
		u, v := float64(i%20)/20-0.5, float64(i/20)/20-0.5
		m.Weights = append(m.Weights, math.Exp(-8*(u*u+v*v)))
		m.Parts = append(m.Parts, Weibull{2.8 * math.Exp(u), 13000 * math.Exp(v)})
	}
	for b.Loop() {
		if _, err := Optimum(m, 60, 900); err != nil {
			b.Fatal(err)
		}
	}
}
