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
	// mostRows and mostPanels bound the work for priors beyond reason.
	mostRows, mostPanels = 1024, 400
)

// grid is the posterior: rows over w at even steps of a stretched variable tau, each row panels over mu. The trapezoid rule over tau
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
	coarse   bool    // rows too narrow to overlap: see smear
	nodes    []node  // points for averages; the first flat of them belong to sharp rows
	sharp    []sharp // rows of the nodes that are spread over z
	flat     int
	listed   float64 // sum of the nodes' weights, 1 but for rounding
	rowScale float64 // mass of the row through the top
	short    shortcut
	stack    []cell
	stretch
}

// stretch maps w to tau: steps of the spread of w where sigma is small, of sigma*reach beside a row's width where it is large.
type stretch struct{ centre, sd, gain, cap float64 }

// tailReach is |z| of the life quantile for which rows are close enough to each other: beyond the 10 % one of a Weibull life.
const (
	tailReach = 2.3
	farthest  = 700 // ln of what a float64 can hold
)

func (s stretch) tau(w float64) float64 {
	return (w-s.centre)/s.sd + s.gain*math.Atan(exp(w)/s.cap)
}

func (s stretch) slope(w float64) float64 {
	u := exp(w) / s.cap
	return 1/s.sd + s.gain*u/(1+u*u)
}

// w inverts tau between two bounds.
func (s stretch) w(tau, low, high float64) float64 {
	x := low + (high-low)/2
	for range 100 {
		f := s.tau(x) - tau
		if f > 0 {
			high = x
		} else {
			low = x
		}
		next := x - f/s.slope(x)
		if !(next > low && next < high) {
			next = low + (high-low)/2
		}
		if math.Abs(next-x) < 1e-14*(1+math.Abs(x)) {
			return next
		}
		x = next
	}
	return x
}

// trail is what one row tells of where the next will lie.
type trail struct {
	mu, w, lead float64    // last peak, and how it moves with w
	ratio       [2]float64 // how far the row reached to each side, in what a normal density would
	cells       int        // how many resolved the row
}

