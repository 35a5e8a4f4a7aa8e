package life

import (
	"cmp"
	"math"
	"slices"
)

const (
	// tightest is the smallest standard deviation of a prior that is told from certainty.
	tightest = 1e-9
	// depth is how far below its top, in natural logarithms, the posterior is left out: a share of 1e-8.
	depth = 18
	// resolved is how small the last coefficients of a panel must be beside the highest density of all.
	resolved = 3e-7
	// mostRows, mostPanels and mostPieces bound the work for priors beyond reason.
	mostRows, mostPanels, mostPieces = 512, 400, 24
)

// grid is the posterior: rows at even steps of w, each row panels over mu. The trapezoid rule over w
// converges faster than any power for a smooth density that dies out at both ends (Trefethen & Weideman, SIAM Review 56 (2014)
// 385); over mu the panels adapt, because a small sigma makes steps of the looks.
type grid struct {
	ev       evidence
	rows     []row
	panels   []panel
	ref      float64 // logarithm that was taken out of all densities
	level    float64 // what lies lower is left out
	total    float64 // mass relative to ref
	step     float64 // distance of the rows in tau
	nodes    []node  // points for averages; the first flat of them belong to sharp rows
	sharp    []sharp // rows of the nodes that are spread over z
	flat     int
	listed   float64 // sum of the nodes' weights, 1 but for rounding
	rowScale float64 // mass of the row through the top
	short    shortcut
	stack    []cell
	found    crest   // the highest point met, its height above ref
	start    float64 // the top over mu where the rows begin
	sd       float64 // of w at the top, as curved there
}

// overflow is the highest logarithm of a density above ref that is taken; more means that the top was missed, and then all is done again.
const overflow = 300

// farthest is about the logarithm of what a float64 can hold.
const farthest = 700

// trail is what one row tells of where the next will lie.
type trail struct {
	mu, lead float64    // last peak, and how it moves
	ratio    [2]float64 // how far the row reached to each side, in what a normal density would
	top      float64
	cells    int // how many resolved the row
}

// fill adds n rows from w on, step apart.
func (g *grid) fill(w, step float64, n int) {
	t := trail{mu: g.start, top: g.start, ratio: [2]float64{1, 1}, cells: 1}
	for k := range n {
		r := row{w: w + step*float64(k), sigma: exp(w + step*float64(k))}
		guess := t.mu
		if k > 1 {
			guess += t.lead * step
		}
		r.peak = g.ev.top(r.w, guess)
		if k > 0 {
			t.lead = math.Max(-5, math.Min((r.peak.mu-t.mu)/step, 5))
		}
		t.mu = r.peak.mu
		g.sweep(&r, &t)
		r.finish(g.panels)
		g.rows = append(g.rows, r)
	}
}

// cell is a piece of a row on which the logarithm of the density is measured; coef are its Legendre coefficients.
type cell struct {
	lo, hi float64
	depth  int
	top    float64
	value  [order]float64
	coef   [order]float64
}

// sweep makes the panels of a row.
func (g *grid) sweep(r *row, t *trail) {
	r.first = len(g.panels)
	r.last = r.first
	if r.peak.height < g.level {
		return
	}
	fall := math.Sqrt(2*(r.peak.height-g.level) + 0.5)
	g.short.prepare(&g.ev, r.w, r.peak.mu)
	gap := func(side int, dir float64) float64 {
		d := g.ev.edge(r.peak, &g.short, g.level, dir, 1.03*t.ratio[side]*r.peak.width*fall)
		t.ratio[side] = math.Max(1e-3, d/(r.peak.width*fall))
		return d
	}
	left, right := gap(0, -1), gap(1, 1)
	lo, hi := r.peak.mu-left, r.peak.mu+right
	if !(hi-lo > 0 && hi-lo < math.MaxFloat64) {
		return
	}
	r.lo, r.hi = lo, hi
	r.pitch = math.Min(evenPitch*math.Min(left, right)/fall, steepPitch*r.sigma)
	n := t.cells
	top := r.peak.mu
	if !g.ev.concave() {
		n = int(math.Min(40, math.Max(3, (hi-lo)/(3*r.sigma))))
		top, _ = g.comb(r.peak, g.ev.priorW(r.w), t.top)
		t.top = top
	}
	// A panel holds 4.5 of the widths of a normal density that falls as deep.
	thin := (hi - lo) * 4.5 / (2 * fall)
	if parts := 1 + int(math.Min(2*fall/4.5, mostPieces)); g.ev.concave() && g.ev.few() {
		n, thin = parts, hi-lo // each look costs less than a series
	}
	t.cells = g.resolve(r, g.cut(lo, hi, top, n), thin)
}

