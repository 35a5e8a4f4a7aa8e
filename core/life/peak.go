package life

import "math"

// peak is the top of the envelope over mu for one w: where, how wide, how high (with the prior of w).
type peak struct{ mu, width, height float64 }

// top finds the peak by Newton's method on the slope, which only falls, held inside a bracket. mu needs no more than a hundredth of
// the width: only ranges hang on it.
func (ev *evidence) top(w, start float64) peak {
	inv := exp(-w)
	x := start
	j := ev.envelope(x, w, inv)
	low, high := math.Inf(-1), math.Inf(1)
	reach := math.Max(ev.sdM, exp(w))
	for range 200 {
		if j.d > 0 {
			low = x
		} else {
			high = x
		}
		width := 1 / math.Sqrt(-j.dd)
		step := -j.d / j.dd
		if math.Abs(step) < 0.01*width || high-low < 1e-15*(1+math.Abs(x)) {
			break
		}
		next := x + step
		if !(next > low && next < high) {
			next = inside(low, high, reach)
			reach *= 4
		}
		before := j.d
		x = next
		j = ev.envelope(x, w, inv)
		// A wall (exp(-exp)) that Newton climbs only step by step is halved, or run over, instead.
		if math.Abs(j.d) > 0.3*math.Abs(before) && math.Abs(j.d)*width > 3 {
			if j.d > 0 {
				low = x
			} else {
				high = x
			}
			x = inside(low, high, reach)
			reach *= 2
			j = ev.envelope(x, w, inv)
		}
	}
	if math.IsNaN(j.v + j.d + j.dd) {
		return peak{start, reach, math.Inf(-1)}
	}
	width := 1 / math.Sqrt(-j.dd)
	return peak{x, width, j.v + ev.priorW(w)}
}

// inside is a point between two bounds of which one may be missing.
func inside(low, high, reach float64) float64 {
	switch {
	case math.IsInf(low, 0) && math.IsInf(high, 0):
		return 0
	case math.IsInf(high, 0):
		return low + reach
	case math.IsInf(low, 0):
		return high - reach
	}
	return low + (high-low)/2
}

// priorW is the logarithm of the prior density of w, without its constant.
func (ev *evidence) priorW(w float64) float64 {
	t := (w - ev.w0) / ev.sdW
	return -0.5 * t * t
}

// edge finds where the envelope has fallen from its peak to about the level: between exactly there and a little beyond. dir is -1 or 1.
// guess is a distance to begin with.
func (ev *evidence) edge(p peak, s *shortcut, level, dir, guess float64) float64 {
	fall, prior := p.height-level, ev.priorW(s.w)
	near, far := 0.0, math.Inf(1)
	d := guess
	for range 60 {
		drop := p.height - ev.cover(p.mu+dir*d, s) - prior
		if drop >= fall {
			far = d
		} else {
			near = d
		}
		if drop >= fall && drop <= 1.3*fall {
			break
		}
		// The fall is about quadratic in the distance.
		next := d * math.Sqrt(1.12*fall/math.Max(drop, 1e-3*fall))
		if !(next > near*1.001 && next < far*0.999) {
			if math.IsInf(far, 0) {
				next = 2 * d
			} else {
				next = near + (far-near)/2
			}
		}
		if far-near < 0.05*far {
			break
		}
		d = next
	}
	if math.IsInf(far, 0) {
		return d
	}
	return far
}
