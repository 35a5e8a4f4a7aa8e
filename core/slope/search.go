package slope

import (
	"math"
	"slices"
)

// found is a minimum of the criterion.
type found struct {
	shape  shape
	params point
	state  state
}

const (
	maxSteps  = 100  // of one descent; Newton's method needs about eight
	maxStarts = 8    // valleys of the grid that are followed
	sample    = 500  // groups on which the valleys are looked for when there are more than twice as many
	farthest  = 1e12 // a relative standard deviation beyond this is no maximum but a flight
)

// search finds the lowest minimum: valleys of a coarse grid, followed on a sample of the groups when there are many, then on all.
func (d *data) search(o Options) (found, bool) {
	s := d.shape(o)
	rough := d.sample(o)
	ends := rough.valleys(s)
	for i := range ends {
		ends[i] = rough.settle(ends[i])
	}
	ends = distinct(ends)
	if len(ends) == 0 {
		return found{}, false
	}
	d.shift(ends[0].state.line)
	whole := over(d.groups, d.rest, d.n, o)
	for i := range ends {
		ends[i].state = whole.at(s.factor(ends[i].params))
		ends[i] = whole.settle(ends[i])
	}
	ends = distinct(ends)
	if len(ends) == 0 {
		return found{}, false
	}
	best := whole.border(ends[0])
	for _, v := range best.params {
		if !(math.Abs(v) < farthest) {
			return found{}, false
		}
	}
	return best, true
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

// valleys are the points of a grid over the relative standard deviations (a decade apart) and the correlation from which every neighbour is
// higher, the lowest first.
func (c criterion) valleys(s shape) []found {
	const decades = 9
	turns := []float64{-0.9, 0, 0.9}
	if s.diagonal() {
		turns = turns[1:2]
	}
	var grid [decades][decades][3]found
	each := func(do func(i, j, k int)) {
		for i := range decades {
			for j := range decades {
				for k := range turns {
					do(i, j, k)
				}
			}
		}
	}
	each(func(i, j, k int) {
		p := s.from(math.Pow10(i-2), math.Pow10(j-2), turns[k])
		grid[i][j][k] = found{s, p, c.at(s.factor(p))}
	})
	var out []found
	each(func(i, j, k int) {
		here := grid[i][j][k]
		lowest := !math.IsInf(here.state.value, 1)
		for a := max(i-1, 0); a <= min(i+1, decades-1); a++ {
			for b := max(j-1, 0); b <= min(j+1, decades-1); b++ {
				for t := max(k-1, 0); t <= min(k+1, len(turns)-1); t++ {
					lowest = lowest && grid[a][b][t].state.value >= here.state.value
				}
			}
		}
		if lowest {
			out = append(out, here)
		}
	})
	slices.SortStableFunc(out, lower)
	return out[:min(len(out), maxStarts)]
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
		lead, ok := f.shape.ways(f.params, f.state)
		if !ok {
			break
		}
		better := f
		for e := -8; e <= 4; e++ {
			p := lead(math.Pow10(e))
			if s := c.at(f.shape.factor(p)); s.value < better.state.value-1e-9 {
				better = found{f.shape, p, s}
			}
		}
		if better.params == f.params {
			break
		}
		f = better
	}
	return f
}

// descend is Newton's method, damped after Levenberg and Marquardt; second derivatives are differences of the first, which are exact.
func (c criterion) descend(f found) found {
	n := len(f.shape.free)
	damping := 1e-3
	for range maxSteps {
		g := f.shape.gradient(f.state.pull, f.params)
		h := c.curvature(f, g)
		next, fall, ok := c.step(f, g, h, &damping, n)
		if !ok {
			break
		}
		f = next
		if fall < 1e-14*(1+math.Abs(f.state.value)) {
			break
		}
	}
	return f
}

// curvature is the matrix of second derivatives.
func (c criterion) curvature(f found, g [3]float64) (h [3][3]float64) {
	n := len(f.shape.free)
	for i := range n {
		p := f.params
		p[i] += 1e-5*math.Abs(p[i]) + 1e-8
		by := p[i] - f.params[i]
		near := f.shape.gradient(c.at(f.shape.factor(p)).pull, p)
		for j := range n {
			h[i][j] += (near[j] - g[j]) / by / 2
			h[j][i] += (near[j] - g[j]) / by / 2
		}
	}
	return h
}

// step takes the longest damped step that does not climb. It gives the fall that was foreseen, and false when there is none.
func (c criterion) step(f found, g [3]float64, h [3][3]float64, damping *float64, n int) (found, float64, bool) {
	size := 0.0
	for i := range n {
		size = max(size, math.Abs(h[i][i]))
	}
	for *damping < 1e12 {
		damped := h
		for i := range n {
			damped[i][i] += *damping * max(math.Abs(h[i][i]), 1e-9*size)
		}
		by, ok := solve(damped, g, n)
		if !ok {
			*damping *= 4
			continue
		}
		next, fall := f, 0.0
		for i := range n {
			next.params[i] -= by[i]
			fall += g[i] * by[i] / 2
		}
		next.state = c.at(next.shape.factor(next.params))
		if next.state.value <= f.state.value {
			*damping = max(*damping/10, 1e-12)
			return next, fall, true
		}
		if fall < 1e-14*(1+math.Abs(f.state.value)) {
			return f, 0, false // what is left is rounding
		}
		*damping *= 4
	}
	return f, 0, false
}

// border moves a minimum that lies on the border of what M may be onto it, where the descent has stopped a rounding error before it.
func (c criterion) border(f found) found {
	slack := 1e-14 * (float64(len(c.groups)) + c.nu + math.Abs(f.state.value))
	for _, p := range f.shape.bordering(f.params) {
		if s := c.at(f.shape.factor(p)); s.value <= f.state.value+slack {
			return found{f.shape, p, s}
		}
	}
	return f
}
