package slope

import "math"

// shape is what the relative covariance may look like: F = t*L with the free elements of L as parameters, so that no bound has to be watched
// and the border, where M has no inverse, is reached like any other point.
type shape struct {
	t    matrix
	free [][2]int
}

// point is a set of parameters; a shape with two uses the first two.
type point [3]float64

// shape gives the free elements. G full is full in every frame, so it is sought in the frame of the data. G diagonal is diagonal only where
// x counts from nought; its second column is scaled to the size that it has in the frame.
func (d *data) shape(o Options) shape {
	if !o.Uncorrelated {
		return shape{matrix{{1, 0}, {0, 1}}, [][2]int{{0, 0}, {1, 0}, {1, 1}}}
	}
	far := d.centre / d.spread
	size := math.Hypot(1, far)
	return shape{matrix{{1, far / size}, {0, 1 / size}}, [][2]int{{0, 0}, {1, 1}}}
}

// factor is F.
func (s shape) factor(p point) matrix { return s.t.times(s.lower(p)) }

func (s shape) lower(p point) matrix {
	var l matrix
	for i, e := range s.free {
		l[e[0]][e[1]] = p[i]
	}
	return l
}

// gradient turns a derivative by M into one by the parameters: 2*t'*pull*F.
func (s shape) gradient(pull symmetric, p point) [3]float64 {
	m := s.t.turned().times(pull.full()).times(s.factor(p))
	var g [3]float64
	for i, e := range s.free {
		g[i] = 2 * m[e[0]][e[1]]
	}
	return g
}

// diagonal says whether the two columns stand alone.
func (s shape) diagonal() bool { return len(s.free) == 2 }

// from gives the parameters of intercept and slope of relative standard deviations a and b with correlation r.
func (s shape) from(a, b, r float64) point {
	if s.diagonal() {
		return point{a, b}
	}
	return point{a, r * b, math.Sqrt(1-r*r) * b}
}

// bordering gives the parameters nearby at which M has no inverse, the plainest first.
func (s shape) bordering(p point) []point {
	if s.diagonal() {
		return []point{{}, {0, p[1]}, {p[0], 0}}
	}
	_, high, v := s.lower(p).square().eigen()
	size := math.Sqrt(max(high, 0))
	return []point{{}, {size * v[1], -size * v[0], 0}}
}

// ways gives the parameters p with variance added in the direction in which the value falls fastest, if there is one: at the maximum of the
// likelihood over all M that are not negative there is none, whereas a search by F alone can rest where a column of F is nought.
func (s shape) ways(p point, now state) (lead func(t float64) point, ok bool) {
	scale := 1e-7 * (now.a.a + now.a.c)
	inner := now.pull.seenFrom(s.t.turned())
	if s.diagonal() {
		switch {
		case inner.a < -scale && inner.a <= inner.c:
			return func(t float64) point { return point{math.Sqrt(p[0]*p[0] + t), p[1]} }, true
		case inner.c < -scale:
			return func(t float64) point { return point{p[0], math.Sqrt(p[1]*p[1] + t)} }, true
		}
		return nil, false
	}
	low, _, v := inner.eigen()
	if low >= -scale {
		return nil, false
	}
	m := s.lower(p).square()
	return func(t float64) point {
		l := m.plus(symmetric{v[0] * v[0], v[0] * v[1], v[1] * v[1]}.scaled(t)).root()
		return point{l[0][0], l[1][0], l[1][1]}
	}, true
}
