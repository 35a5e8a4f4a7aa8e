package life

import "math"

// For classes of cars that were looked at a few dozen times each, the likelihood of every car is computed once on a grid that all
// share, and expectation and maximisation only weigh it anew: a hundred times faster than a posterior for each car and round, and as
// exact while no car's posterior is narrower than a step. A test holds it against the posteriors.
const (
	shapePoints, shapeReach = 19, 4.5
	scalePoints, scaleReach = 65, 5.2
	// mostLooks is up to how many looks at one car its posterior is wide enough for the grid.
	mostLooks = 60
	// mostMoves bounds how often the grid follows a class that walks to its edge.
	mostMoves = 5
)

// field is a grid of ln shape (ln sigma of a lognormal life) by mu.
type field struct {
	m           Model
	x0, y0      float64 // middle
	sx, sy      float64 // standard deviations that the reach counts in
	x, y, prior []float64
}

// fits reports whether the grid serves all cars.
func fits(all []history) bool {
	for _, h := range all {
		n := 0
		for _, o := range h.obs {
			if o.Kind == Exact {
				return false
			}
			n += max(1, o.Count) * max(1, len(o.Breaks))
		}
		if n > mostLooks {
			return false
		}
	}
	return true
}

func newField(m Model, p Prior) *field {
	f := &field{m: m, x0: p.LogShapeMean, y0: p.LogScaleMean, sx: math.Max(p.LogShapeSD, 0.15), sy: math.Max(p.LogScaleSD, 0.15)}
	for i := range shapePoints {
		for j := range scalePoints {
			f.x = append(f.x, f.x0+f.sx*shapeReach*(2*float64(i)/(shapePoints-1)-1))
			f.y = append(f.y, f.y0+f.sy*scaleReach*(2*float64(j)/(scalePoints-1)-1))
		}
	}
	return f
}

// edge reports whether a class lies so far from the grid's middle, or is spread so widely, that the grid must follow.
func (f *field) edge(p Prior) bool {
	return math.Abs(p.LogShapeMean-f.x0) > 0.8*f.sx || math.Abs(p.LogScaleMean-f.y0) > 1.2*f.sy ||
		p.LogShapeSD > 1.1*f.sx || p.LogScaleSD > 1.1*f.sy
}

// sparse is a car's likelihood where it is not negligible, the largest 1; ln of that is top.
type sparse struct {
	n, top float64
	at     []int32
	value  []float64
}

// likelihood lays a car's likelihood over the grid.
func (f *field) likelihood(h history) sparse {
	seen := make([]steps, len(h.obs))
	for i, o := range h.obs {
		seen[i] = stepsOf(o)
	}
	logs := make([]float64, len(f.x))
	top := math.Inf(-1)
	for k := range logs {
		inv := exp(-f.m.logSigma(f.x[k]))
		for i := range seen {
			logs[k] += seen[i].n * math.Log(math.Max(f.m.chance(&seen[i], f.y[k], inv), 1e-300))
		}
		top = math.Max(top, logs[k])
	}
	s := sparse{n: h.n, top: top}
	for k, v := range logs {
		if v > top-18 {
			s.at, s.value = append(s.at, int32(k)), append(s.value, exp(v-top))
		}
	}
	return s
}

// steps is any observation that is not exact as a likelihood that is constant between the logarithms y.
type steps struct {
	y, w []float64
	n    float64
}

func stepsOf(o Observation) steps {
	s := steps{n: o.count()}
	switch o.Kind {
	case Clear:
		s.y, s.w = []float64{math.Log(o.At)}, []float64{1 - orOne(o.Sensitivity), orOne(o.Specificity)}
	case Dark:
		s.y, s.w = []float64{math.Log(o.At)}, []float64{orOne(o.Sensitivity), 1 - orOne(o.Specificity)}
	case Between:
		s.y, s.w = []float64{math.Log(o.Lower), math.Log(o.Upper)}, []float64{0, 1, 0}
	case Steps:
		s.w = o.Weights
		for _, b := range o.Breaks {
			s.y = append(s.y, math.Log(b))
		}
	}
	return s
}

// chance is the probability of an observation at mu and 1/sigma.
func (m Model) chance(s *steps, mu, inv float64) float64 {
	sum, above := 0.0, 1.0
	for i, y := range s.y {
		below := 0.0
		if z := (y - mu) * inv; m == Weibull && z < 7 {
			below = exp(-exp(z))
		} else if m != Weibull {
			below, _ = m.survive(z)
		}
		sum += s.w[i] * (above - below)
		above = below
	}
	return sum + s.w[len(s.y)]*above
}

// learnOnGrid learns a class on a grid; false when the grid can't hold it.
func learnOnGrid(m Model, all []history, base Prior, weight float64, report *ClassReport) (Prior, bool) {
	if !fits(all) {
		return base, false
	}
	prior := base
	for range mostMoves {
		f := newField(m, prior)
		cars := make([]sparse, len(all))
		for i, h := range all {
			cars[i] = f.likelihood(h)
		}
		before := f.climb(cars, base, prior, weight, report)
		edge := f.edge(before)
		prior = before
		if !edge {
			return prior, !math.IsNaN(report.LogMarginal) && !math.IsInf(report.LogMarginal, 0)
		}
	}
	return prior, false
}

