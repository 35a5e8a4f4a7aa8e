package life

import "math"

// from turns the top of the ascent, found on standardised logarithms, into an estimate with standard errors.
func (e Estimate) from(a *ascent, centre, spread float64) Estimate {
	// Second derivatives in (mu', ln sigma) at the top, where the gradient is 0: alpha = mu' * beta, beta = exp(-ln sigma).
	alphaMu, alphaLog, betaLog := a.beta, -a.alpha, -a.beta
	mm := a.aa * alphaMu * alphaMu
	ml := alphaMu * (a.aa*alphaLog + a.ab*betaLog)
	ll := a.aa*alphaLog*alphaLog + 2*a.ab*alphaLog*betaLog + a.bb*betaLog*betaLog
	det := mm*ll - ml*ml
	varMu, varLog, cov := -ll/det, -mm/det, ml/det
	e.Mu, e.Sigma = centre+spread*a.alpha/a.beta, spread/a.beta
	e.SEMu, e.SELogSigma, e.CovMuLogSigma = spread*math.Sqrt(varMu), math.Sqrt(varLog), spread*cov
	e.LogLik = a.value
	for _, x := range a.s.exact {
		e.LogLik -= x.n * (math.Log(spread) + centre + spread*x.y)
	}
	e.Exists = true
	for _, x := range []float64{e.Mu, e.Sigma, e.SEMu, e.SELogSigma, e.LogLik} {
		if math.IsNaN(x) || math.IsInf(x, 0) || e.Sigma <= 0 {
			return Estimate{Model: e.Model, Looks: e.Looks, Reason: errFarOut.Error()}
		}
	}
	return e
}

// Shape gives the shape 1/sigma of a Weibull or loglogistic life; for a lognormal one sigma, which plays its part.
func (e Estimate) Shape() float64 {
	if e.Model == Lognormal {
		return e.Sigma
	}
	return 1 / e.Sigma
}

// Scale gives the characteristic life exp(mu) of a Weibull life (63.2 % have turned by it), the median of the other models, in the
// unit of the exposure.
func (e Estimate) Scale() float64 { return expSaturated(e.Mu) }

// Quantile gives the exposure by which the share p, 0 < p < 1, has turned. Outside the range of a float64 it gives the nearest one.
func (e Estimate) Quantile(p float64) float64 {
	return expSaturated(e.Mu + e.Sigma*e.Model.quantile(p))
}

// expSaturated is exp held inside the positive finite numbers.
func expSaturated(y float64) float64 {
	return math.Min(math.Max(math.Exp(y), math.SmallestNonzeroFloat64), math.MaxFloat64)
}
