package life

import "math"

// shortcut is what a row prepares so that the clear and dark looks, of which there may be thousands, cost little at each mu: their
// probabilities are multiplied, and one logarithm is taken of many. For a Weibull life exp((y-mu)/sigma) is a product, so that all
// clear looks together are one term.
type shortcut struct {
	w, inv float64
	split  bool // the Weibull product is used, about centre
	centre float64
	above  float64   // sum of n*exp((y-centre)/sigma) of the clear looks
	below  []float64 // exp((y-centre)/sigma) of the dark ones
}

// prepare makes the shortcut of a row; it keeps the memory of the last one.
func (s *shortcut) prepare(ev *evidence, w, centre float64) {
	s.w, s.inv, s.centre, s.above, s.below = w, exp(-w), centre, 0, s.below[:0]
	s.split = ev.m == Weibull
	const most = 300 // neither factor of the product may run over
	for _, x := range ev.above {
		s.split = s.split && math.Abs((x.y-centre)*s.inv) < most
	}
	for _, x := range ev.below {
		s.split = s.split && math.Abs((x.y-centre)*s.inv) < most
	}
	if !s.split {
		return
	}
	for _, x := range ev.above {
		s.above += x.n * exp((x.y-centre)*s.inv)
	}
	for _, x := range ev.below {
		s.below = append(s.below, exp((x.y-centre)*s.inv))
	}
}

// product is the logarithm of a product of powers of probabilities.
type product struct{ log, factor float64 }

// take multiplies by f^n; it is false when f is too small to be multiplied.
func (p *product) take(f, n float64) bool {
	if f < 1e-60 {
		return false
	}
	if n != 1 {
		p.log += n * math.Log(f)
		return true
	}
	p.factor *= f
	if p.factor < 1e-200 {
		p.log += math.Log(p.factor)
		p.factor = 1
	}
	return true
}

// spots gives the log-likelihood of the clear and dark looks.
func (s *shortcut) spots(ev *evidence, mu float64) float64 {
	p := product{0, 1}
	if scale := (s.centre - mu) * s.inv; s.split && math.Abs(scale) < 300 {
		f := exp(scale)
		p.log = -s.above * f
		for i, q := range s.below {
			e := q * f
			share := e * (1 - e/2)
			if e > 1e-5 {
				share = 1 - exp(-e)
			}
			if n := ev.below[i].n; !p.take(share, n) {
				p.log += n * (ev.below[i].y - mu) * s.inv
			}
		}
		return p.log + math.Log(p.factor)
	}
	for _, x := range ev.above {
		z := (x.y - mu) * s.inv
		if share, _ := ev.m.survive(z); !p.take(share, x.n) {
			p.log += x.n * ev.m.logAbove(z)
		}
	}
	for _, x := range ev.below {
		z := (x.y - mu) * s.inv
		if !p.take(ev.m.fail(z), x.n) {
			p.log += x.n * ev.m.logBelow(z)
		}
	}
	return p.log + math.Log(p.factor)
}
