package renew

import "math"

// Weibull is a life with R(t) = exp(-(t/Scale)^Shape); Scale in units of age.
// Source: NIST/SEMATECH e-Handbook 8.1.6.2.
type Weibull struct{ Shape, Scale float64 }

// Check wants a shape of 0.02 to 10 000 and a positive scale.
func (w Weibull) Check() error {
	if err := within("shape", w.Shape, leastShape, mostShape); err != nil {
		return err
	}
	return within("scale", w.Scale, leastAge, mostAge)
}

// z is the cumulated hazard (t/Scale)^Shape.
func (w Weibull) z(t float64) float64 {
	if t <= 0 {
		return 0
	}
	return math.Exp(w.Shape * math.Log(t/w.Scale))
}

// Survival is exp(-z).
func (w Weibull) Survival(t float64) float64 { return math.Exp(-w.z(t)) }

// Failed is 1 - exp(-z).
func (w Weibull) Failed(t float64) float64 { return -math.Expm1(-w.z(t)) }

// Density is Shape z exp(-z) / t.
func (w Weibull) Density(t float64) float64 {
	z := w.z(t)
	if t <= 0 || z > 700 {
		return 0
	}
	return w.Shape * z * math.Exp(-z) / t
}

func (w Weibull) both(t float64) (survival, density float64) {
	z := w.z(t)
	r := math.Exp(-z)
	if t <= 0 || z > 700 {
		return r, 0
	}
	return r, w.Shape * z * r / t
}

// Integral is Scale/Shape * gamma(1/Shape, z), the lower incomplete gamma function.
func (w Weibull) Integral(t float64) float64 {
	z, a := w.z(t), 1/w.Shape
	if t <= 0 {
		return 0
	}
	if z > a+1 {
		return w.Mean() - w.Rest(t)
	}
	return t * math.Exp(-z) * lowerSeries(a, z)
}

// Rest is Scale/Shape * Gamma(1/Shape, z), the upper incomplete gamma function.
func (w Weibull) Rest(t float64) float64 {
	z, a := w.z(t), 1/w.Shape
	if z <= a+1 {
		return w.Mean() - w.Integral(t)
	}
	if z > 740 { // exp(-z) is 0
		return 0
	}
	return t / w.Shape * math.Exp(-z) * upperFraction(a, z)
}

// Mean is Scale * Gamma(1 + 1/Shape).
func (w Weibull) Mean() float64 { return w.Scale * math.Gamma(1+1/w.Shape) }

// Sharp is the shape.
func (w Weibull) Sharp() float64 { return w.Shape }

// tiny is where a sum or fraction has settled; most bounds the terms, which settle long before for z near a.
const (
	tiny = 1e-17
	most = 20000
)

// lowerSeries is a z^-a exp(z) gamma(a, z) = sum_n z^n / ((a+1)...(a+n)), for 0 <= z <= a+1. All terms are positive.
// Source: NIST Digital Library of Mathematical Functions 8.11.4.
func lowerSeries(a, z float64) float64 {
	term, sum := 1.0, 1.0
	for n := 1.0; n < most; n++ {
		term *= z / (a + n)
		sum += term
		if term < tiny*sum {
			break
		}
	}
	return sum
}

// upperFraction is z^-a exp(z) Gamma(a, z) for z > a+1, from the even part of the continued fraction
// 1/(z+1-a- 1(1-a)/(z+3-a- 2(2-a)/(z+5-a- ...))), summed forwards by the method of Lentz.
// Source: NIST Digital Library of Mathematical Functions 8.9.2 and 1.12(iv), 3.10(iii).
func upperFraction(a, z float64) float64 {
	const floor = 1e-300
	b := z + 1 - a
	c, d := 1/floor, 1/b
	h := d
	for n := 1.0; n < most; n++ {
		an := -n * (n - a)
		b += 2
		d = an*d + b
		if math.Abs(d) < floor {
			d = floor
		}
		c = b + an/c
		if math.Abs(c) < floor {
			c = floor
		}
		d = 1 / d
		step := d * c
		h *= step
		if math.Abs(step-1) < 1e-16 {
			break
		}
	}
	return h
}
