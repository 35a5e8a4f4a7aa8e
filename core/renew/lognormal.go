package renew

import "math"

// Lognormal is a life whose logarithm is normal with standard deviation Sigma around ln Median; Median in units of age.
// Source: NIST/SEMATECH e-Handbook 8.1.6.4.
type Lognormal struct{ Sigma, Median float64 }

// Check wants a sigma of 0.0001 to 20 and a positive median.
func (l Lognormal) Check() error {
	if err := within("sigma", l.Sigma, 1e-4, 20); err != nil {
		return err
	}
	return within("median", l.Median, leastAge, mostAge)
}

// z is the standardised logarithm of t.
func (l Lognormal) z(t float64) float64 { return math.Log(t/l.Median) / l.Sigma }

// below is the standard normal distribution function.
func below(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// Survival is the normal share above z.
func (l Lognormal) Survival(t float64) float64 {
	if t <= 0 {
		return 1
	}
	return below(-l.z(t))
}

// Failed is the normal share below z.
func (l Lognormal) Failed(t float64) float64 {
	if t <= 0 {
		return 0
	}
	return below(l.z(t))
}

// Density is phi(z) / (Sigma t).
func (l Lognormal) Density(t float64) float64 {
	if t <= 0 {
		return 0
	}
	z := l.z(t)
	return math.Exp(-z*z/2) / (math.Sqrt(2*math.Pi) * l.Sigma * t)
}

// Integral is t R(t) + Mean * P(Z < z - Sigma): the partial expectation, integrated by parts.
func (l Lognormal) Integral(t float64) float64 {
	if t <= 0 {
		return 0
	}
	return t*l.Survival(t) + l.Mean()*below(l.z(t)-l.Sigma)
}

// Rest is Mean * P(Z > z - Sigma) - t R(t), never below 0.
func (l Lognormal) Rest(t float64) float64 {
	if t <= 0 {
		return l.Mean()
	}
	return math.Max(0, l.Mean()*below(l.Sigma-l.z(t))-t*l.Survival(t))
}

// Mean is Median * exp(Sigma^2/2).
func (l Lognormal) Mean() float64 { return l.Median * math.Exp(l.Sigma*l.Sigma/2) }

// Sharp is 1 / Sigma.
func (l Lognormal) Sharp() float64 { return 1 / l.Sigma }
