package life

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawModel, drawPrior and drawObservations give what a user may hand over, absurd priors among them.
func drawModel(t *rapid.T) Model { return rapid.SampledFrom(models).Draw(t, "model") }

func drawSD(t *rapid.T, name string) float64 {
	return rapid.SampledFrom([]float64{1e-12, 1e-6, 1e-3, 0.05, 0.2, 0.4, 0.8, 1.5, 5, 20}).Draw(t, name)
}

func drawPrior(t *rapid.T) Prior {
	return Prior{rapid.Float64Range(-2, 3).Draw(t, "ln shape"), drawSD(t, "sd of ln shape"), rapid.Float64Range(-5, 14).Draw(t, "ln scale"), drawSD(t, "sd of ln scale")}
}

func drawObservation(t *rapid.T) Observation {
	at := math.Round(math.Exp(rapid.Float64Range(5, 12).Draw(t, "ln at")))
	o := Observation{Kind: Kind(rapid.IntRange(0, 4).Draw(t, "kind")), At: at, Count: rapid.SampledFrom([]int{0, 1, 1, 1, 3, 500}).Draw(t, "count")}
	switch o.Kind {
	case Exact:
		o.Count = min(o.Count, 3) // of many equal lives the spread goes to nothing: see TestEqualLives
	case Clear, Dark:
		if rapid.Bool().Draw(t, "errs") {
			o.Sensitivity, o.Specificity = rapid.Float64Range(0.01, 1).Draw(t, "sensitivity"), rapid.Float64Range(0.01, 1).Draw(t, "specificity")
		}
	case Between:
		o.Lower, o.Upper = at, at*(1+rapid.SampledFrom([]float64{1e-9, 1e-3, 0.2, 5}).Draw(t, "width"))
	case Steps:
		o.Breaks = []float64{at, at * 1.5}
		o.Weights = []float64{rapid.SampledFrom([]float64{0, 1e-6, 0.02, 0.5, 1}).Draw(t, "w0"), rapid.SampledFrom([]float64{0, 0.3, 1}).Draw(t, "w1"), 0.1}
	}
	return o
}

func drawObservations(t *rapid.T, most int) []Observation {
	return rapid.SliceOfN(rapid.Custom(drawObservation), 0, most).Draw(t, "observations")
}

func number01(x float64) bool       { return x >= 0 && x <= 1 }
func positiveFinite(x float64) bool { return x > 0 && !math.IsInf(x, 0) }

// TestOneExactLifeWithoutBounds: one life known exactly under a prior that bounds no shape pins the scale more closely than numbers
// go; that is said, and under a prior with bounds the same life has its answers.
func TestOneExactLifeWithoutBounds(t *testing.T) {
	life := []Observation{{Kind: Exact, At: 15960, Count: 1}}
	for _, m := range models {
		if p, err := NewPosterior(m, Prior{1, 5, 0, 20}, life); err == nil {
			t.Errorf("%v: no error, and survival %v", m, p.Survival(20000))
		}
		if p, err := NewPosterior(m, Prior{1, 1.5, 0, 20}, life); err != nil || !number01(p.Survival(20000)) {
			t.Errorf("%v: %v", m, err)
		}
	}
}

