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
	base, fall, _ := m.tail(a, b, width)
	return base + logOneMinusExp(-fall)
}

// tail writes F(b) - F(a) as S(a)*(1 - exp(-fall)), or where upper is false as F(b)*(1 - exp(-fall)); base is ln S(a) or ln F(b).
// The fall is computed without cancellation as far as the models allow.
func (m Model) tail(a, b, width float64) (base, fall float64, upper bool) {
	switch {
	case m == Weibull && b > -20:
		// S(b)/S(a) = exp(-(e^b - e^a)) with e^b - e^a = e^a*expm1(b-a).
		ea := exp(math.Min(a, largestExp))
		if width < 1 || a > largestExp-20 {
			return -ea, ea * math.Expm1(math.Min(width, 18)), true
		}
		return -ea, exp(math.Min(b, largestExp)) - ea, true
	case m == Weibull:
		// ln F(z) = z - e^z/2 + ...
		return b - exp(b)/2, width + exp(b)*math.Expm1(-width)/2, false
	case m == Loglogistic && a > 40: // exponential tails
		return -a, width, true
	case m == Loglogistic && b < -40:
		return b, width, false
	case m == Lognormal && a > 1e5: // S(b)/S(a) = exp((a*a-b*b)/2), all but a factor that is 1 here
		return m.logAbove(a), width * (a/2 + b/2), true
	case m == Lognormal && b < -1e5:
		return m.logBelow(b), -width * (a/2 + b/2), false
	}
	if sa, fb := m.logAbove(a), m.logBelow(b); sa < fb {
		return sa, sa - m.logAbove(b), true
	} else {
		return fb, fb - m.logBelow(a), false
	}
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
	if m == Weibull && width > 0.05 && b > -3 && b < 600 {
		// The hazard is e^z, and nothing cancels.
		ea, eb := exp(a), exp(b)
		fall := eb - ea
		return cut(logOneMinusExp(-fall)-ea, fall, [2]float64{ea, 1}, [2]float64{eb, 1})
	}
	mid, ddd := m.at(a + width/2)
	if width*(1+math.Abs(mid.d)) < narrow {
		q, dq := mid.d*mid.d+mid.dd, 2*mid.d*mid.dd+ddd
		v := mid.v + math.Log(width) + math.Log1p(width*width/24*q)
		dm, dw := mid.d+width*width/24*dq, 1/width+width/12*q
		dww, dmw := -1/(width*width)+q/12, width/12*dq
		return pair{v, dm/2 - dw, dm/2 + dw, mid.dd/4 - dmw + dww, mid.dd/4 - dww, mid.dd/4 + dmw + dww}
	}
	base, fall, upper := m.tail(a, b, width)
	v := base + logOneMinusExp(-fall)
	if upper {
		return cut(v, fall, hazard(m.above(a), 1), hazard(m.above(b), 1))
	}
	// Seen from the other end, a and b change places and signs.
	p := cut(v, fall, hazard(m.below(b), -1), hazard(m.below(a), -1))
	return pair{v, -p.db, -p.da, p.dbb, p.dab, p.daa}
}

// hazard gives h = f/S and the derivative of ln h from ln S; side is -1 for ln F, seen from the other end.
func hazard(j jet, side float64) [2]float64 {
	if j.d == 0 {
		return [2]float64{}
	}
	return [2]float64{math.Abs(j.d), side * j.dd / j.d}
}

// cut gives the derivatives of ln(S(a) - S(b)), from the hazards at both ends and fall = ln S(a) - ln S(b).
func cut(v, fall float64, a, b [2]float64) pair {
	rest := 0.0
	if fall < 700 {
		e := exp(fall) - 1
		if fall < 0.1 {
			e = math.Expm1(fall)
		}
		rest = 1 / e
	}
	pa, pb := a[0]*(1+rest), 0.0
	if rest > 0 {
		pb = b[0] * rest
	}
	return pair{v, -pa, pb, -pa * (a[1] + a[0]*rest), pa * pb, pb * (b[1] - b[0]*(1+rest))}
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