// cut makes n cells between two ends, the first on top of the stack. Where looks can err one more end lies on the top of the row, so
// that no cell overlooks it.
func (g *grid) cut(lo, hi, top float64, n int) []cell {
	stack := g.stack[:0]
	for i := n - 1; i >= 0; i-- {
		c := cell{lo: lo + (hi-lo)*float64(i)/float64(n), hi: lo + (hi-lo)*float64(i+1)/float64(n)}
		if !g.ev.concave() && top > c.lo && top < c.hi {
			stack = append(stack, cell{lo: top, hi: c.hi})
			c.hi = top
		}
		stack = append(stack, c)
	}
	return stack
}

// resolve measures the cells of a row and lays panels no wider than thin. It gives how many cells to begin with next time.
func (g *grid) resolve(r *row, stack []cell, thin float64) int {
	n := len(stack)
	prior, worst := g.ev.priorW(r.w), 0.0
	for len(stack) > 0 {
		c := &stack[len(stack)-1]
		bad := g.measure(c, prior)
		worst = math.Max(worst, bad)
		if bad > 1 && c.depth < 50 && len(stack) < mostPanels && g.room(r) && c.hi-c.lo > 1e-14*(1+math.Abs(c.lo)) {
			m := c.lo + (c.hi-c.lo)/2
			left := cell{lo: c.lo, hi: m, depth: c.depth + 1}
			c.lo, c.depth = m, c.depth+1
			stack = append(stack, left)
			continue
		}
		done := *c
		stack = stack[:len(stack)-1]
		if done.top < -depth-6 {
			continue
		}
		pieces := 1 + int(math.Min((done.hi-done.lo)/thin, mostPieces))
		if pieces == 1 {
			g.place(r, &done)
			continue
		}
		for i := range pieces {
			g.lay(r, &done, -1+2*float64(i)/float64(pieces), -1+2*float64(i+1)/float64(pieces), 0)
		}
	}
	g.stack = stack
	switch {
	case worst > 1 && n < 5:
		return n + 1
	case worst < 0.01 && n > 1:
		return n - 1
	}
	return n
}

// finest is how well panels are resolved: not finer than the rounding of likelihoods that are tiny beyond all measure.
func (g *grid) finest() float64 { return math.Max(resolved, 1e-15*math.Abs(g.ref)) }

// room says whether a row, and the grid, may have more panels.
func (g *grid) room(r *row) bool {
	return r.last-r.first < mostPanels && len(g.panels) < 40*mostPanels
}

// measure takes the logarithm of the density on a cell. Above 1, the result says that it is not resolved there.
func (g *grid) measure(c *cell, prior float64) float64 {
	mid, half := c.lo+(c.hi-c.lo)/2, (c.hi-c.lo)/2
	v := &c.value
	concave := g.ev.concave()
	c.top = math.Inf(-1)
	for i, x := range rule.x {
		mu := mid + half*x
		v[i] = g.ev.cover(mu, &g.short) + prior - g.ref
		if !concave && v[i] > -depth-6 {
			v[i] += g.ev.erring(mu, g.short.inv)
		}
		v[i] = math.Max(-1e4, v[i])
		c.top = math.Max(c.top, v[i])
		if v[i] > g.found.height {
			g.found = crest{w: g.short.w, at: mu, height: v[i]}
		}
		v[i] = math.Min(v[i], overflow)
	}
	c.coef = rule.transform(v)
	if c.top < -depth-6 {
		return 0
	}
	bad := (math.Abs(c.coef[order-1]) + math.Abs(c.coef[order-2])) * 2 * half * exp(math.Min(c.top, 0))
	return bad / (resolved * g.rowScale)
}

