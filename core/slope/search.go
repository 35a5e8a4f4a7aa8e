package slope

import (
	"math"
	"slices"
)

// found is a minimum of the criterion, or where the way to one has ended; left is how much further the value would fall, as foreseen there.
type found struct {
	cov   covariance
	state state
	left  float64
}

const (
	decades   = 9    // of relative standard deviations in the grid, from 0.01
	maxSteps  = 100  // of one descent; Newton's method needs about eight
	maxStarts = 8    // valleys of the grid that are followed
	sample    = 500  // groups on which the valleys are looked for when there are more than twice as many
	unsettled = 1e-4 // fall still foreseen, beyond which the end of the way is no minimum: the value goes on falling with ever larger M
)

// pivots of the grid, in spreads from the centre of x.
var pivots = [...]float64{-3, -2, -1.4, -1, -0.6, -0.3, 0, 0.3, 0.6, 1, 1.4, 2, 3}

// search finds the lowest minimum: valleys of a coarse grid, followed on a sample of the groups when there are many, then on all.
func (d *data) search(o Options) (found, bool) {
	rough := d.sample(o)
	start := func(a, b, pivot float64) covariance { return d.start(o, a, b, pivot) }
	ends := rough.valleys(start, !o.Uncorrelated)
	for i := range ends {
		ends[i] = rough.settle(ends[i])
	}
	ends = distinct(ends)
	if len(ends) == 0 {
		return found{}, false
	}
	d.shift(ends[0].cov.basis.on(ends[0].state.line))
	whole := over(d.groups, d.rest, d.n, o)
	for i := range ends {
		ends[i].state = whole.at(ends[i].cov)
		ends[i] = whole.settle(ends[i])
	}
	ends = distinct(ends)
	if len(ends) == 0 {
		return found{}, false
	}
	best := whole.border(ends[0])
	return best, best.left < unsettled
}

// sample is the criterion over every k-th group: where many groups agree, a few show where the valleys are.
func (d *data) sample(o Options) criterion {
	step := len(d.groups) / sample
	if step < 2 {
		return over(d.groups, d.rest, d.n, o)
	}
	var some []group
	rest, n := 0.0, 0.0
	for i := 0; i < len(d.groups); i += step {
		some = append(some, d.groups[i])
		rest += d.groups[i].rest
		n += d.groups[i].r1 * d.groups[i].r1
	}
	if rest < d.rest/float64(10*step) || n < 4 {
		return over(d.groups, d.rest, d.n, o) // the sample lacks what only few groups have
	}
	return over(some, rest, int(n+0.5), o)
}

// valleys are the points of a grid from which every neighbour is higher, the lowest first. The grid runs over the relative standard deviations
// of level and slope and, for a full G, over the pivot: the x at which the groups differ least. Likelihoods of few groups have several
// maxima, most of them one pivot apart; where the pivot is given, the deviations are looked at more finely.
func (c criterion) valleys(start func(a, b, pivot float64) covariance, full bool) []found {
	finer, seen := 3, pivots[:1]
	if full {
		finer, seen = 1, pivots[:]
	}
	size := [3]int{(decades-1)*finer + 1, (decades-1)*finer + 1, len(seen)}
	at := func(p [3]int) covariance {
		return start(math.Pow(10, float64(p[0])/float64(finer)-2), math.Pow(10, float64(p[1])/float64(finer)-2), seen[p[2]])
	}
	low := lattice(size, func(p [3]int) float64 { return c.value(at(p)) })
	out := make([]found, len(low))
	for i, p := range low {
		out[i].cov = at(p)
		out[i].state = c.at(out[i].cov)
	}
	slices.SortStableFunc(out, lower)
	return out[:min(len(out), maxStarts)]
}

// lattice gives the points of a lattice whose value is finite and not above that of any neighbour.
func lattice(size [3]int, value func([3]int) float64) (low [][3]int) {
	values := make([]float64, 0, size[0]*size[1]*size[2])
	each := func(from, to [3]int, do func(p [3]int)) {
		for i := max(from[0], 0); i < min(to[0], size[0]); i++ {
			for j := max(from[1], 0); j < min(to[1], size[1]); j++ {
				for k := max(from[2], 0); k < min(to[2], size[2]); k++ {
					do([3]int{i, j, k})
				}
			}
		}
	}
	of := func(p [3]int) float64 { return values[(p[0]*size[1]+p[1])*size[2]+p[2]] }
	each([3]int{}, size, func(p [3]int) { values = append(values, value(p)) })
	each([3]int{}, size, func(p [3]int) {
		lowest := !math.IsInf(of(p), 1)
		each([3]int{p[0] - 1, p[1] - 1, p[2] - 1}, [3]int{p[0] + 2, p[1] + 2, p[2] + 2}, func(q [3]int) { lowest = lowest && of(q) >= of(p) })
		if lowest {
			low = append(low, p)
		}
	})
	return low
}

