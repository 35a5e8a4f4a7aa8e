package life

import "math"

// order is the number of Gauss-Legendre points of a panel.
const order = 12

// panel is a piece of a row on which the density is a polynomial as far as matters: value is the density at
// the Gauss points, coef its Legendre coefficients, before the mass to the left in the row.
type panel struct {
	mid, half, before float64
	value, coef       [order]float64
}

// row is the density over mu at one w, as panels side by side, with its integral, mean and standard deviation.
type row struct {
	w, sigma           float64
	first, last        int // panels
	mass, mean, spread float64
	logMass, logSpread float64
	peak               peak
	lo, hi, pitch      float64 // ends, and how close points must lie for the trapezoid rule
}

// rule are Gauss-Legendre points and weights on [-1, 1], toCoef the matrix from values there to Legendre coefficients.
var rule = newRule()

type legendreRule struct {
	x, w   [order]float64
	toCoef [order][order]float64
}

// newRule computes the points by Newton's method on the Legendre polynomial (Abramowitz & Stegun 25.4.29).
func newRule() (r legendreRule) {
	for i := range order {
		x := math.Cos(math.Pi * (float64(i) + 0.75) / (order + 0.5))
		slope := 0.0
		for range 50 {
			p := legendre(x)
			slope = order * (x*p[order] - p[order-1]) / (x*x - 1)
			x -= p[order] / slope
		}
		r.x[order-1-i], r.w[order-1-i] = x, 2/((1-x*x)*slope*slope)
	}
	for i := range order {
		p := legendre(r.x[i])
		for k := range order {
			r.toCoef[k][i] = (float64(k) + 0.5) * r.w[i] * p[k]
		}
	}
	return r
}

// legendre gives P_0 ... P_order at x.
func legendre(x float64) (p [order + 1]float64) {
	p[0], p[1] = 1, x
	for k := 1; k < order; k++ {
		p[k+1] = (float64(2*k+1)*x*p[k] - float64(k)*p[k-1]) / float64(k+1)
	}
	return p
}

// until is the mass of the panel left of t in [-1, 1].
func (p *panel) until(t float64) float64 {
	sum := p.coef[0] * (t + 1)
	before, here := 1.0, t
	for k := 1; k < order; k++ {
		next := (float64(2*k+1)*t*here - float64(k)*before) * inverse[k+1]
		sum += p.coef[k] * (next - before) * inverse[2*k+1]
		before, here = here, next
	}
	return p.half * sum
}

// inverse holds 1/k.
var inverse = func() (r [2*order + 2]float64) {
	for k := 1; k < len(r); k++ {
		r[k] = 1 / float64(k)
	}
	return r
}()

// transform turns values at the points into Legendre coefficients.
func (r *legendreRule) transform(value *[order]float64) (coef [order]float64) {
	for k := range order {
		sum := 0.0
		for i, v := range value {
			sum += r.toCoef[k][i] * v
		}
		coef[k] = sum
	}
	return coef
}

// series is the sum of a Legendre series at t in [-1, 1].
func series(coef *[order]float64, t float64) float64 {
	sum := coef[0] + coef[1]*t
	before, here := 1.0, t
	for k := 1; k < order-1; k++ {
		next := (float64(2*k+1)*t*here - float64(k)*before) * inverse[k+1]
		sum += coef[k+1] * next
		before, here = here, next
	}
	return sum
}

// finish sets the moments of a row whose panels are made.
func (r *row) finish(panels []panel) {
	sum, first, second := 0.0, 0.0, 0.0
	for i := r.first; i < r.last; i++ {
		p := &panels[i]
		at := p.mid - r.peak.mu
		// Of the Legendre series only the first three terms have moments up to the second.
		m0, m1, m2 := 2*p.half*p.coef[0], 2*p.half*p.half*p.coef[1]/3, 2*p.half*p.half*p.half*(p.coef[0]/3+2*p.coef[2]/15)
		sum += m0
		first += at*m0 + m1
		second += at*at*m0 + 2*at*m1 + m2
	}
	if !(sum > 0) {
		r.mass = 0
		return
	}
	d := first / sum
	r.mean, r.spread = r.peak.mu+d, math.Sqrt(math.Max(second/sum-d*d, 1e-30))
	r.logMass, r.logSpread = math.Log(r.mass), math.Log(r.spread)
}

// bad is about how much mass the polynomial may miss.
func (p *panel) bad() float64 {
	return (math.Abs(p.coef[order-1]) + math.Abs(p.coef[order-2])) * p.half
}

// below gives the mass of a row left of mu and its density there.
func (g *grid) below(r *row, mu float64) (mass, density float64) {
	lo, hi := r.first, r.last
	if lo == hi || mu <= g.panels[lo].mid-g.panels[lo].half {
		return 0, 0
	}
	if end := g.panels[hi-1]; mu >= end.mid+end.half {
		return r.mass, 0
	}
	for hi-lo > 1 {
		if m := (lo + hi) / 2; mu >= g.panels[m].mid-g.panels[m].half {
			lo = m
		} else {
			hi = m
		}
	}
	p := &g.panels[lo]
	if p.half <= 0 {
		return p.before, 0
	}
	t := (mu - p.mid) / p.half
	if t > 1+1e-9 { // in a gap that was left out as empty
		return p.before + 2*p.half*p.coef[0], 0
	}
	return p.before + p.until(t), math.Max(0, series(&p.coef, t))
}
