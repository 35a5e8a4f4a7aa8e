package life

import "math"

// node is a point of the posterior: location, 1/sigma and weight.
type node struct{ mu, inv, weight float64 }

// Points for averages over mu: the trapezoid rule with these distances is right to about 1e-7 for a normal density (in its standard
// deviations) and for looks that make steps of the width sigma (in sigmas); it would need more than mostPoints for very small sigmas.
const (
	evenPitch  = 0.9
	steepPitch = 0.6
	mostPoints = 120
	faintest   = 1e-9 // share under which a point is left out
)

// makeNodes lists points for averages over the posterior. Rows lie closer than averages need, because quantiles of lives need that.
func (g *grid) makeNodes() {
	stride := max(1, int(math.Min(mostStep, 0.75*g.sd)/g.step))
	for ; stride > 1; stride-- {
		sum := 0.0
		for i := 0; i < len(g.rows); i += stride {
			sum += g.rows[i].mass
		}
		if math.Abs(sum*g.step*float64(stride)/g.total-1) < 1e-7 {
			break
		}
	}
	g.nodes = make([]node, 0, 20*len(g.rows)/stride)
	for _, steep := range []bool{true, false} {
		g.flat = len(g.nodes)
		for i := 0; i < len(g.rows); i += stride {
			r := &g.rows[i]
			share := g.step * float64(stride) * r.mass / g.total
			if share < faintest || g.steep(r) != steep {
				continue
			}
			if steep {
				g.sharp = append(g.sharp, sharp{i, share})
			}
			if g.ev.concave() {
				g.addNodes(r, share, math.Max(r.pitch, (r.hi-r.lo)/(4*mostPoints)))
			} else {
				g.addPanels(r, share, steep)
			}
		}
	}
	g.listed = 0
	for _, n := range g.nodes {
		g.listed += n.weight
	}
}

// sharp is a row whose sigma is so small beside its width that points over mu would make a staircase of the predictive
// distribution; its share is spread over z instead.
type sharp struct {
	row   int
	share float64
}

// steep says whether sigma is too small beside a row for points over mu.
func (g *grid) steep(r *row) bool {
	if r.sigma > r.spread/4 {
		return false // points over z would make one
	}
	if g.ev.concave() {
		return (r.hi-r.lo)/r.pitch > mostPoints
	}
	points := 0
	for i := r.first; i < r.last; i++ {
		points += order * splits(&g.panels[i], r.sigma)
	}
	return points > 2*mostPoints
}

// splits says into how many parts a panel is cut so that each is no wider than the steps of width sigma allow.
func splits(p *panel, sigma float64) int {
	return int(math.Min(1+p.half/(1.5*sigma), 50))
}

// addPanels lists Gauss points of a row; they add up to share.
func (g *grid) addPanels(r *row, share float64, whole bool) {
	scale := share / r.mass
	for j := r.first; j < r.last; j++ {
		p := &g.panels[j]
		n := 1
		if !whole {
			n = splits(p, r.sigma)
		}
		for i := range n {
			for k, x := range rule.x {
				t := -1 + (2*float64(i)+1+x)/float64(n)
				if w := scale * p.half / float64(n) * rule.w[k] * series(&p.coef, t); w > faintest {
					g.nodes = append(g.nodes, node{p.mid + p.half*t, 1 / r.sigma, w})
				}
			}
		}
	}
}

// addNodes lists points of a row, about pitch apart; they add up to share.
func (g *grid) addNodes(r *row, share, pitch float64) {
	n := 1 + int((r.hi-r.lo)/pitch)
	pitch = (r.hi - r.lo) / float64(n)
	first, sum := len(g.nodes), 0.0
	for k := range n {
		mu := r.lo + pitch*(float64(k)+0.5)
		if _, d := g.below(r, mu); d > 0 {
			g.nodes = append(g.nodes, node{mu, 1 / r.sigma, d})
			sum += d
		}
	}
	kept := g.nodes[:first]
	for _, x := range g.nodes[first:] {
		if x.weight *= share / sum; x.weight > faintest {
			kept = append(kept, x)
		}
	}
	g.nodes = kept
}

// spread are points z with weights for averages over a standard distribution: the trapezoid rule.
type spread struct{ z, weight []float64 }

var spreads = [...]spread{Weibull: newSpread(Weibull, -15, 3.4), Lognormal: newSpread(Lognormal, -5.8, 5.8), Loglogistic: newSpread(Loglogistic, -15, 15)}

