package slope

import "math"

// matrix is a 2x2 matrix by rows.
type matrix [2][2]float64

func (a matrix) times(b matrix) matrix {
	var c matrix
	for i := range 2 {
		for j := range 2 {
			c[i][j] = a[i][0]*b[0][j] + a[i][1]*b[1][j]
		}
	}
	return c
}

func (a matrix) turned() matrix { return matrix{{a[0][0], a[1][0]}, {a[0][1], a[1][1]}} }

func (a matrix) det() float64 { return a[0][0]*a[1][1] - a[0][1]*a[1][0] }

// square is a*a', symmetric and never negative.
func (a matrix) square() symmetric {
	return symmetric{a[0][0]*a[0][0] + a[0][1]*a[0][1], a[0][0]*a[1][0] + a[0][1]*a[1][1], a[1][0]*a[1][0] + a[1][1]*a[1][1]}
}

// on is a*v.
func (a matrix) on(v [2]float64) [2]float64 {
	return [2]float64{a[0][0]*v[0] + a[0][1]*v[1], a[1][0]*v[0] + a[1][1]*v[1]}
}

// symmetric is the matrix with rows (a, b) and (b, c).
type symmetric struct{ a, b, c float64 }

func (s symmetric) full() matrix { return matrix{{s.a, s.b}, {s.b, s.c}} }

func (s symmetric) det() float64 { return s.a*s.c - s.b*s.b }

func (s symmetric) plus(o symmetric) symmetric { return symmetric{s.a + o.a, s.b + o.b, s.c + o.c} }

func (s symmetric) scaled(f float64) symmetric { return symmetric{f * s.a, f * s.b, f * s.c} }

// inverse is valid for a positive determinant.
func (s symmetric) inverse() symmetric {
	d := s.det()
	return symmetric{s.c / d, -s.b / d, s.a / d}
}

// seenFrom is t*s*t'.
func (s symmetric) seenFrom(t matrix) symmetric {
	m := t.times(s.full()).times(t.turned())
	return symmetric{m[0][0], (m[0][1] + m[1][0]) / 2, m[1][1]}
}

// eigen gives the eigenvalues, the smaller first, and the unit vector of the smaller; that of the larger is (v[1], -v[0]).
func (s symmetric) eigen() (low, high float64, v [2]float64) {
	mid, half := (s.a+s.c)/2, (s.a-s.c)/2
	r := math.Hypot(half, s.b)
	low, high = mid-r, mid+r
	if r == 0 {
		return low, high, [2]float64{1, 0}
	}
	angle := math.Atan2(s.b, half) / 2 // of the larger
	return low, high, [2]float64{-math.Sin(angle), math.Cos(angle)}
}

// solve gives the x of a*x = b for a positive definite a of which the first n rows count; false when it is not.
func solve(a [3][3]float64, b [3]float64, n int) ([3]float64, bool) {
	var l [3][3]float64
	for i := range n {
		for j := 0; j <= i; j++ {
			s := a[i][j]
			for k := range j {
				s -= l[i][k] * l[j][k]
			}
			if i != j {
				l[i][j] = s / l[j][j]
				continue
			}
			if !(s > 1e-14*math.Abs(a[i][i])) {
				return b, false
			}
			l[i][i] = math.Sqrt(s)
		}
	}
	for i := range n {
		for k := range i {
			b[i] -= l[i][k] * b[k]
		}
		b[i] /= l[i][i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			b[i] -= l[k][i] * b[k]
		}
		b[i] /= l[i][i]
	}
	return b, true
}
