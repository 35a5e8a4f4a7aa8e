package wear

import "math"

const lnSqrt2Pi = 0.91893853320467274178 // ln sqrt(2 pi)

// phi is the standard normal density.
func phi(z float64) float64 { return math.Exp(-0.5*z*z - lnSqrt2Pi) }

// above is P(Z > z) for a standard normal Z, precise in the upper tail.
func above(z float64) float64 { return 0.5 * math.Erfc(z*(1/math.Sqrt2)) }

// mills is P(Z > z)/phi(z) for z >= 0. Beyond 5 by Laplace's continued fraction (Abramowitz & Stegun 26.2.14), which has 1e-15 there.
func mills(z float64) float64 {
	if z < 5 {
		return above(z) * math.Exp(0.5*z*z+lnSqrt2Pi)
	}
	f := z
	for k := 40; k >= 1; k-- {
		f = z + float64(k)/f
	}
	return 1 / f
}

// between gives ln P(lo < m + s*Z < hi) for a standard normal Z, its derivative by m, and minus its second derivative by m, which is
// positive and below 1/s^2. It stays precise when the interval lies far out in a tail.
func between(lo, hi, m, s float64) (lnP, d1, d2 float64) {
	a, b := (lo-m)/s, (hi-m)/s
	sign := 1.0
	if a+b < 0 { // look at the mirror image, so that the interval lies around or above zero
		a, b, sign = -b, -a, -1
	}
	var h, c float64 // (phi(a)-phi(b))/P and (a phi(a) - b phi(b))/P
	if a < 4 {
		p := above(a) - above(b)
		fa, fb := phi(a), phi(b)
		lnP, h, c = math.Log(p), (fa-fb)/p, (a*fa-b*fb)/p
	} else {
		// Both ends relative to phi(a): P = phi(a) * (M(a) - r*M(b)), r = phi(b)/phi(a).
		r := math.Exp(-0.5 * (b - a) * (b + a))
		p := mills(a) - r*mills(b)
		lnP, h, c = -0.5*a*a-lnSqrt2Pi+math.Log(p), (1-r)/p, (a-r*b)/p
	}
	d1, d2 = sign*h/s, (h*h-c)/(s*s)
	return lnP, d1, min(max(d2, 1e-14/(s*s)), (1-1e-9)/(s*s))
}
