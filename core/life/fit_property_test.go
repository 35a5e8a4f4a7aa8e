package life

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func drawLooks(t *rapid.T) []Look {
	// Few distinct exposures, so that the edges of existence are met.
	at := rapid.SampledFrom([]float64{1000, 2000, 3000, 5000, 8000, 12000})
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Look {
		a, b, n := at.Draw(t, "a"), at.Draw(t, "b"), rapid.IntRange(1, 3).Draw(t, "count")
		switch rapid.IntRange(0, 3).Draw(t, "kind") {
		case 0:
			return Look{a, a, n}
		case 1:
			return Look{0, a, n}
		case 2:
			return Look{a, math.Inf(1), n}
		}
		return Look{math.Min(a, b), math.Max(a, b) + 1, n}
	}), 0, 9).Draw(t, "looks")
}

// logLikelihood is written down naively, on a scale on which nothing cancels badly.
func logLikelihood(m Model, looks []Look, mu, sigma float64) float64 {
	d := dense{m: m}
	v := 0.0
	for _, l := range looks {
		f0, s0 := 0.0, 1.0
		if l.Lower > 0 {
			f0, s0 = d.share((math.Log(l.Lower) - mu) / sigma)
		}
		f1, s1 := 1.0, 0.0
		if !math.IsInf(l.Upper, 1) {
			f1, s1 = d.share((math.Log(l.Upper) - mu) / sigma)
		}
		p := math.Max(f1-f0, s0-s1)
		if l.Lower == l.Upper {
			j, _ := m.at((math.Log(l.Lower) - mu) / sigma)
			p = math.Exp(j.v) / sigma / l.Lower
		}
		v += float64(l.Count) * math.Log(p)
	}
	return v
}

// TestFitIsTheMaximum: where an estimate is given, no other point is better; where none is, the likelihood has no top inside a wide
// range: a search over it ends at its border.
func TestFitIsTheMaximum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, looks := drawModel(t), drawLooks(t)
		e, err := Fit(looks, m)
		if err != nil {
			t.Fatal(err)
		}
		if e.Exists == (e.Reason != "") {
			t.Fatalf("%+v", e)
		}
		if e.Exists {
			for _, x := range []float64{e.Mu, e.Sigma, e.SEMu, e.SELogSigma, e.LogLik, e.Quantile(0.1)} {
				if math.IsNaN(x) || math.IsInf(x, 0) {
					t.Fatalf("%+v", e)
				}
			}
			top := logLikelihood(m, looks, e.Mu, e.Sigma)
			if math.Abs(top-e.LogLik) > 1e-6*(1+math.Abs(top)) {
				t.Fatalf("log-likelihood %v, naively %v", e.LogLik, top)
			}
			for _, step := range []float64{1e-3, 0.1, 1} {
				for _, d := range [][2]float64{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {-1, -1}, {1, -1}, {-1, 1}} {
					if v := logLikelihood(m, looks, e.Mu+step*d[0]*e.Sigma, e.Sigma*math.Exp(step*d[1])); v > top+1e-8*(1+math.Abs(top)) {
						t.Fatalf("%+v: %v at step %v %v, %v at the estimate", e, v, step, d, top)
					}
				}
			}
			return
		}
		if e.Looks == 0 {
			return
		}
		best, edge := math.Inf(-1), false
		for w := -4.0; w <= 5; w += 0.25 {
			if row := bestRow(m, looks, w); row > best+1e-7 {
				best, edge = row, w < -3.5 || w > 4.5
			}
		}
		only := slices.IndexFunc(looks, func(l Look) bool { return !math.IsInf(l.Upper, 1) }) < 0 || slices.IndexFunc(looks, func(l Look) bool { return l.Lower > 0 }) < 0
		if !edge && !only {
			t.Fatalf("%q, but a search finds a top inside", e.Reason)
		}
	})
}

