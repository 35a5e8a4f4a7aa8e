package outlook

import (
	"math"
	"sort"

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
	lines          []line
}

// survive is P(T > x) under a term.
func (f *turning) survive(t *term, x float64) float64 {
	x += t.age
	if !(x > 0) {
		return 1
	}
	return f.beyond((math.Log(x) - t.mu) * t.inv)
}

// beyond is the survival of the standard law.
func (f *turning) beyond(z float64) float64 {
	if f.lognormal {
		return 0.5 * math.Erfc(z/math.Sqrt2)
	}
	x := (z - lowest) * perStep
	switch {
	case !(x > 0):
		return 1
	case x >= float64(steps-1):
		return math.Exp(-math.Exp(math.Min(z, 7)))
	}
	i := int(x)
	return survivals[i] + (x-float64(i))*(survivals[i+1]-survivals[i])
}

// The survival exp(-exp(z)) of a Weibull life is asked for so often that it stands in a table, read off in straight lines: 3e-5 of
// the share that has turned where that is small, 2e-3 of the share that has not where that is below one in a thousand.
const (
	lowest, highest = -20.0, 3.5
	perStep         = 64
	steps           = int((highest-lowest)*perStep) + 1
)

var survivals = func() (out [steps]float64) {
	for i := range out {
		out[i] = math.Exp(-math.Exp(lowest + float64(i)/perStep))
	}
	return out
}()

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
	sum, n := 0.0, len(f.breaks)
	if n == 0 || x >= f.breaks[n-1] {
		age, lnX := math.NaN(), 0.0
		for i := range f.terms {
			t := &f.terms[i]
			if t.age != age { // terms of one age stand together
				age, lnX = t.age, math.Log(math.Max(0, x+t.age)) // minus infinity before it began
			}
			sum += t.weight * f.beyond((lnX-t.mu)*t.inv)
		}
		return sum * f.likely[n]
	}
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

// Quantile is the exposure by which it has turned with probability q, 0 when it had before the clock began; +Inf when it may
// never.
func (f *turning) Quantile(q float64) float64 {
	if f.lines == nil {
		f.draw()
	}
	want := math.Log(-math.Log1p(-math.Max(1e-9, math.Min(q, 1-1e-9))))
	n := len(f.lines)
	i := sort.Search(n, func(i int) bool { return f.lines[i].gone >= want })
	switch i {
	case 0:
		return math.Max(0, math.Exp(f.lines[0].at))
	case n:
		return math.Inf(1)
	}
	a, b := f.lines[i-1], f.lines[i]
	return math.Exp(a.at + (b.at-a.at)*(want-a.gone)/(b.gone-a.gone))
}

// line is a point of the law: ln of the exposure, and ln(-ln) of the share that has not turned, in which a Weibull life is a
// straight line.
type line struct{ at, gone float64 }

// draw lays points along the law, closer where it bends: after the last look.
func (f *turning) draw() {
	last := 0.0
	if n := len(f.breaks); n > 0 {
		last = f.breaks[n-1]
	}
	f.lines = make([]line, 0, 64)
	add := func(x float64) bool {
		s := math.Max(0, math.Min(1, f.tail(x)/f.total))
		g := math.Log(-math.Log(math.Max(s, 1e-12)))
		if math.IsInf(g, 0) {
			g = -45
		}
		if n := len(f.lines); n == 0 || g > f.lines[n-1].gone {
			f.lines = append(f.lines, line{math.Log(x), g})
		}
		return s > 1e-3
	}
	least := math.Exp(f.terms[0].mu) * 1e-3
	for _, x := range f.breaks {
		if x > least {
			add(x)
		}
	}
	if last <= least {
		last = least
		add(last)
	}
	for ahead := least; ahead < 1e12; ahead *= 1.45 {
		if !add(last + ahead) {
			return
		}
	}
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
