package wear

import "math"

// Curve is how wear of a class runs over the distance, relative to a straight line: g(x) with g(0) = 0 and g(Ref) = Ref, so that the rate is
// the mean rate over the first Ref.
//
// With Bend c >= 0 wear gets faster: g is proportional to x*(1 + c*x/Ref). With c < 0 it gets slower, proportional to
// ln(1 + 2|c|x/Ref)/(2|c|), whose slope begins like that of the other and never reaches zero. c = 0 is the straight line.
type Curve struct {
	Bend float64 `json:"bend"`
	Ref  float64 `json:"x_ref"`
}

// raw is the curve before it is scaled, in units of Ref: t = x/Ref.
func (k Curve) raw(t float64) float64 {
	switch c := k.Bend; {
	case c > 0:
		return t * (1 + c*t)
	case c < 0:
		return math.Log1p(-2*c*t) / (-2 * c)
	}
	return t
}

// At is g(x), in the unit of x.
func (k Curve) At(x float64) float64 {
	if k.Bend == 0 {
		return x
	}
	return k.Ref * k.raw(x/k.Ref) / k.raw(1)
}

// Slope is dg/dx, 1 for a straight line.
func (k Curve) Slope(x float64) float64 {
	t, c := x/k.Ref, k.Bend
	switch {
	case c > 0:
		return (1 + 2*c*t) / k.raw(1)
	case c < 0:
		return 1 / (1 - 2*c*t) / k.raw(1)
	}
	return 1
}

// Inverse is the x at which g(x) = g; +Inf where that lies beyond every number.
func (k Curve) Inverse(g float64) float64 {
	u, c := g/k.Ref*k.raw(1), k.Bend
	switch {
	case c > 0:
		return k.Ref * 2 * u / (1 + math.Sqrt(1+4*c*u))
	case c < 0:
		return k.Ref * math.Expm1(-2*c*u) / (-2 * c)
	}
	return g
}
