// Package slope fits the plain linear mixed model with a line of its own for every group:
//
//	y = (b0 + u0) + (b1 + u1)*x + e,   (u0, u1) ~ N(0, G) over the groups,   e ~ N(0, sigma2)
//
// by restricted or full maximum likelihood, with G full or diagonal. It is the yardstick of every wear forecast.
//
// Model: Laird & Ware, Biometrics 38 (1982) 963; use for degradation: Lu & Meeker, Technometrics 35 (1993) 161. Profiled criterion and
// relative factor: Bates, Maechler, Bolker & Walker, J. Stat. Softw. 67 (2015) no. 1, sections 3.2 to 3.4.
package slope

import (
	"errors"
	"math"
)

// Point is one reading: Y measured at X, each in a unit of the caller's choice.
type Point struct{ X, Y float64 }

// Options say which model is fitted. The zero value is the usual choice: restricted likelihood, G full.
type Options struct {
	// ML takes the full likelihood instead of the restricted one.
	ML bool
	// Uncorrelated holds the covariance of intercept (at X = 0) and slope at nought.
	Uncorrelated bool
}

// Estimate is a fitted model, in the units of the readings.
type Estimate struct {
	// Fixed holds the mean intercept at X = 0 and the mean slope; FixedCov their covariance.
	Fixed    [2]float64
	FixedCov [2][2]float64
	// VarIntercept, VarSlope and Cov are the elements of G.
	VarIntercept, VarSlope, Cov float64
	// Sigma is the standard deviation of a reading about its group's line.
	Sigma float64
	// LogLik is the logarithm of the likelihood, of the restricted one unless ML was asked for.
	LogLik float64
	// Singular says that the best G has no inverse: the data show no more than one way, or none, in which groups differ.
	Singular bool
	// Groups and N count the groups that have readings, and the readings.
	Groups, N int
	// Lines holds the best linear unbiased prediction of each group's line, in the order given; a group without readings has the mean line.
	Lines []Line
}

// Line is the predicted line of one group: Mean holds intercept at X = 0 and slope, Cov the covariance of the error of that prediction, the
// uncertainty of the mean line included.
type Line struct {
	Mean [2]float64
	Cov  [2][2]float64
}

// At gives the level that the line predicts at x, and the variance of its error; a new reading there has Sigma*Sigma more.
func (l Line) At(x float64) (mean, variance float64) {
	return l.Mean[0] + l.Mean[1]*x, max(0, l.Cov[0][0]+x*(2*l.Cov[0][1]+x*l.Cov[1][1]))
}

// Errors of Fit: the model can't be determined from such readings.
var (
	ErrNumber  = errors.New("a reading is not a finite number")
	ErrFew     = errors.New("fewer than three readings: a line and its scatter need at least three")
	ErrOne     = errors.New("all readings belong to one group: how groups differ needs at least two")
	ErrSameX   = errors.New("x is the same in every reading: there is no slope to see")
	ErrNoSpare = errors.New("no group has more readings than a line of its own needs (two different x and a third reading): scatter can't be told from differences between groups")
	ErrExact   = errors.New("the readings of every group lie exactly on a line of its own: no scatter is left, and the likelihood has no maximum")
	ErrScale   = errors.New("the figures are so large or so small, or so far apart, that the answer can't be written as a number")
	ErrEndless = errors.New("the likelihood has no maximum that could be found: the readings don't determine the model")
)

// Fit estimates the model. Groups without readings are allowed. The errors are those listed above; an Estimate without error holds finite
// numbers only.
//
// The likelihood can have several maxima: the search starts wherever a coarse grid over G has a valley, and returns the highest that it found.
func Fit(groups [][]Point, o Options) (Estimate, error) {
	d, err := reduce(groups)
	if err != nil {
		return Estimate{}, err
	}
	best, ok := d.search(o)
	if !ok {
		return Estimate{}, ErrEndless
	}
	e := d.estimate(best, o)
	e.Lines = d.lines(groups, best, e)
	if !e.finite() {
		return Estimate{}, ErrScale
	}
	return e, nil
}

// finite says whether every number of an estimate can be shown.
func (e Estimate) finite() bool {
	all := append(e.Fixed[:], e.VarIntercept, e.VarSlope, e.Cov, e.Sigma, e.LogLik)
	lines := append([]Line{{Mean: e.Fixed, Cov: e.FixedCov}}, e.Lines...)
	for _, l := range lines {
		all = append(all, l.Mean[0], l.Mean[1], l.Cov[0][0], l.Cov[0][1], l.Cov[1][1])
	}
	for _, v := range all {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return e.Sigma > 0
}