// place makes a panel of a whole cell, unless it does not resolve the density.
func (g *grid) place(r *row, c *cell) {
	p := panel{mid: c.lo + (c.hi-c.lo)/2, half: (c.hi - c.lo) / 2}
	for i, v := range c.value {
		p.value[i] = exp(math.Min(v, overflow))
	}
	p.coef = rule.transform(&p.value)
	if p.bad() > g.finest()*g.rowScale && g.room(r) {
		g.lay(r, c, -1, 0, 1)
		g.lay(r, c, 0, 1, 1)
		return
	}
	g.add(r, p)
}

// overshoot is how far the density may rise between the points of a cell, in natural logarithms. Where next to nothing of the posterior
// lies, its logarithm isn't resolved, and a series through its points can swing up to any height.
const overshoot = 1

// lay makes a panel of the density on the part [from, to] of a cell, or two where one does not resolve it.
func (g *grid) lay(r *row, c *cell, from, to float64, depth int) {
	mid, half := c.lo+(c.hi-c.lo)/2, (c.hi-c.lo)/2
	p := panel{mid: mid + half*(from+to)/2, half: half * (to - from) / 2}
	for i, x := range rule.x {
		p.value[i] = exp(math.Min(series(&c.coef, (from+to)/2+x*(to-from)/2), math.Min(c.top+overshoot, overflow)))
	}
	p.coef = rule.transform(&p.value)
	if p.bad() > g.finest()*g.rowScale && depth < 6 && g.room(r) {
		g.lay(r, c, from, (from+to)/2, depth+1)
		g.lay(r, c, (from+to)/2, to, depth+1)
		return
	}
	g.add(r, p)
}

func (g *grid) add(r *row, p panel) {
	p.before = r.mass
	r.mass += math.Max(0, 2*p.half*p.coef[0])
	g.panels = append(g.panels, p)
	r.last++
}

// sum totals the mass; step is the distance of the rows.
func (g *grid) sum(step float64) {
	slices.SortFunc(g.rows, func(a, b row) int { return cmp.Compare(a.w, b.w) })
	g.step, g.total = step, 0
	for i := range g.rows {
		g.total += step * g.rows[i].mass
	}
}

// torn says whether the mass of the rows does not die out towards both ends: then there is more of it beyond, in rows so wide that
// their density lies below the level. It dies out to 1e-5 of the heaviest row wherever the rows hold all.
func (g *grid) torn() bool {
	first, last, most := 0.0, 0.0, 0.0
	for i := range g.rows {
		m := g.rows[i].mass
		if m > 0 {
			if first == 0 {
				first = m
			}
			last = m
			most = math.Max(most, m)
		}
	}
	return math.Max(first, last) > 1e-3*most
}

// probe is what must stand still while rows are added: the mass, and the distribution of the 5 % life, which asks for more than
// the others do.
type probe struct {
	z, logTotal float64
	y, share    [4]float64
}

func (p *probe) take(g *grid, stride int) {
	total := 0.0
	for i := 0; i < len(g.rows); i += stride {
		total += g.rows[i].mass * g.step * float64(stride)
	}
	p.logTotal = math.Log(total)
	points := g.refine(p.z, stride)
	for i, y := range p.y {
		p.share[i], _ = g.cdf(points, y)
	}
}

// place puts the probes where the mass is.
func (p *probe) place(g *grid) {
	p.z = g.ev.m.quantile(0.05)
	sum, next := 0.0, 0
	for i := range g.rows {
		r := &g.rows[i]
		sum += g.step * r.mass / g.total
		for next < len(p.y) && sum > [...]float64{0.04, 0.3, 0.7, 0.96}[next] {
			p.y[next] = r.mean + p.z*r.sigma + 0.3*r.spread
			next++
		}
	}
}

// near says whether two probes agree as well as the coarser one must for the finer one to be right: its error is the square, or at
// most a 64th where rows are interpolated.
func (p *probe) near(o *probe) bool {
	ok := math.Abs(p.logTotal-o.logTotal) < 2e-4
	for i := range p.share {
		ok = ok && math.Abs(p.share[i]-o.share[i]) < 2e-4
	}
	return ok
}