// fill adds the rows at tau0 + step*k for k = 0 ... n-1.
func (g *grid) fill(tau0, step float64, n int, low, high float64) {
	t := trail{mu: g.ev.mu0, ratio: [2]float64{1, 1}, cells: 1}
	for k := range n {
		tau := tau0 + step*float64(k)
		w := g.stretch.w(tau, low, high)
		r := row{w: w, sigma: exp(w), weight: 1 / g.slope(w), tau: tau}
		guess := t.mu
		if k > 1 {
			guess += t.lead * (w - t.w)
		}
		r.peak = g.ev.top(w, guess)
		if k > 0 {
			t.lead = (r.peak.mu - t.mu) / (w - t.w)
		}
		t.mu, t.w = r.peak.mu, w
		g.sweep(&r, &t)
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
	r.lo, r.hi = lo, hi
	r.pitch = math.Min(evenPitch*math.Min(left, right)/fall, steepPitch*r.sigma)
	n := t.cells
	if !g.ev.concave() {
		n = int(math.Min(40, math.Max(4, (hi-lo)/(2*math.Max(r.sigma, (hi-lo)/80)))))
	}
	// A panel holds 4.5 of the widths of a normal density that falls as deep.
	thin := (hi - lo) * 4.5 / (2 * fall)
	if parts := 1 + int(2*fall/4.5); g.ev.concave() && g.ev.few() {
		n, thin = parts, hi-lo // each look costs less than a series
	}
	t.cells = g.resolve(r, lo, hi, n, thin)
}

// resolve measures a row in cells, n of them at first, and lays panels no wider than thin. It gives how many cells to begin with
// next time.
func (g *grid) resolve(r *row, lo, hi float64, n int, thin float64) int {
	stack := g.stack[:0]
	for i := n - 1; i >= 0; i-- {
		stack = append(stack, cell{lo: lo + (hi-lo)*float64(i)/float64(n), hi: lo + (hi-lo)*float64(i+1)/float64(n)})
	}
	prior, worst := g.ev.priorW(r.w), 0.0
	for len(stack) > 0 {
		c := &stack[len(stack)-1]
		bad := g.measure(c, prior)
		worst = math.Max(worst, bad)
		if bad > 1 && c.depth < 50 && r.last-r.first+len(stack) < mostPanels && c.hi-c.lo > 1e-14*(1+math.Abs(c.lo)) {
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
		pieces := 1 + int((done.hi-done.lo)/thin)
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
		p.value[i] = exp(v)
	}
	p.coef = rule.transform(&p.value)
	if p.bad() > resolved*g.rowScale {
		g.lay(r, c, -1, 0, 1)
		g.lay(r, c, 0, 1, 1)
		return
	}
	g.add(r, p)
}

// lay makes a panel of the density on the part [from, to] of a cell, or two where one does not resolve it.
func (g *grid) lay(r *row, c *cell, from, to float64, depth int) {
	mid, half := c.lo+(c.hi-c.lo)/2, (c.hi-c.lo)/2
	p := panel{mid: mid + half*(from+to)/2, half: half * (to - from) / 2}
	for i, x := range rule.x {
		p.value[i] = exp(series(&c.coef, (from+to)/2+x*(to-from)/2))
	}
	p.coef = rule.transform(&p.value)
	if p.bad() > resolved*g.rowScale && depth < 6 {
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

// sum totals the mass; step is the distance of the rows in tau.
func (g *grid) sum(step float64) {
	slices.SortFunc(g.rows, func(a, b row) int { return cmp.Compare(a.tau, b.tau) })
	g.step, g.total = step, 0
	for i := range g.rows {
		g.total += step * g.rows[i].weight * g.rows[i].mass
	}
}

// life gives the posterior distribution function and density at y of a quantile of ln T with z: mu + z*sigma. It takes every
// stride-th row.
func (g *grid) life(z, y float64, stride int) (mass, density float64) {
	total := 0.0
	for i := 0; i < len(g.rows); i += stride {
		r := &g.rows[i]
		if r.mass == 0 {
			continue
		}
		m, d := g.below(r, y-z*r.sigma)
		mass += r.weight * m
		density += r.weight * d
		total += r.weight * r.mass
	}
	return mass / total, density / total
}

// probe is what must stand still while rows are added: the mass, and the distribution of the 5 % life, which asks for more than
// the others do because rows that lie too far apart make a staircase of it.
type probe struct {
	z, logTotal float64
	y, share    [5]float64
}

func (p *probe) take(g *grid, stride int) {
	total := 0.0
	for i := 0; i < len(g.rows); i += stride {
		total += g.rows[i].weight * g.rows[i].mass * g.step * float64(stride)
	}
	p.logTotal = math.Log(total)
	for i, y := range p.y {
		p.share[i], _ = g.life(p.z, y, stride)
	}
}

// place puts the probes where the rows lie, between two of them.
func (p *probe) place(g *grid) {
	p.z = g.ev.m.quantile(0.05)
	sum, next := 0.0, 0
	for i := range g.rows[:len(g.rows)-1] {
		r, after := &g.rows[i], &g.rows[i+1]
		sum += g.step * r.weight * r.mass / g.total
		for next < len(p.y) && sum > [...]float64{0.03, 0.2, 0.5, 0.8, 0.97}[next] {
			at, then := r.peak.mu+p.z*r.sigma, after.peak.mu+p.z*after.sigma
			p.y[next] = at + 0.3*(then-at)
			next++
		}
	}
}

// near says whether two probes agree as well as the coarser one must for the finer one to be right: its error is about the square.
func (p *probe) near(o *probe) bool {
	ok := math.Abs(p.logTotal-o.logTotal) < 1e-4
	for i := range p.share {
		ok = ok && math.Abs(p.share[i]-o.share[i]) < 3e-4
	}
	return ok
}