// TestPosteriorAlwaysAnswers: whatever the prior and the observations, there is a posterior with finite answers in their order, or, for
// priors without any doubt or without any bounds, an error; survival only falls and quantiles invert it.
func TestPosteriorAlwaysAnswers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, prior, obs := drawModel(t), drawPrior(t), drawObservations(t, 6)
		p, err := NewPosterior(m, prior, obs)
		if absurd := prior.LogShapeSD >= 5 || prior.LogShapeSD < 0.05 || prior.LogScaleSD < 0.05; err != nil && absurd && len(obs) > 0 {
			return // such a prior may contradict what was seen beyond the range of a float64; that is said
		}
		if err != nil {
			t.Fatalf("no posterior: %v", err)
		}
		if v := p.LogMarginal(); math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("log marginal %v", v)
		}
		last := 1.0
		for y := -5.0; y < 20; y++ {
			s := p.Survival(math.Exp(y))
			if !number01(s) || s > last+1e-6 {
				t.Fatalf("survival %v at e^%v after %v", s, y, last)
			}
			last = s
		}
		before := 0.0
		for _, q := range []float64{0.01, 0.05, 0.5, 0.9, 0.99} {
			x := p.Quantile(q)
			if !positiveFinite(x) || x < before*(1-1e-9) {
				t.Fatalf("the %v quantile is %v after %v", q, x, before)
			}
			before = x
			// A prior that is all but certain makes the distribution all but jump.
			if a, b := p.Survival(x*(1-5e-5)), p.Survival(x*(1+5e-5)); x > 1e-300 && x < 1e300 && (1-a > q+2e-3 || 1-b < q-2e-3) {
				t.Fatalf("the %v quantile %v is survived with probability %v to %v", q, x, b, a)
			}
			if low, high := p.LifeQuantile(q, 0.1), p.LifeQuantile(q, 0.9); !positiveFinite(low) || !positiveFinite(high) || low > high {
				t.Fatalf("80 %% range of the %v life from %v to %v", q, low, high)
			}
		}
		sum := 0.0
		for _, n := range p.Nodes() {
			if !positiveFinite(n.Shape) || !positiveFinite(n.Scale) || !(n.Weight >= 0) {
				t.Fatalf("node %+v", n)
			}
			sum += n.Weight
		}
		if math.Abs(sum-1) > 1e-9 {
			t.Fatalf("weights add up to %v", sum)
		}
		checkRecommendation(t, p, obs)
	})
}

func checkRecommendation(t *rapid.T, p *Posterior, obs []Observation) {
	survived := rapid.SampledFrom([]float64{0, 1, 8000, 1e6}).Draw(t, "survived to")
	r := Rule{Risk: rapid.SampledFrom([]float64{0.01, 0.05, 0.2}).Draw(t, "risk"), Cap: 20000, Step: 500, Fixed: 15000, Unit: "km"}
	got := Recommend(p, obs, survived, r)
	if !positiveFinite(got.Interval) || !positiveFinite(got.Unrounded) || got.Interval > r.Cap || got.Interval > got.Unrounded*(1+1e-9) || got.Reason == "" {
		t.Fatalf("%+v", got)
	}
	if !number01(got.Risk) || !(got.Range[0] <= got.Range[1]) || !positiveFinite(got.Range[1]) {
		t.Fatalf("%+v", got)
	}
	if got.Unrounded < survived {
		t.Fatalf("%+v is shorter than what it survived, %v", got, survived)
	}
	for _, x := range []float64{1, 9000, 1e5} {
		if s := p.SurvivalGiven(x, survived); !number01(s) {
			t.Fatalf("survival of %v given %v: %v", x, survived, s)
		}
	}
}

// ordinary are priors and observations of the kind that a workshop has.
func ordinary(t *rapid.T) (Model, Prior, []Observation) {
	prior := Prior{rapid.Float64Range(0.3, 1.4).Draw(t, "ln shape"), rapid.Float64Range(0.1, 0.8).Draw(t, "sd of ln shape"), rapid.Float64Range(8, 10.5).Draw(t, "ln scale"), rapid.Float64Range(0.1, 1.2).Draw(t, "sd of ln scale")}
	m := drawModel(t)
	if m == Lognormal {
		prior.LogShapeMean *= -1
	}
	obs := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Observation {
		o := drawObservation(t)
		o.Count = 0
		return o
	}), 0, 6).Draw(t, "observations")
	return m, prior, obs
}

func posterior(t rapid.TB, m Model, p Prior, obs []Observation) *Posterior {
	t.Helper()
	post, err := NewPosterior(m, p, obs)
	if err != nil {
		t.Fatal(err)
	}
	return post
}

func same(t rapid.TB, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Fatalf("%s: %.12g and %.12g", what, got, want)
	}
}

// TestPosteriorKeepsUnits: exposures and scale in another unit give the same answers in that unit.
func TestPosteriorKeepsUnits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, prior, obs := ordinary(t)
		const factor = 0.621371
		scaled, exact := slices.Clone(obs), 0.0
		for i := range scaled {
			o := &scaled[i]
			o.At, o.Lower, o.Upper = o.At*factor, o.Lower*factor, o.Upper*factor
			o.Breaks = slices.Clone(o.Breaks)
			for k := range o.Breaks {
				o.Breaks[k] *= factor
			}
			if o.Kind == Exact {
				exact++
			}
		}
		other := prior
		other.LogScaleMean += math.Log(factor)
		a, b := posterior(t, m, prior, obs), posterior(t, m, other, scaled)
		same(t, "median", b.Quantile(0.5), factor*a.Quantile(0.5), 2e-5)
		same(t, "5 % quantile", b.Quantile(0.05), factor*a.Quantile(0.05), 5e-5)
		same(t, "life", b.LifeQuantile(0.1, 0.5), factor*a.LifeQuantile(0.1, 0.5), 5e-5)
		if d := b.LogMarginal() - (a.LogMarginal() - exact*math.Log(factor)); math.Abs(d) > 1e-6 {
			t.Fatalf("log marginals differ by %v", d)
		}
	})
}

