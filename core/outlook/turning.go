package outlook

import (
	"math"

	"witnessmark/core/life"
	"witnessmark/core/point"
)

// term is a law that a running condition's life may follow, with its weight: ln scale, Weibull shape (or 1/sigma), and by how
// much older than its exposure the thing is.
type term struct{ weight, mu, inv, age float64 }

// turning is what is known of when a running condition turns. Its looks are evidence on this very life and no other: the law
// of a life T in the terms is multiplied by the probability of what the looks said, which is constant between them.
type turning struct {
	lognormal bool
	terms     []term
	// breaks are the exposures of the looks, likely one longer: of T up to the first look, between the first two, ..., beyond the last.
	breaks, likely []float64
	total          float64
}

// survive is P(T > x) under a term.
func (f *turning) survive(t *term, x float64) float64 {
	x += t.age
	if !(x > 0) {
		return 1
	}
	z := (math.Log(x) - t.mu) * t.inv
	if f.lognormal {
		return 0.5 * math.Erfc(z/math.Sqrt2)
	}
	if z > 7 {
		return 0
	}
	return math.Exp(-math.Exp(z))
}

// tailOf is the probability under a term that the life is longer than x and the looks said what they said.
func (f *turning) tailOf(t *term, x float64) float64 {
	n := len(f.breaks)
	if n == 0 || x >= f.breaks[n-1] {
		return f.likely[n] * f.survive(t, x)
	}
	sum, above := 0.0, f.survive(t, x)
	for j, b := range f.breaks {
		if b <= x {
			continue
		}
		s := f.survive(t, b)
		sum += f.likely[j] * (above - s)
		above = s
	}
	return sum + f.likely[n]*above
}

// every is the probability of what the looks said, under a term.
func (f *turning) every(t *term) float64 { return f.tailOf(t, math.Inf(-1)) }

func (f *turning) tail(x float64) float64 {
	sum := 0.0
	for i := range f.terms {
		sum += f.terms[i].weight * f.tailOf(&f.terms[i], x)
	}
	return sum
}

// settle works the total out; false when the looks are impossible under every term.
func (f *turning) settle() bool {
	f.total = f.tail(math.Inf(-1))
	return f.total > 1e-290 && !math.IsInf(f.total, 0)
}

// CDF is the probability that it has turned by an exposure.
func (f *turning) CDF(x float64) float64 {
	return math.Max(0, math.Min(1, 1-f.tail(x)/f.total))
}

// Quantile is the exposure by which it has turned with probability q, 0 when it had before the clock began.
func (f *turning) Quantile(q float64) float64 {
	want := math.Log1p(-math.Max(0, math.Min(q, 1-1e-9)))
	off := func(y float64) float64 {
		s := f.tail(math.Exp(y)) / f.total
		return math.Log(math.Max(s, 1e-300)) - want
	}
	low, high := -3.0, 3.0
	if n := len(f.breaks); n > 0 {
		high = math.Log(f.breaks[n-1]+1) + 0.05
	}
	flow := off(low)
	if flow <= 0 {
		return 0
	}
	fhigh := off(high)
	for step := 0.3; fhigh > 0; step *= 1.6 {
		low, flow = high, fhigh
		high += step
		if high > 40 {
			return math.Inf(1)
		}
		fhigh = off(high)
	}
	return math.Exp(falsePosition(off, low, flow, high, fhigh))
}

// falsePosition finds where a falling function crosses zero between low and high by the Illinois rule (Dowell & Jarratt, BIT 11
// (1971) 168), to 1e-5.
func falsePosition(f func(float64) float64, low, flow, high, fhigh float64) float64 {
	side := 0
	for range 60 {
		if high-low < 1e-5 {
			break
		}
		x := low + (high-low)*flow/(flow-fhigh)
		if !(x > low && x < high) {
			x = low + (high-low)/2
		}
		switch fx := f(x); {
		case math.Abs(fx) < 1e-7:
			return x
		case fx > 0:
			if low, flow = x, fx; side == 1 {
				fhigh /= 2
			}
			side = 1
		default:
			if high, fhigh = x, fx; side == -1 {
				flow /= 2
			}
			side = -1
		}
	}
	return low + (high-low)/2
}

// reliability is how seldom looks under a law err. None is without error: a slip of the hand remains.
func reliability(l *point.LifeLaw) (sensitivity, specificity float64) {
	least := func(x float64) float64 {
		if !(x > 0 && x <= 1) {
			return 1
		}
		return x
	}
	return least(l.Sensitivity), least(l.Specificity)
}

// looked sets breaks and likelihoods from a cycle's sights.
func (f *turning) looked(sights []sight, l *point.LifeLaw) {
	sens, spec := reliability(l)
	f.breaks = f.breaks[:0]
	for _, s := range sights {
		if n := len(f.breaks); n == 0 || s.x > f.breaks[n-1] {
			f.breaks = append(f.breaks, s.x)
		}
	}
	f.likely = make([]float64, len(f.breaks)+1)
	for k := range f.likely {
		f.likely[k] = 1
		for _, s := range sights {
			turned := k < len(f.breaks) && f.breaks[k] <= s.x
			f.likely[k] *= says(s.turned, turned, sens, spec)
		}
	}
}

// says is the probability of what a look said, given the truth.
func says(said, truth bool, sens, spec float64) float64 {
	right := spec
	if truth {
		right = sens
	}
	if said == truth {
		return right
	}
	return 1 - right
}

// termOf turns a node of core/life into a term.
func termOf(m life.Model, n life.Node) term {
	inv := n.Shape
	if m == life.Lognormal {
		inv = 1 / n.Shape
	}
	return term{weight: n.Weight, mu: math.Log(n.Scale), inv: inv}
}

// thinned stands for a posterior by some k terms: neighbours are joined, in the order of core/life's rows of equal shape, each
// to the mean of their logarithms.
func thinned(m life.Model, nodes []life.Node, k int) []term {
	var out []term
	var sum, mu, inv float64
	for i, n := range nodes {
		t := termOf(m, n)
		sum, mu, inv = sum+t.weight, mu+t.weight*t.mu, inv+t.weight*math.Log(t.inv)
		if sum >= 1/float64(k) || i == len(nodes)-1 {
			if sum > 0 && !math.IsNaN(mu+inv) && !math.IsInf(mu+inv, 0) {
				out = append(out, term{weight: sum, mu: mu / sum, inv: math.Exp(inv / sum)})
			}
			sum, mu, inv = 0, 0, 0
		}
	}
	return out
}
