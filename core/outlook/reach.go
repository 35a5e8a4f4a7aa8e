package outlook

import (
	"math"
	"time"
)

// coming is a law of the exposure at which something happens: a wear forecast or a turning. A quantile may be +Inf.
type coming interface {
	Quantile(q float64) float64
	CDF(x float64) float64
}

// timeline turns the exposures of one cycle into distances and days.
type timeline struct {
	c     *clock
	km    bool
	begin begin
}

// odometer is the distance at an exposure, 0 where it can't be told.
func (l *timeline) odometer(x float64) float64 {
	if l.km {
		return sane(l.begin.km + x)
	}
	km, ok := l.c.km(math.Min(l.begin.day+x*daysPerMonth, l.c.horizon+1))
	if !ok {
		return 0
	}
	return km
}

// at is the exposure on a day, by the middle of the distance.
func (l *timeline) at(day float64) float64 {
	if !l.km {
		return (day - l.begin.day) / daysPerMonth
	}
	km, _ := l.c.km(day)
	return km - l.begin.km
}

// days gives the days by which it has happened with the probabilities qs; a day after the horizon means beyond it.
func (l *timeline) days(f *table, qs ...float64) []float64 {
	out := make([]float64, len(qs))
	if !l.km {
		for i, q := range qs {
			out[i] = math.Min(l.c.horizon+1, l.begin.day+f.Quantile(q)*daysPerMonth)
		}
		return out
	}
	var kms [combined]float64
	for i := range kms {
		kms[i] = l.begin.km + f.atScore(combinedScores[i])
	}
	for i, q := range qs {
		out[i] = l.c.ahead.day(&kms, q, l.c.horizon)
	}
	return out
}

// reach tells when the limit is reached.
func (l *timeline) reach(f *table) Reach {
	end := math.Max(0, l.at(l.c.horizon))
	var r Reach
	q := [3]float64{0.1, 0.5, 0.9}
	var x [3]float64
	for i := range q {
		if x[i] = f.Quantile(q[i]); math.IsInf(x[i], 1) || math.IsNaN(x[i]) || x[i] > 1e9 {
			x[i] = math.Max(end, f.Quantile(0.01)) // never within what is known
			if math.IsInf(x[i], 1) || x[i] > 1e9 {
				x[i] = end
			}
		}
	}
	x[1], x[2] = math.Max(x[0], x[1]), math.Max(x[0], math.Max(x[1], x[2]))
	r.Exposure = Range{x[0], x[1], x[2]}
	r.Km = Range{l.odometer(x[0]), l.odometer(x[1]), l.odometer(x[2])}
	days := l.days(f, q[:]...)
	r.Low, r.OpenLow = l.date(days[0])
	r.Mid, r.OpenMid = l.date(days[1])
	r.High, r.OpenHigh = l.date(days[2])
	r.Never = math.Max(0, math.Min(1, 1-f.CDF(end)))
	return r
}

// date is a day's date, the horizon's for what lies beyond.
func (l *timeline) date(day float64) (on time.Time, open bool) {
	if !(day <= l.c.horizon) {
		return dateOf(l.c.horizon), true
	}
	return dateOf(day), false
}