func lower(a, b found) int {
	switch {
	case a.state.value < b.state.value:
		return -1
	case a.state.value > b.state.value:
		return 1
	}
	return 0
}

// distinct sorts minima and drops those that cannot be told from a lower one by their value, and those without one.
func distinct(all []found) []found {
	slices.SortStableFunc(all, lower)
	var out []found
	for _, f := range all {
		if math.IsInf(f.state.value, 0) || len(out) > 0 && f.state.value-out[len(out)-1].state.value < 1e-7 {
			continue
		}
		out = append(out, f)
	}
	return out
}

// settle descends, and goes on where the point reached is only a saddle.
func (c criterion) settle(f found) found {
	for range 5 {
		f = c.descend(f)
		lead, ok := f.cov.way(f.state)
		if !ok {
			break
		}
		better := f
		for e := -8; e <= 4; e++ {
			cov := lead(math.Pow10(e))
			if s := c.at(cov); s.value < better.state.value-1e-9 {
				better = found{cov: cov, state: s}
			}
		}
		if better.state.value == f.state.value {
			break
		}
		f = better
	}
	return f
}

// descend is Newton's method, damped after Levenberg and Marquardt; second derivatives are differences of the first, which are exact.
func (c criterion) descend(f found) found {
	damping := 1e-3
	for range maxSteps {
		next, fall, ok := c.step(f, &damping)
		f, f.left = next, fall
		if !ok || fall < 1e-14*(1+math.Abs(f.state.value)) {
			break
		}
	}
	return f
}

// curvature is the matrix of second derivatives by the free parameters; g is the first.
func (c criterion) curvature(f found, g [3]float64) (h [3][3]float64) {
	free := f.cov.free()
	for i, at := range free {
		near := f.cov
		near.l[at] += 1e-5*math.Abs(near.l[at]) + 1e-8
		if at == 1 {
			near.l[1] = 1e-5 * min(1, near.l[0])
		}
		by := near.l[at] - f.cov.l[at]
		n := near.gradient(c.at(near).pull)
		for j, to := range free {
			h[i][j] += (n[to] - g[to]) / by / 2
			h[j][i] += (n[to] - g[to]) / by / 2
		}
	}
	return h
}

// step takes the longest damped step that does not climb. It gives the fall that was foreseen, and false when no step was taken.
func (c criterion) step(f found, damping *float64) (found, float64, bool) {
	free, slope := f.cov.free(), f.cov.gradient(f.state.pull)
	h := c.curvature(f, slope)
	var g [3]float64
	size := 0.0
	for i, at := range free {
		g[i] = slope[at]
		size = max(size, math.Abs(h[i][i]))
	}
	foreseen := 0.0
	for ; *damping < 1e12; *damping *= 4 {
		damped := h
		for i := range free {
			damped[i][i] += *damping * max(math.Abs(h[i][i]), 1e-9*size)
		}
		by, ok := solve(damped, g, len(free))
		if !ok {
			continue
		}
		next, fall := f, 0.0
		for i, at := range free {
			next.cov.l[at] -= by[i]
			fall += g[i] * by[i] / 2
		}
		foreseen = max(foreseen, fall)
		next.cov = next.cov.settled()
		next.state = c.at(next.cov)
		if next.state.value <= f.state.value {
			*damping = max(*damping/10, 1e-12)
			return next, fall, true
		}
		if fall < 1e-14*(1+math.Abs(f.state.value)) {
			return f, 0, false // what is left is rounding
		}
	}
	return f, foreseen, false
}

// border moves a minimum that lies on the border of what M may be onto it, where the descent has stopped a rounding error before it.
func (c criterion) border(f found) found {
	slack := f.state.noise(c)
	for _, cov := range f.cov.borders() {
		if s := c.at(cov); s.value <= f.state.value+slack {
			return found{cov: cov, state: s}
		}
	}
	return f
}
