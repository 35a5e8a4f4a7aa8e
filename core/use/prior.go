package use

import (
	"fmt"
	"math"
)

// Prior is what is known of a car's use before its readings, from the class of use. A field that is 0 takes the figure of
// Usual. The figures of Usual are practice, the project's own.
type Prior struct {
	KmPerYear      float64 // mean over the cars of the class
	KmPerYearSD    float64 // standard deviation between cars of the class
	Spread         float64 // km: by how much a year of a car with KmPerYear differs from its own mean (standard deviation)
	SpreadWeight   float64 // how many increments that figure is worth; at least 1.5
	HalfLifeYears  float64 // after so long a reading counts half, because use drifts
	ChangesPerYear float64 // how often the use changes for good: another job, another driver
	Even           float64 // probability that the car is driven evenly through the year, 0 to 1 (exclusive)
	NewYear        float64 // a day that is a 1 January; 0 also suits days since 1970-01-01. South of the equator give a 1 July
}

// Usual is a private car: 12 000 km a year, more or less by 5000.
func Usual() Prior {
	return Prior{KmPerYear: 12000, KmPerYearSD: 5000, Spread: 2000, SpreadWeight: 2.5, HalfLifeYears: 3, ChangesPerYear: 0.08, Even: 0.75}
}

// complete fills what was left out and refuses what can't be.
func (p Prior) complete() (Prior, error) {
	u := Usual()
	if p.KmPerYear == 0 {
		p.KmPerYear = u.KmPerYear
	}
	share := p.KmPerYear / u.KmPerYear
	for _, f := range []struct {
		name               string
		value              *float64
		usual, least, most float64
	}{
		{"KmPerYear", &p.KmPerYear, 0, 1, 1e6},
		{"KmPerYearSD", &p.KmPerYearSD, u.KmPerYearSD * share, 1e-3, 1e6},
		{"Spread", &p.Spread, u.Spread * share, 1e-3, 1e6},
		{"SpreadWeight", &p.SpreadWeight, u.SpreadWeight, 1.5, 1e6},
		{"HalfLifeYears", &p.HalfLifeYears, u.HalfLifeYears, 0.1, 1e6},
		{"ChangesPerYear", &p.ChangesPerYear, u.ChangesPerYear, 1e-9, 10},
		{"Even", &p.Even, u.Even, 1e-9, 1 - 1e-9},
		{"NewYear", &p.NewYear, 0, -mostDay, mostDay},
	} {
		if *f.value == 0 {
			*f.value = f.usual
		}
		if !(*f.value >= f.least && *f.value <= f.most) {
			return p, fmt.Errorf("prior of use: %s is %v; expected %v to %v", f.name, *f.value, f.least, f.most)
		}
	}
	return p, nil
}

// suited fits the spread to the car: who drives twice as far also differs by twice as much from year to year. The rate over
// all readings is drawn to the prior's by half a year. Practice.
func (p Prior) suited(rs []Reading) Prior {
	const years = 0.5
	first, last := rs[0], rs[len(rs)-1]
	rate := (years*p.KmPerYear + last.Km - first.Km) / (years + (last.Day-first.Day)/daysPerYear)
	p.Spread *= math.Max(0.1, math.Min(rate/p.KmPerYear, 10))
	return p
}

// stats are the sums that a normal-inverse-gamma distribution of (v, s2) is made of; time in days of driving, distance in km.
// With k = time, m = run/time, a = count, b = squares - run^2/(2 time): v | s2 ~ N(m, s2/k), s2 ~ inverse gamma(a, b).
type stats struct{ time, run, count, squares float64 }

// start turns the prior into sums: the time is such that v spreads by KmPerYearSD where s2 has its prior mean.
func (p Prior) start() stats {
	perDay := p.KmPerYear / daysPerYear
	s2 := p.Spread * p.Spread / daysPerYear
	ratio := p.Spread / p.KmPerYearSD
	time := ratio * ratio * daysPerYear
	return stats{time: time, run: perDay * time, count: p.SpreadWeight,
		squares: s2*(p.SpreadWeight-1) + perDay*perDay*time/2}
}

// add takes an increment of so many km over so many days of driving into account.
func (s stats) add(km, time float64) stats {
	return stats{s.time + time, s.run + km, s.count + 0.5, s.squares + km*km/(2*time)}
}

// fade keeps the share w of what was learnt beyond the prior (a power discount of the likelihood; West & Harrison,
// Bayesian Forecasting and Dynamic Models, section 10.8, from memory).
func (s stats) fade(w float64, prior stats) stats {
	return stats{
		prior.time + w*(s.time-prior.time), prior.run + w*(s.run-prior.run),
		prior.count + w*(s.count-prior.count), prior.squares + w*(s.squares-prior.squares),
	}
}

// rest is b, which rounding must not take to 0.
func (s stats) rest() float64 {
	return math.Max(s.squares-s.run*s.run/(2*s.time), 1e-12*s.squares+1e-300)
}

// rate is v's mean, km per day of driving, and s2 the scale of s2, km^2 per day.
func (s stats) rate() float64 { return math.Max(0, s.run/s.time) }
func (s stats) s2() float64   { return s.rest() / s.count }

// scale is that of the predictive Student t of an increment over so many days of driving.
func (s stats) scale(time float64) float64 { return math.Sqrt(s.s2() * (time + time*time/s.time)) }
