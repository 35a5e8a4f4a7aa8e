package wear

import "math"

// law is a normal law of ln b.
type law struct{ mean, variance float64 }

// node is one rate of the quadrature: its logarithm, ln(likelihood * prior), and the level after the last reading.
type node struct {
	th, ln float64
	end    end
}

// usable says whether a node is made of numbers.
func (n *node) usable() bool {
	return math.Abs(n.th) < 2*maxLogRate && !math.IsNaN(n.ln) && !math.IsInf(n.ln, 0) && n.end.variance > 0 && !math.IsInf(n.end.variance, 0) && math.Abs(n.end.mean) < 1e60
}

func (k *chain) point(th float64, p law, tol float64) node {
	e := k.at(math.Exp(th), tol)
	d := th - p.mean
	return node{th, e.lnL - 0.5*d*d/p.variance, e}
}

// peak finds where the posterior of ln b is highest and how wide it is there, by parabolas through three points.
func (k *chain) peak(p law) (centre, scale float64) {
	prior := math.Sqrt(p.variance)
	centre, scale = k.climb(p)
	if math.IsNaN(centre) || math.Abs(centre-p.mean) > 40*prior || !(scale > 1e-7*prior) || scale > prior {
		return p.mean, prior
	}
	return centre, scale
}

// climb is the search itself.
func (k *chain) climb(p law) (centre, scale float64) {
	centre, scale = k.firstGuess(p)
	top := k.point(centre, p, 1e-3).ln
	for range 25 {
		d := 0.8 * scale
		l, r := k.point(centre-d, p, 1e-3).ln, k.point(centre+d, p, 1e-3).ln
		curv := (l - 2*top + r) / (d * d)
		var shift float64
		switch {
		case curv < -0.05/(scale*scale):
			shift = 0.5 * (l - r) / (d * curv)
			scale = min(1/math.Sqrt(-curv), math.Sqrt(p.variance))
			shift = max(-3*scale, min(3*scale, shift))
		case r > l:
			shift = 2 * d
		default:
			shift = -2 * d
		}
		if math.IsNaN(shift) {
			return p.mean, math.Sqrt(p.variance)
		}
		centre += shift
		if math.Abs(shift) < 0.2*scale {
			break
		}
		top = k.point(centre, p, 1e-3).ln
	}
	return centre, scale
}

// firstGuess is the line through the readings, generalised least squares with the start known as far as it is, joined with the prior.
func (k *chain) firstGuess(p law) (centre, scale float64) {
	// Regress on g with the start integrated out: precision-weighted sums.
	pa := 1 / k.startVar
	sw, sg, sy, sgg, sgy := pa, 0.0, pa*k.start, 0.0, 0.0
	for j, s := range k.sights {
		g, y, w := k.g[j], k.sites[j].c, 1/s.r
		sw, sg, sy, sgg, sgy = sw+w, sg+w*g, sy+w*y, sgg+w*g*g, sgy+w*g*y
	}
	info := sgg - sg*sg/sw
	prior := math.Sqrt(p.variance)
	b := (sg*sy/sw - sgy) / info
	if !(info > 0) || !(b > 0) || math.IsInf(b, 0) {
		return p.mean, prior
	}
	rel := 1 / (info * b * b) // variance of ln b by the delta method
	if !(rel < 0.5) {
		return p.mean, prior
	}
	v := 1 / (1/rel + 1/p.variance)
	c := v * (math.Log(b)/rel + p.mean/p.variance)
	return max(p.mean-12*prior, min(p.mean+12*prior, c)), math.Sqrt(v)
}

// reach bounds the walk away from the peak on each side.
const reach = 400

// walk lays an even grid over the posterior of ln b, from the peak outwards until it has fallen by e^-cut. For a smooth density that
// falls off on both sides an even grid converges faster than any power of its step (Trefethen & Weideman, SIAM Review 56 (2014) 385).
func (k *chain) walk(p law, centre, step, cut, tol float64, nodes []node) []node {
	nodes = append(nodes, k.point(centre, p, tol))
	top := nodes[0].ln
	for _, dir := range []float64{-1, 1} {
		for i := 1; i <= reach; i++ {
			n := k.point(centre+dir*float64(i)*step, p, tol)
			if math.IsNaN(n.ln) {
				break
			}
			nodes = append(nodes, n)
			top = max(top, n.ln)
			if n.ln < top-cut {
				break
			}
		}
	}
	return nodes
}

// moments sums a grid: ln of the integral of likelihood times prior, and the posterior's mean and variance.
func moments(nodes []node, step float64, p law) (lnZ float64, post law) {
	top := math.Inf(-1)
	for i := range nodes {
		top = max(top, nodes[i].ln)
	}
	var s0, s1, s2 float64
	mid := nodes[0].th
	for i := range nodes {
		w, d := math.Exp(nodes[i].ln-top), nodes[i].th-mid
		s0 += w
		s1 += w * d
		s2 += w * d * d
	}
	mean := s1 / s0
	if !(s0 > 0) || math.IsInf(s0, 0) || math.IsNaN(mean+s2) { // nothing that a grid could hold: the readings say nothing usable
		return -math.MaxFloat32, p
	}
	lnZ = top + math.Log(s0*step) - lnSqrt2Pi - 0.5*math.Log(p.variance)
	return lnZ, law{mid + mean, max(s2/s0-mean*mean, 0.01*step*step)}
}
