package cause

import "math"

// scaled is the number m * 2^e: probabilities of evidence that a float64 alone can't hold. Scaling by powers of two is exact.
type scaled struct {
	m float64
	e int
}

var one = scaled{1, 0}

func (s scaled) times(x float64) scaled {
	m, e := math.Frexp(s.m * x)
	return scaled{m, s.e + e}
}

func (s scaled) mul(t scaled) scaled {
	r := s.times(t.m)
	r.e += t.e
	return r
}

// value is the number itself; 0 when it is too small for a float64.
func (s scaled) value() float64 { return math.Ldexp(s.m, s.e) }

// log is the natural logarithm; s must be positive.
func (s scaled) log() float64 { return math.Log(s.m) + float64(s.e)*math.Ln2 }

// over is s/t for t > 0.
func (s scaled) over(t scaled) float64 { return math.Ldexp(s.m/t.m, s.e-t.e) }

// rescale multiplies v by the power of two that brings its largest element into [0.5, 1) and gives the exponent that it
// took out. A vector of zeros stays.
func rescale(v []float64) int {
	top := 0.0
	for _, x := range v {
		top = max(top, x)
	}
	if top == 0 {
		return 0
	}
	_, e := math.Frexp(top)
	if e == 0 {
		return 0
	}
	if e < -1000 || e > 1000 { // the factor itself would not be a normal number
		for i, x := range v {
			v[i] = math.Ldexp(x, -e)
		}
		return e
	}
	f := math.Ldexp(1, -e)
	for i := range v {
		v[i] *= f
	}
	return e
}

// normalise makes v sum to 1 and gives the sum that it had.
func normalise(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	if sum > 0 {
		for i := range v {
			v[i] /= sum
		}
	}
	return sum
}
