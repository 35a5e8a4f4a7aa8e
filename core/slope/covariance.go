package slope

import "math"

// covariance is a relative covariance M = basis*L*L'*basis', L lower triangular. The elements of L are what is searched for: no bound has to be
// watched, and the border, where M has no inverse, is reached like any other point.
//
// G full is full in every basis; the basis is turned so that L is diagonal, the larger element first. When groups differ a thousand
// times more in one way than in the other, that way is then one parameter, and what lies across it keeps its digits. G diagonal is diagonal only
// where x counts from nought; its basis stays and its L too is diagonal.
type covariance struct {
	basis    matrix
	l        [3]float64 // elements 11, 21, 22
	diagonal bool
}

// least is a relative standard deviation without any effect. The larger one does not go below it while the search runs.
const least = 1e-9

// free are the indices of the parameters.
func (c covariance) free() []int {
	if c.diagonal {
		return []int{0, 2}
	}
	return []int{0, 1, 2}
}

// start gives the covariance of a level and a slope of relative standard deviations a and b, independent of each other at the pivot; a diagonal
// G has its pivot where x is nought, and a basis whose second column is as long as the slope's effect is wide.
func (d *data) start(o Options, a, b, pivot float64) covariance {
	if !o.Uncorrelated {
		f := matrix{{a, -pivot * b}, {0, b}}
		return spectral(matrix{{1, 0}, {0, 1}}, f.square(), a*b)
	}
	far := d.centre / d.spread
	size := math.Hypot(1, far)
	return covariance{basis: matrix{{1, far / size}, {0, 1 / size}}, l: [3]float64{a, 0, b}, diagonal: true}
}

// spectral turns the basis to the axes of m, of which root is the square root of the determinant.
func spectral(basis matrix, m symmetric, root float64) covariance {
	_, high, v := m.eigen()
	first := max(math.Sqrt(max(high, 0)), least)
	return covariance{basis: basis.times(matrix{{v[1], v[0]}, {-v[0], v[1]}}), l: [3]float64{first, 0, math.Abs(root) / first}}
}

// settled is the same covariance with L diagonal.
func (c covariance) settled() covariance {
	if c.diagonal {
		c.l[0], c.l[2] = math.Abs(c.l[0]), math.Abs(c.l[2])
		return c
	}
	return spectral(c.basis, c.lower().square(), c.l[0]*c.l[2])
}

func (c covariance) lower() matrix { return matrix{{c.l[0], 0}, {c.l[1], c.l[2]}} }

// factor is F with M = F*F'.
func (c covariance) factor() matrix { return c.basis.times(c.lower()) }

// split gives a basis in which M is the diagonal of the squares of the l's first and last element. Off-diagonal elements are small, the first never nought beside one.
func (c covariance) split() (basis matrix, u float64) {
	if c.l[1] == 0 {
		return c.basis, 0
	}
	u = c.l[1] / c.l[0]
	return c.basis.times(matrix{{1, 0}, {u, 1}}), u
}

// gradient turns the derivative by M, as seen from the basis of split, into one by the elements of L.
func (c covariance) gradient(pull symmetric) [3]float64 {
	_, u := c.split()
	return [3]float64{2 * (pull.a - u*pull.b) * c.l[0], 2 * pull.b * c.l[0], 2 * pull.c * c.l[2]}
}

// borders are the covariances nearby that have no inverse, the plainest first.
func (c covariance) borders() []covariance {
	none, first, second := c, c, c
	none.l = [3]float64{}
	first.l = [3]float64{c.l[0], 0, 0}
	second.l = [3]float64{0, 0, c.l[2]}
	if c.diagonal {
		return []covariance{none, second, first}
	}
	return []covariance{none, first}
}

// way gives c with variance added in the direction in which the value falls fastest, if there is one: at the maximum of the likelihood over all M
// that are not negative there is none, whereas a search by L alone can rest where a column of L is nought. It is meant for an L that is diagonal.
func (c covariance) way(now state) (lead func(t float64) covariance, ok bool) {
	p, q := c.l[0]*c.l[0], c.l[2]*c.l[2]
	slopes := [2]float64{now.pull.a / now.a.a, now.pull.c / now.a.c}
	if c.diagonal {
		i := 0
		if slopes[1] < slopes[0] {
			i = 1
		}
		return func(t float64) covariance {
			n := c
			n.l[2*i] = math.Sqrt(c.l[2*i]*c.l[2*i] + t)
			return n
		}, slopes[i] < -flat
	}
	// The direction is judged in units in which both axes carry the same information.
	su, sv := 1/math.Sqrt(now.a.a), 1/math.Sqrt(now.a.c)
	low, _, v := symmetric{slopes[0], now.pull.b * su * sv, slopes[1]}.eigen()
	x, y := v[0]*su, v[1]*sv
	size := math.Hypot(x, y)
	x, y = x/size, y/size
	return func(t float64) covariance {
		return spectral(c.basis, symmetric{p + t*x*x, t * x * y, q + t*y*y}, math.Sqrt(p*q+t*(p*y*y+q*x*x)))
	}, low < -flat
}

// flat is a derivative, relative to the information, that is nought.
const flat = 1e-7
