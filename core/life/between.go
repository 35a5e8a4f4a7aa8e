package life

import "math"

// pair is a function of two standardised ends, its first and second derivatives.
type pair struct{ v, da, db, daa, dab, dbb float64 }

// narrow is the width, in units over which the density changes, under which an interval is treated by series.
const narrow = 1e-3

// logBetween gives ln(F(b) - F(a)); width = b - a > 0 is handed over because the caller knows it without cancellation.
func (m Model) logBetween(a, b, width float64) float64 {
	if mid, _ := m.at(a + width/2); width*(1+math.Abs(mid.d)) < narrow {
		return mid.v + math.Log(width) + math.Log1p(width*width/24*(mid.d*mid.d+mid.dd))
	}
	switch {
	case m == Weibull:
		return extremeBetween(a, b, width)
	case m == Loglogistic && (a > 40 || b < -40): // exponential tails
		return -math.Min(math.Abs(a), math.Abs(b)) + logOneMinusExp(-width)
	case m == Lognormal && (a > 1e5 || b < -1e5): // S(b)/S(a) = exp((a*a-b*b)/2), all but a factor that is 1 here
		return normalBelow(math.Max(-a, b)).v + logOneMinusExp(-width*math.Abs(a/2+b/2))
	}
	sa, fb := m.logAbove(a), m.logBelow(b)
	if sa < fb { // both in the upper tail
		return sa + logOneMinusExp(m.logAbove(b)-sa)
	}
	return fb + logOneMinusExp(m.logBelow(a)-fb)
}

// extremeBetween is logBetween of the extreme-value distribution: exp(-e^a) - exp(-e^b).
func extremeBetween(a, b, width float64) float64 {
	ea, eb := exp(math.Min(a, largestExp)), exp(math.Min(b, largestExp))
	if eb < 1e-10 {
		return b + logOneMinusExp(-width)
	}
	if width < 1 {
		return -ea + logOneMinusExp(-ea*math.Expm1(width))
	}
	return -ea + logOneMinusExp(-(eb - ea))
}

// logOneMinusExp gives ln(1 - e^x) for x <= 0.
func logOneMinusExp(x float64) float64 {
	if x > -math.Ln2 {
		return math.Log(-math.Expm1(x))
	}
	return math.Log1p(-exp(x))
}

// between gives ln(F(b) - F(a)) with its derivatives, width = b - a > 0.
func (m Model) between(a, b, width float64) pair {
	mid, ddd := m.at(a + width/2)
	if width*(1+math.Abs(mid.d)) < narrow {
		q, dq := mid.d*mid.d+mid.dd, 2*mid.d*mid.dd+ddd
		v := mid.v + math.Log(width) + math.Log1p(width*width/24*q)
		dm, dw := mid.d+width*width/24*dq, 1/width+width/12*q
		dww, dmw := -1/(width*width)+q/12, width/12*dq
		return pair{v, dm/2 - dw, dm/2 + dw, mid.dd/4 - dmw + dww, mid.dd/4 - dww, mid.dd/4 + dmw + dww}
	}
	v := m.logBetween(a, b, width)
	fa, _ := m.at(a)
	fb, _ := m.at(b)
	pa, pb := exp(fa.v-v), exp(fb.v-v)
	return pair{v, -pa, pb, -pa*fa.d - pa*pa, pa * pb, pb*fb.d - pb*pb}
}

// logAbove gives ln S(z) alone.
func (m Model) logAbove(z float64) float64 {
	switch m {
	case Lognormal:
		return logNormalBelow(-z)
	case Loglogistic:
		return logLogisticBelow(-z)
	}
	return -exp(math.Min(z, largestExp))
}

// logBelow gives ln F(z) alone.
func (m Model) logBelow(z float64) float64 {
	switch m {
	case Lognormal:
		return logNormalBelow(z)
	case Loglogistic:
		return logLogisticBelow(z)
	}
	e := exp(math.Min(z, largestExp))
	if e < 1e-9 {
		return z - e/2
	}
	return logOneMinusExp(-e)
}

func logNormalBelow(z float64) float64 {
	if z > -30 {
		return math.Log(0.5 * math.Erfc(-z/math.Sqrt2))
	}
	return normalBelow(z).v
}

func logLogisticBelow(z float64) float64 {
	if z > 0 {
		return -math.Log1p(exp(-z))
	}
	return z - math.Log1p(exp(z))
}

// survive gives S(z) and the density f(z) of the standard distribution.
func (m Model) survive(z float64) (s, f float64) {
	switch m {
	case Lognormal:
		return 0.5 * math.Erfc(z/math.Sqrt2), exp(-0.5*z*z - logSqrt2Pi)
	case Loglogistic:
		if z > 0 {
			e := exp(-math.Min(z, largestExp))
			return e / (1 + e), e / ((1 + e) * (1 + e))
		}
		e := exp(z)
		return 1 / (1 + e), e / ((1 + e) * (1 + e))
	}
	if z > 7 { // exp(-e^7) is 0
		return 0, 0
	}
	e := exp(z)
	s = exp(-e)
	return s, e * s
}

// fail gives F(z), without cancellation where it is small.
func (m Model) fail(z float64) float64 {
	switch m {
	case Lognormal:
		return 0.5 * math.Erfc(-z/math.Sqrt2)
	case Loglogistic:
		return 1 / (1 + exp(-z))
	}
	e := exp(math.Min(z, largestExp))
	if e < 1e-5 {
		return e * (1 - e/2)
	}
	return 1 - exp(-e)
}
