// Package life estimates how long something lasts from looks at it. A look seldom catches the moment at which a fluid turns or a
// filter clogs: seen still good says that the life T is longer than the exposure, seen turned that it is shorter, both on one fill
// that it lies between. Such censored observations are fitted by maximum likelihood (Fit), or joined with what is known of the
// class by Bayes' theorem (NewPosterior), from which Recommend reads an interval off.
//
// ln T has a location mu and a scale sigma for every model: z = (ln t - mu)/sigma. Exposures are in one unit throughout, km or
// months; the package does not care which.
//
// Sources: Meeker & Escobar, Statistical Methods for Reliability Data (1998), ch. 4 (location-scale families), 7, 8 and 11 (fits and
// Weibull data); NIST/SEMATECH e-Handbook of Statistical Methods 8.1.6 and 8.4; Nelson, Applied Life Data Analysis (1982).
package life

import (
	"fmt"
	"math"
)

// Model is the family of distributions of a life.
type Model int

// The models, with F(t) and the names of their two parameters.
const (
	Weibull     Model = iota // 1 - exp(-(t/scale)^shape); sigma = 1/shape, mu = ln scale
	Lognormal                // Phi((ln t - mu)/sigma); the median is exp(mu)
	Loglogistic              // 1/(1 + (t/median)^-shape); sigma = 1/shape, mu = ln median
)

// String gives the name as commands and files write it.
func (m Model) String() string {
	switch m {
	case Weibull:
		return "weibull"
	case Lognormal:
		return "lognormal"
	case Loglogistic:
		return "loglogistic"
	}
	return fmt.Sprintf("Model(%d)", int(m))
}

// ParseModel reads a model's name. It fails for any name that String does not give.
func ParseModel(name string) (Model, error) {
	for m := Weibull; m <= Loglogistic; m++ {
		if m.String() == name {
			return m, nil
		}
	}
	return 0, fmt.Errorf("there is no model %q; expected weibull, lognormal or loglogistic", name)
}

func (m Model) valid() error {
	if m < Weibull || m > Loglogistic {
		return fmt.Errorf("there is no model %d; expected weibull, lognormal or loglogistic", int(m))
	}
	return nil
}

// logSigma turns ln shape (Weibull, loglogistic) or ln sigma (lognormal) into ln sigma, and back.
func (m Model) logSigma(logShape float64) float64 {
	if m == Lognormal {
		return logShape
	}
	return -logShape
}

// quantile gives z with F(z) = p of the standard distribution, 0 < p < 1.
func (m Model) quantile(p float64) float64 {
	switch m {
	case Lognormal:
		return math.Sqrt2 * math.Erfinv(2*p-1)
	case Loglogistic:
		return math.Log(p) - math.Log1p(-p)
	}
	return math.Log(-math.Log1p(-p))
}

// largest keeps exp(z) of the extreme-value distribution and z squared of the normal one finite; nothing that far out has weight.
const (
	largestExp = 690
	largestZ   = 1e150
)

// jet is a function of z: its value, first and second derivative.
type jet struct{ v, d, dd float64 }

// above gives ln S(z), the probability that a life is longer.
func (m Model) above(z float64) jet {
	switch m {
	case Lognormal:
		j := normalBelow(-z)
		j.d = -j.d
		return j
	case Loglogistic:
		j := logisticBelow(-z)
		j.d = -j.d
		return j
	}
	e := exp(math.Min(z, largestExp))
	return jet{-e, -e, -e}
}

// below gives ln F(z), the probability that a life is shorter.
func (m Model) below(z float64) jet {
	switch m {
	case Lognormal:
		return normalBelow(z)
	case Loglogistic:
		return logisticBelow(z)
	}
	e := exp(math.Min(z, largestExp))
	if e < 1e-9 {
		return jet{z - e/2, 1 - e/2, -e / 2}
	}
	if e > 700 {
		return jet{}
	}
	q := exp(-e)
	p := 1 - q
	if e < 0.05 {
		p = -math.Expm1(-e)
	}
	r := e * q / p
	return jet{math.Log(p), r, r * (1 - e - r)}
}

// at gives ln f(z), the density of the standardised logarithm, and its third derivative.
func (m Model) at(z float64) (j jet, ddd float64) {
	switch m {
	case Lognormal:
		z = math.Max(-largestZ, math.Min(z, largestZ))
		return jet{-0.5*z*z - logSqrt2Pi, -z, -1}, 0
	case Loglogistic:
		low, high := logisticBelow(z), logisticBelow(-z)
		fs := -low.dd
		return jet{low.v + high.v, low.d - high.d, -2 * fs}, -2 * fs * (low.d - high.d)
	}
	e := exp(math.Min(z, largestExp))
	return jet{z - e, 1 - e, -e}, -e
}

const logSqrt2Pi = 0.918938533204672741780329736406 // ln sqrt(2 pi)

// normalBelow gives ln Phi(z). Beyond the reach of erfc it uses the asymptotic series (Abramowitz & Stegun 26.2.12).
func normalBelow(z float64) jet {
	z = math.Max(-largestZ, math.Min(z, largestZ))
	if z > -30 {
		p := 0.5 * math.Erfc(-z/math.Sqrt2)
		r := exp(-0.5*z*z-logSqrt2Pi) / p
		return jet{math.Log(p), r, -r * (z + r)}
	}
	q := 1 / (z * z)
	tail := -q * (1 - q*(3-q*(15-q*105)))
	// r = -z/(1+tail), r + z = -z*(-tail)/(1+tail): written so that nothing cancels.
	r := -z / (1 + tail)
	return jet{-0.5*z*z - logSqrt2Pi - math.Log(-z) + math.Log1p(tail), r, -r * (z * tail / (1 + tail))}
}

// logisticBelow gives ln of the logistic distribution function.
func logisticBelow(z float64) jet {
	if z > 0 {
		e := exp(-z)
		return jet{-math.Log1p(e), e / (1 + e), -e / ((1 + e) * (1 + e))}
	}
	e := exp(z)
	return jet{z - math.Log1p(e), 1 / (1 + e), -e / ((1 + e) * (1 + e))}
}
