package wear

import "math"

const (
	lnSqrt2Pi = 0.91893853320467274178 // ln sqrt(2 pi)
	sqrt2Pi   = 2.5066282746310005024
)

// phi is the standard normal density.
func phi(z float64) float64 { return math.Exp(-0.5*z*z) * (1 / sqrt2Pi) }

// above is P(Z > z) for a standard normal Z, precise in the upper tail.
func above(z float64) float64 {
	if z < 0 {
		return 1 - phi(z)*mills(-z)
	}
	return phi(z) * mills(z)
}

// mills is P(Z > z)/phi(z) for z >= 0: Hart's rational approximation 5666 (Hart et al., Computer Approximations (1968), as given by West, Wilmott
// Magazine, May 2005, 70), beyond 5.5, where its printed digits end, Laplace's continued fraction (Abramowitz & Stegun 26.2.14). Coefficients from memory; a test holds them
// against the standard library's Erfc to 1e-15, and to 1e-9 of the value in the tail.
func mills(z float64) float64 {
	if z < 5.5 {
		num := (((((3.52624965998911e-02*z+0.700383064443688)*z+6.37396220353165)*z+33.912866078383)*z+112.079291497871)*z+221.213596169931)*z + 220.206867912376
		den := ((((((8.83883476483184e-02*z+1.75566716318264)*z+16.064177579207)*z+86.7807322029461)*z+296.564248779674)*z+637.333633378831)*z+793.826512519948)*z + 440.413735824752
		return sqrt2Pi * num / den
	}
	f := z
	for k := 50; k >= 1; k-- {
		f = z + float64(k)/f
	}
	return 1 / f
}

// between gives P(lo < m + s*Z < hi) for a standard normal Z as p*exp(e), the derivative of its logarithm by m, and minus the second derivative by m,
// which is positive and below 1/s^2. It stays precise when the interval lies far out in a tail.
func between(lo, hi, m, s float64) (p, e, d1, d2 float64) {
	a, b := (lo-m)/s, (hi-m)/s
	sign := 1.0
	if a+b < 0 { // look at the mirror image, so that the interval lies around or above zero
		a, b, sign = -b, -a, -1
	}
	var h, c float64 // (phi(a)-phi(b))/P and (a phi(a) - b phi(b))/P
	if a < 0 {
		fa, fb := phi(a), phi(b)
		p = 1 - fa*mills(-a) - fb*mills(b)
		h, c = (fa-fb)/p, (a*fa-b*fb)/p
	} else {
		// Both ends relative to phi(a): P = phi(a) * (M(a) - r*M(b)), r = phi(b)/phi(a).
		r := math.Exp(-0.5 * (b - a) * (b + a))
		p = mills(a) - r*mills(b)
		h, c = (1-r)/p, (a-r*b)/p
		e = -0.5*a*a - lnSqrt2Pi
	}
	d1, d2 = sign*h/s, (h*h-c)/(s*s)
	return p, e, d1, min(max(d2, 1e-14/(s*s)), (1-1e-9)/(s*s))
}
