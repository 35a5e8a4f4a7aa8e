package life

import (
	"errors"
	"math"
)

// Estimate is a maximum-likelihood fit.
type Estimate struct {
	Model  Model
	Exists bool   // whether the likelihood has a finite maximum; when not, only Model, Reason and Looks are set
	Reason string // why it has none
	Mu     float64
	Sigma  float64 // location and scale of ln T
	// SEMu and SELogSigma are standard errors from the observed information, CovMuLogSigma the covariance that belongs to them.
	SEMu, SELogSigma, CovMuLogSigma float64
	LogLik                          float64 // with densities in the unit of the exposure for exact lives
	Looks                           int
}

// Fit maximises the likelihood of censored looks (Meeker & Escobar 1998, ch. 8 and 11; NIST/SEMATECH e-Handbook 8.4.1.2). Whether
// there is a finite maximum is decided beforehand from the looks themselves, not from where a search stops. It fails for looks that
// cannot be (named by their place) and for an unknown model.
func Fit(looks []Look, m Model) (Estimate, error) {
	if err := m.valid(); err != nil {
		return Estimate{}, err
	}
	s, err := sortLooks(looks)
	if err != nil {
		return Estimate{}, err
	}
	e := Estimate{Model: m, Looks: s.looks, Reason: s.missing()}
	if e.Reason != "" {
		return e, nil
	}
	centre, spread := s.standardise()
	a := ascent{m: m, s: &s}
	if err := a.climb(); err != nil {
		e.Reason = err.Error()
		return e, nil
	}
	return e.from(&a, centre, spread), nil
}

// standardise shifts and scales all logarithms to mean 0 and spread 1, for conditioning only, and says by how much.
func (s *sorted) standardise() (centre, spread float64) {
	n := 0.0
	each := func(f func(y *float64, n float64)) {
		for _, spots := range [][]spot{s.exact, s.above, s.below} {
			for i := range spots {
				f(&spots[i].y, spots[i].n)
			}
		}
		for i := range s.between {
			f(&s.between[i].a, s.between[i].n)
			f(&s.between[i].b, s.between[i].n)
		}
	}
	first := math.NaN()
	each(func(y *float64, k float64) {
		if math.IsNaN(first) {
			first = *y
		}
		centre += k * (*y - first)
		n += k
	})
	centre = first + centre/n
	each(func(y *float64, k float64) { spread += k * (*y - centre) * (*y - centre) })
	spread = math.Sqrt(spread / n)
	each(func(y *float64, _ float64) { *y = (*y - centre) / spread })
	for i := range s.between {
		s.between[i].width /= spread
	}
	return centre, spread
}

// ascent is Newton's method on the concave function of alpha = mu/sigma and beta = 1/sigma.
type ascent struct {
	m           Model
	s           *sorted
	alpha, beta float64
	value       float64
	ga, gb      float64 // gradient
	aa, ab, bb  float64 // second derivatives
}

var errFarOut = errors.New("the likelihood has a maximum, but too far out to be computed: the looks hardly say more than that the spread is very small or very large")

func (a *ascent) climb() error {
	a.beta = 1
	a.measure(a.alpha, a.beta)
	for range 200 {
		da, db, ok := a.step()
		if !ok {
			return errFarOut
		}
		gain := a.ga*da + a.gb*db      // Newton decrement squared
		if gain >= 0 && gain < 1e-13 { // a step of a 3e-7th of the standard error: its square is nothing
			a.alpha, a.beta, a.value = a.alpha+da, a.beta+db, a.value+gain/2
			return nil
		}
		size := 1.0
		if a.beta+db <= 0 {
			size = 0.9 * a.beta / -db
		}
		before := *a
		for a.measure(before.alpha+size*da, before.beta+size*db); !(a.value >= before.value+1e-4*size*gain-1e-13*math.Abs(before.value)); {
			size /= 2
			if size < 1e-12 {
				*a = before
				if gain < 1e-9 {
					return nil
				}
				return errFarOut
			}
			a.measure(before.alpha+size*da, before.beta+size*db)
		}
	}
	return errFarOut
}

// step solves for Newton's step; ok is false when the curvature cannot be told from none.
func (a *ascent) step() (da, db float64, ok bool) {
	det := a.aa*a.bb - a.ab*a.ab
	if !(a.aa < 0 && det > 0) || math.IsInf(det, 0) {
		// Lost in rounding: follow the gradient within the scale of the problem.
		r := 1e-6 + math.Abs(a.aa) + math.Abs(a.bb) + math.Abs(a.ab)
		da, db = a.ga/r, a.gb/r
	} else {
		da, db = (a.ab*a.gb-a.bb*a.ga)/det, (a.ab*a.ga-a.aa*a.gb)/det
	}
	return da, db, !math.IsNaN(da+db) && !math.IsInf(da+db, 0)
}

// measure sets value, gradient and second derivatives at alpha, beta (beta > 0).
func (a *ascent) measure(alpha, beta float64) {
	*a = ascent{m: a.m, s: a.s, alpha: alpha, beta: beta}
	for _, x := range a.s.exact {
		j, _ := a.m.at(beta*x.y - alpha)
		j.v += math.Log(beta)
		a.add(j, x)
		a.gb += x.n / beta
		a.bb -= x.n / (beta * beta)
	}
	for _, x := range a.s.above {
		a.add(a.m.above(beta*x.y-alpha), x)
	}
	for _, x := range a.s.below {
		a.add(a.m.below(beta*x.y-alpha), x)
	}
	for _, x := range a.s.between {
		p := a.m.between(beta*x.a-alpha, beta*x.b-alpha, beta*x.width)
		a.value += x.n * p.v
		a.ga -= x.n * (p.da + p.db)
		a.gb += x.n * (p.da*x.a + p.db*x.b)
		a.aa += x.n * (p.daa + 2*p.dab + p.dbb)
		a.ab -= x.n * (p.daa*x.a + p.dab*(x.a+x.b) + p.dbb*x.b)
		a.bb += x.n * (p.daa*x.a*x.a + 2*p.dab*x.a*x.b + p.dbb*x.b*x.b)
	}
}

func (a *ascent) add(j jet, x spot) {
	d, dd := x.n*j.d, x.n*j.dd
	a.value += x.n * j.v
	a.ga -= d
	a.gb += d * x.y
	a.aa += dd
	a.ab -= dd * x.y
	a.bb += dd * x.y * x.y
}
