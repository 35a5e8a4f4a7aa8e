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
	if m == Weibull {
		// S(a) - S(b) with e^b - e^a = e^a*expm1(b-a).
		e := math.Exp(math.Min(a, largestExp))
		return -e + logOneMinusExp(-e*math.Expm1(math.Min(width, largestExp)))
	}
	sa, fb := m.logAbove(a), m.logBelow(b)
	if sa < fb { // both in the upper tail
		return sa + logOneMinusExp(m.logAbove(b)-sa)
	}
	return fb + logOneMinusExp(m.logBelow(a)-fb)
}

// logOneMinusExp gives ln(1 - e^x) for x <= 0.
func logOneMinusExp(x float64) float64 {
	if x > -math.Ln2 {
		return math.Log(-math.Expm1(x))
	}
	return math.Log1p(-math.Exp(x))
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
	pa, pb := math.Exp(fa.v-v), math.Exp(fb.v-v)
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
	return -math.Exp(math.Min(z, largestExp))
}

// logBelow gives ln F(z) alone.
func (m Model) logBelow(z float64) float64 {
	switch m {
	case Lognormal:
		return logNormalBelow(z)
	case Loglogistic:
		return logLogisticBelow(z)
	}
	e := math.Exp(math.Min(z, largestExp))
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
		return -math.Log1p(math.Exp(-z))
	}
	return z - math.Log1p(math.Exp(z))
}

// survive gives S(z) and the density f(z) of the standard distribution.
func (m Model) survive(z float64) (s, f float64) {
	switch m {
	case Lognormal:
		if z > 38 || z < -38 {
			return 0.5 - math.Copysign(0.5, z), 0
		}
		return 0.5 * math.Erfc(z/math.Sqrt2), math.Exp(-0.5*z*z - logSqrt2Pi)
	case Loglogistic:
		if z > 0 {
			e := math.Exp(-math.Min(z, largestExp))
			return e / (1 + e), e / ((1 + e) * (1 + e))
		}
		e := math.Exp(z)
		return 1 / (1 + e), e / ((1 + e) * (1 + e))
	}
	if z > 7 { // exp(-e^7) is 0
		return 0, 0
	}
	e := math.Exp(z)
	s = math.Exp(-e)
	return s, e * s
}