// climb repeats expectation and maximisation until the class stands still, in leaps: of two steps the third is foretold (squared
// extrapolation; Varadhan & Roland, Scandinavian Journal of Statistics 35 (2008) 335).
func (f *field) climb(cars []sparse, base, prior Prior, weight float64, report *ClassReport) Prior {
	for range 200 {
		one := f.step(cars, base, prior, weight, report)
		two := f.step(cars, base, one, weight, report)
		if distance(one, two) < 1e-6 || f.edge(two) {
			return two
		}
		a, b, c := figures(prior), figures(one), figures(two)
		var rr, vv float64
		for i := range a {
			r := b[i] - a[i]
			v := c[i] - b[i] - r
			rr, vv = rr+r*r, vv+v*v
		}
		stride := 1.0
		if vv > 0 {
			stride = math.Min(50, math.Max(1, math.Sqrt(rr/vv)))
		}
		for i := range a {
			r := b[i] - a[i]
			a[i] += 2*stride*r + stride*stride*(c[i]-b[i]-r)
		}
		leap := a.class(two)
		if distance(two, leap) > 1 || f.edge(leap) {
			leap = two
		}
		prior = leap
	}
	return f.step(cars, base, prior, weight, report)
}

// coordinates are a class's figures on scales without bounds.
type coordinates [4]float64

func figures(p Prior) coordinates {
	return coordinates{p.LogShapeMean, math.Log(p.LogShapeSD), p.LogScaleMean, math.Log(p.LogScaleSD)}
}

func (c coordinates) class(otherwise Prior) Prior {
	p := Prior{LogShapeMean: c[0], LogShapeSD: math.Exp(c[1]), LogScaleMean: c[2], LogScaleSD: math.Exp(c[3])}
	if p.Check() != nil {
		return otherwise
	}
	p.LogShapeSD = math.Max(p.LogShapeSD, math.Min(floorSD, otherwise.LogShapeSD))
	p.LogScaleSD = math.Max(p.LogScaleSD, math.Min(floorSD, otherwise.LogScaleSD))
	return p
}

// step is one expectation and maximisation over the grid, the same as that over the cars' own points.
func (f *field) step(cars []sparse, base, prior Prior, weight float64, report *ClassReport) Prior {
	x0, y0 := prior.LogShapeMean, prior.LogScaleMean
	cell := f.sx * shapeReach * 2 / (shapePoints - 1) * f.sy * scaleReach * 2 / (scalePoints - 1)
	norm := math.Log(cell / (2 * math.Pi * prior.LogShapeSD * prior.LogScaleSD))
	if len(f.prior) == 0 {
		f.prior = make([]float64, len(f.x))
	}
	for k := range f.prior {
		u, v := (f.x[k]-x0)/prior.LogShapeSD, (f.y[k]-y0)/prior.LogScaleSD
		f.prior[k] = exp(-0.5 * (u*u + v*v))
	}
	report.LogMarginal = 0
	sums := moments{}
	for i := range cars {
		c := &cars[i]
		var total, x, y, xx, yy float64
		for j, k := range c.at {
			w := c.value[j] * f.prior[k]
			dx, dy := f.x[k]-base.LogShapeMean, f.y[k]-base.LogScaleMean
			total += w
			x, y, xx, yy = x+w*dx, y+w*dy, xx+w*dx*dx, yy+w*dy*dy
		}
		if !(total > 0) {
			continue
		}
		report.LogMarginal += c.n * (c.top + math.Log(total) + norm)
		sums.add(c.n, x/total, y/total, xx/total, yy/total)
	}
	return sums.class(base, weight)
}

// moments are the sums over cars of the first two posterior moments of ln shape and mu, counted from the starting values.
type moments struct{ n, x, y, xx, yy float64 }

func (s *moments) add(n, x, y, xx, yy float64) {
	s.n += n
	s.x, s.y, s.xx, s.yy = s.x+n*x, s.y+n*y, s.xx+n*xx, s.yy+n*yy
}

// class joins the moments with starting values that count like weight cars.
func (s *moments) class(base Prior, weight float64) Prior {
	n := weight + s.n
	spread := func(sd, sum, squares float64) (shift, newSD float64) {
		shift = sum / n
		v := (weight*sd*sd+squares)/n - shift*shift
		return shift, math.Min(widestSD, math.Max(math.Sqrt(math.Max(0, v)), math.Min(floorSD, sd)))
	}
	next := base
	dx, sx := spread(base.LogShapeSD, s.x, s.xx)
	dy, sy := spread(base.LogScaleSD, s.y, s.yy)
	next.LogShapeMean += dx
	next.LogScaleMean += dy
	next.LogShapeSD, next.LogScaleSD = sx, sy
	return next
}