// TestPosteriorForgetsOrder: the order of the observations, and whether equal ones are counted or repeated, does not matter.
func TestPosteriorForgetsOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, prior, obs := ordinary(t)
		shuffled := rapid.Permutation(append(slices.Clone(obs), obs...)).Draw(t, "order")
		doubled := slices.Clone(obs)
		for i := range doubled {
			doubled[i].Count = 2
		}
		a, b := posterior(t, m, prior, doubled), posterior(t, m, prior, shuffled)
		if d := a.LogMarginal() - b.LogMarginal(); math.Abs(d) > 1e-7*(1+math.Abs(a.LogMarginal())) {
			t.Fatalf("log marginals differ by %v", d)
		}
		same(t, "5 % quantile", a.Quantile(0.05), b.Quantile(0.05), 1e-5)
	})
}

// TestMoreClearLooksNeverShorten: another look at what was still good never shortens the interval, one at what had turned never
// lengthens the median life. (It is the scale that moves in one direction; a low quantile may not, because a clear look late also
// speaks for a wide spread: so the looks lie at the interval itself or before it.)
func TestMoreClearLooksNeverShorten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, prior, obs := ordinary(t)
		obs = slices.DeleteFunc(obs, func(o Observation) bool { return o.Kind > Dark || !o.perfect() })
		before := posterior(t, m, prior, obs)
		x := before.Quantile(0.05)
		at := x * rapid.Float64Range(0.2, 1).Draw(t, "look, as a share of the interval")
		after := posterior(t, m, prior, append(slices.Clone(obs), Observation{Kind: Clear, At: at}))
		if y := after.Quantile(0.05); y < x*(1-1e-5) {
			t.Fatalf("a clear look at %v shortens %v to %v", at, x, y)
		}
		dark := posterior(t, m, prior, append(slices.Clone(obs), Observation{Kind: Dark, At: at}))
		if y := dark.Quantile(0.05); y > x*(1+1e-5) {
			t.Fatalf("a dark look at %v lengthens %v to %v", at, x, y)
		}
	})
}

// TestGivenIsARatioOfMarginals: P(T > x | T > s) is the ratio of the marginal likelihoods with one more clear look at x and at s.
func TestGivenIsARatioOfMarginals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, prior, obs := ordinary(t)
		p := posterior(t, m, prior, obs)
		s := p.Quantile(rapid.SampledFrom([]float64{0.05, 0.5, 0.95, 0.999}).Draw(t, "survived"))
		x := s * rapid.Float64Range(1, 2).Draw(t, "further")
		z := func(at float64) float64 {
			return posterior(t, m, prior, append(slices.Clone(obs), Observation{Kind: Clear, At: at})).LogMarginal()
		}
		if got, want := p.SurvivalGiven(x, s), math.Exp(z(x)-z(s)); math.Abs(got-want) > 2e-4 {
			t.Fatalf("P(T > %v | T > %v) = %v, marginals say %v", x, s, got, want)
		}
		q := p.QuantileGiven(0.05, s)
		if got := 1 - p.SurvivalGiven(q, s); math.Abs(got-0.05) > 1e-4 {
			t.Fatalf("the 5 %% quantile %v given %v has probability %v", q, s, got)
		}
	})
}

// TestEqualLives: hundreds of equal exact lives under a wide prior drive the spread beyond what a float64 holds; that is said.
func TestEqualLives(t *testing.T) {
	wide := Prior{1, 1.5, 1, 0.05}
	if p, err := NewPosterior(Weibull, wide, []Observation{{Kind: Exact, At: 148, Count: 5}}); err != nil {
		t.Error(err)
	} else if x := p.Quantile(0.5); !positiveFinite(x) {
		t.Error(x)
	}
	if _, err := NewPosterior(Weibull, wide, []Observation{{Kind: Exact, At: 148, Count: 5000}}); err == nil {
		t.Error("a spread of exp(-100000) is computed")
	}
}