func newSpread(m Model, low, high float64) (s spread) {
	const pitch = 0.7
	sum := 0.0
	for z := low; z <= high; z += pitch {
		j, _ := m.at(z)
		s.z, s.weight = append(s.z, z), append(s.weight, math.Exp(j.v))
		sum += math.Exp(j.v)
	}
	for i := range s.weight {
		s.weight[i] /= sum
	}
	return s
}

// Node is a point of the posterior with its weight; the weights add up to 1. Shape is sigma for a lognormal life, Scale the median
// of a lognormal or loglogistic one.
type Node struct{ Weight, Shape, Scale float64 }

// Nodes gives points that stand for the posterior: the weighted mean of a smooth function over them is its posterior mean, to about
// 1e-6 of its range.
func (p *Posterior) Nodes() []Node {
	out := make([]Node, len(p.grid.nodes))
	for i, n := range p.grid.nodes {
		shape := n.inv
		if p.model == Lognormal {
			shape = 1 / n.inv
		}
		out[i] = Node{n.weight / p.grid.listed, shape, expSaturated(n.mu)}
	}
	return out
}

// Survival gives the predictive probability that a life is longer than x. It is 1 where x is not above 0.
func (p *Posterior) Survival(x float64) float64 {
	if !(x > 0) {
		return 1
	}
	below, _ := p.shorter(math.Log(x))
	return 1 - below
}

// shorter gives the predictive distribution function and density of ln T at y.
func (p *Posterior) shorter(y float64) (share, density float64) {
	g := &p.grid
	kept := 0.0
	for i := range g.nodes[g.flat:] {
		n := &g.nodes[g.flat+i]
		s, f := p.model.survive((y - n.mu) * n.inv)
		kept += n.weight * s
		density += n.weight * f * n.inv
	}
	for _, x := range g.sharp {
		r := &g.rows[x.row]
		scale := x.share / r.mass
		at := &spreads[p.model]
		for k, z := range at.z {
			m, d := g.below(r, y-r.sigma*z)
			kept += scale * at.weight[k] * (r.mass - m)
			density += scale * at.weight[k] * d
		}
	}
	return math.Min(1, math.Max(0, 1-kept/g.listed)), density / g.listed
}

// Quantile gives the predictive quantile: the exposure by which a life ends with probability q. q is held between 1e-9 and 1-1e-9,
// and the answer inside the positive finite numbers.
func (p *Posterior) Quantile(q float64) float64 {
	q = inner(q)
	return expSaturated(solve(q, p.around(q), p.shorter))
}

// inner holds a probability off the ends.
func inner(q float64) float64 {
	if !(q > 1e-9) {
		return 1e-9
	}
	return math.Min(q, 1-1e-9)
}

// around is a first guess at a predictive quantile of ln T: the mean of the nodes' own.
func (p *Posterior) around(q float64) float64 {
	z, sum := p.model.quantile(q), 0.0
	for _, n := range p.grid.nodes {
		sum += n.weight * math.Max(-farthest, math.Min(n.mu+z/n.inv, farthest))
	}
	return sum / p.grid.listed
}

// LifeQuantile gives the posterior q-quantile of the exposure by which the share lifeP of lives has ended: LifeQuantile(0.1, 0.05) is
// the lower end of the 90 % range of the 10 % life. Both are held between 1e-9 and 1-1e-9, and the answer inside the positive finite
// numbers.
func (p *Posterior) LifeQuantile(lifeP, q float64) float64 {
	z, q := p.model.quantile(inner(lifeP)), inner(q)
	points := p.grid.refine(z, 1)
	start := 0.0
	for i := range points {
		start += points[i].share * math.Max(-farthest, math.Min(points[i].centre+points[i].shift, farthest))
	}
	return expSaturated(solve(q, start, func(y float64) (float64, float64) { return p.grid.cdf(points, y) }))
}

// solve finds y where a distribution function reaches q, by Newton's method on its log-odds inside a bracket.
func solve(q, start float64, cdf func(y float64) (share, density float64)) float64 {
	want := math.Log(q / (1 - q))
	low, high, y, stride := math.Inf(-1), math.Inf(1), start, 0.25
	for range 200 {
		f, d := cdf(y)
		if f < q {
			low = y
		} else {
			high = y
		}
		next := math.NaN()
		if f > 0 && f < 1 && d > 0 {
			next = y + (want-math.Log(f/(1-f)))*f*(1-f)/d
		}
		if math.Abs(next-y) < 1e-5 && next > low && next < high { // the next step would be about its square
			return next
		}
		if !(next > low && next < high) || math.Abs(next-y) > 8*stride {
			next = inside(low, high, stride)
			stride *= 2
		}
		if high-low < 1e-10 {
			return next
		}
		y = next
	}
	return y
}