// bestRow searches the best mu for one ln sigma: from a grid and from the looks, then in ever smaller steps.
func bestRow(m Model, looks []Look, w float64) float64 {
	sigma, best, at := math.Exp(w), math.Inf(-1), 0.0
	try := func(mu float64) {
		if v := logLikelihood(m, looks, mu, sigma); v > best {
			best, at = v, mu
		}
	}
	for k := -60.0; k <= 60; k++ {
		try(8.3 + k*math.Max(0.05, sigma/15))
	}
	for _, l := range looks {
		for k := -3.0; k <= 3; k += 0.5 {
			try(math.Log(math.Max(1, l.Lower)) + k*sigma)
		}
	}
	for d := sigma; d > 1e-6*sigma; d /= 2 {
		from := at
		try(from - d)
		try(from + d)
	}
	return best
}

// TestFitKeepsUnitsAndOrder: in another unit and another order the same estimate comes out.
func TestFitKeepsUnitsAndOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, looks := drawModel(t), drawLooks(t)
		other := rapid.Permutation(slices.Clone(looks)).Draw(t, "order")
		const factor = 0.621371
		for i := range other {
			other[i].Lower, other[i].Upper = other[i].Lower*factor, other[i].Upper*factor
		}
		a, errA := Fit(looks, m)
		b, errB := Fit(other, m)
		if errA != nil || errB != nil || a.Exists != b.Exists {
			t.Fatalf("%+v %+v %v %v", a, b, errA, errB)
		}
		if a.Exists && (math.Abs(b.Mu-a.Mu-math.Log(factor)) > 1e-6*(1+a.SEMu) || math.Abs(b.Sigma/a.Sigma-1) > 1e-6*(1+a.SELogSigma)) {
			t.Fatalf("%+v\n%+v", a, b)
		}
	})
}

// thousand are looks of all kinds at simulated lives.
func thousand() (looks []Look) {
	r := rand.New(rand.NewPCG(4, 4))
	for range 1000 {
		life, at := 15000*math.Pow(r.ExpFloat64(), 1/2.5), math.Round(3000+25000*r.Float64())
		switch r.IntN(4) {
		case 0:
			life = math.Round(life*10) / 10
			looks = append(looks, Look{life, life, 1})
		case 1:
			a := math.Floor(life/3000) * 3000
			looks = append(looks, Look{a, a + 3000, 1})
		default:
			if life <= at {
				looks = append(looks, Look{0, at, 1})
			} else {
				looks = append(looks, Look{at, math.Inf(1), 1})
			}
		}
	}
	return looks
}

// BenchmarkFit fits 1000 looks of all kinds, nearly all different. Budget: 0.5 ms for a Weibull life (the survival package of R: 2.3 ms).
func BenchmarkFit(b *testing.B) {
	looks := thousand()
	for _, m := range models {
		b.Run(m.String(), func(b *testing.B) {
			for b.Loop() {
				if e, err := Fit(looks, m); err != nil || !e.Exists {
					b.Fatal(e, err)
				}
			}
		})
	}
}

// FuzzFit: any numbers give an estimate of finite numbers, a reason, or an error.
func FuzzFit(f *testing.F) {
	f.Add(1.0, 2.0, 3.0, 4.0, 0)
	f.Add(0.0, 5e-324, 1e308, math.Inf(1), 1)
	f.Add(1.0, 1.0, 1.0000000000000002, 1.0000000000000002, 2)
	f.Fuzz(func(t *testing.T, a, b, c, d float64, model int) {
		m := Model(((model % 3) + 3) % 3)
		e, err := Fit([]Look{{a, b, 1}, {c, d, 2}, {a, math.Inf(1), 1}, {0, d, 1}}, m)
		if err != nil {
			return
		}
		for _, x := range []float64{e.Mu, e.Sigma, e.SEMu, e.SELogSigma, e.CovMuLogSigma, e.LogLik} {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("%+v", e)
			}
		}
		if e.Exists && (!positiveFinite(e.Sigma) || !positiveFinite(e.Quantile(0.1))) {
			t.Fatalf("%+v", e)
		}
	})
}
