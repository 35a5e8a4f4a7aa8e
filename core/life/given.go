package life

import "math"

// conditional is the posterior once a fill has survived to y = ln of an exposure: nodes with the weights that its survival leaves.
type conditional struct {
	m     Model
	y     float64
	nodes []node
	total float64
}

// thinly is the predictive probability of having survived under which the posterior's points are too few where it matters; then
// the survival is made an observation.
const thinly = 0.01

func (p *Posterior) given(survivedTo float64) conditional {
	c := conditional{m: p.model, y: math.Log(survivedTo)}
	if below, _ := p.shorter(c.y); 1-below < thinly && survivedTo < math.MaxFloat64 {
		more, err := NewPosterior(p.model, p.prior, append(p.obs[:len(p.obs):len(p.obs)], Observation{Kind: Clear, At: survivedTo}))
		if err == nil {
			c.nodes, c.total = more.grid.nodes, more.grid.listed
			return c
		}
	}
	c.nodes = make([]node, 0, len(p.grid.nodes))
	for _, n := range p.grid.nodes {
		if s, _ := p.model.survive((c.y - n.mu) * n.inv); s > 0 {
			n.weight *= s
			c.nodes = append(c.nodes, n)
			c.total += n.weight
		}
	}
	return c
}

// shorter gives P(ln T <= y) and its density, given survival.
func (c *conditional) shorter(y float64) (share, density float64) {
	if y <= c.y || c.total == 0 {
		return 0, 0
	}
	for _, n := range c.nodes {
		z, z0 := (y-n.mu)*n.inv, (c.y-n.mu)*n.inv
		fall := c.m.logAbove(z) - c.m.logAbove(z0)
		share -= n.weight * math.Expm1(math.Min(0, fall))
		hazard := c.m.above(z)
		density -= n.weight * exp(fall) * hazard.d * n.inv
	}
	return math.Min(1, share/c.total), density / c.total
}

// beyond gives z with P(Z > z | Z > z0) = 1 - q for the standard distribution.
func (m Model) beyond(q, z0 float64) float64 {
	want := m.logAbove(z0) + math.Log1p(-q)
	switch m {
	case Weibull:
		return math.Log(-want)
	case Loglogistic:
		if want < -30 {
			return -want
		}
		return math.Log(math.Expm1(-want))
	}
	if p := -math.Expm1(want); p < 0.5 {
		return m.quantile(math.Max(p, math.SmallestNonzeroFloat64))
	}
	// Newton's method on the concave ln S; from the second step on it comes from one side.
	z := math.Max(z0, 0)
	for range 60 {
		j := m.above(z)
		step := (want - j.v) / j.d
		z += step
		if !(math.Abs(step) > 1e-12*(1+math.Abs(z))) {
			break
		}
	}
	return z
}

// SurvivalGiven gives P(T > x | T > survivedTo) of the predictive distribution: that a life has lasted is evidence on shape and scale
// too. It is 1 for x up to survivedTo.
func (p *Posterior) SurvivalGiven(x, survivedTo float64) float64 {
	if !(survivedTo > 0) {
		return p.Survival(x)
	}
	if !(x > survivedTo) {
		return 1
	}
	if math.IsInf(x, 1) {
		return 0
	}
	if before := p.Survival(survivedTo); before >= thinly {
		return math.Min(1, p.Survival(x)/before)
	}
	c := p.given(survivedTo)
	share, _ := c.shorter(math.Log(x))
	return math.Max(0, 1-share)
}

// QuantileGiven gives the exposure by which a life that has lasted to survivedTo ends with probability q: the largest x with
// P(T <= x | T > survivedTo) <= q. q is held between 1e-9 and 1-1e-9; the answer is above survivedTo and finite.
func (p *Posterior) QuantileGiven(q, survivedTo float64) float64 {
	if !(survivedTo > 0) {
		return p.Quantile(q)
	}
	if survivedTo >= math.MaxFloat64 {
		return math.MaxFloat64
	}
	q = inner(q)
	y := 0.0
	if below, _ := p.shorter(math.Log(survivedTo)); 1-below >= thinly {
		// P(T <= x) = 1 - (1-q)*P(T > survivedTo)
		y = solve(inner(below+q*(1-below)), math.Log(survivedTo)+0.1, p.shorter)
	} else {
		c := p.given(survivedTo)
		y = solve(q, c.y+0.1, c.shorter)
	}
	return math.Max(survivedTo, expSaturated(y))
}
