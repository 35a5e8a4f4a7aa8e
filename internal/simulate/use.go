package simulate

import (
	"math"
	"sort"
	"time"
)

// use is a car's distance as a function of date: months of driving around a level that drifts slowly, some cars laid up in
// winter, joined by straight lines.
type use struct {
	born   time.Time
	perYr  float64
	laidUp bool
	km     []float64 // at the end of each 30-day month since born
}

const (
	daysPerYear  = 365.2425
	daysPerMonth = daysPerYear / 12
	knotDays     = 30
)

// newUse draws the distance from birth to a little after the last day.
func newUse(d dice, born, until time.Time, diesel bool) use {
	u := use{born: born, laidUp: d.chance(0.1)}
	mean := 10800.0
	if diesel {
		mean = 15500
	}
	if u.laidUp {
		mean = 5200
	}
	u.perYr = math.Max(2600, math.Min(38000, d.logNormal(math.Log(mean), 0.38)))
	drift, total := 0.0, 0.0
	months := int(until.Sub(born).Hours()/24/knotDays) + 2
	u.km = append(u.km, 0)
	for i := range months {
		drift = 0.94*drift + d.normal(0, 0.07)
		run := u.perYr * knotDays / daysPerYear * math.Exp(drift+d.normal(0, 0.15))
		if at := born.AddDate(0, 0, i*knotDays).Month(); u.laidUp && (at >= time.November || at <= time.February) {
			run *= 0.02
		}
		total += math.Max(3, run)
		u.km = append(u.km, total)
	}
	return u
}

// days counts days from birth.
func (u *use) days(on time.Time) float64 { return on.Sub(u.born).Hours() / 24 }

// date is the day that lies so many days after birth.
func (u *use) date(days float64) time.Time { return u.born.AddDate(0, 0, int(math.Round(days))) }

// at is the odometer in km so many days after birth.
func (u *use) at(days float64) float64 {
	x := math.Max(0, days/knotDays)
	i := min(int(x), len(u.km)-2)
	return u.km[i] + (u.km[i+1]-u.km[i])*(x-float64(i))
}

// when is the day after birth on which the odometer shows km.
func (u *use) when(km float64) float64 {
	i := sort.SearchFloat64s(u.km, km)
	if i == 0 {
		return 0
	}
	if i >= len(u.km) {
		i = len(u.km) - 1
	}
	a, b := u.km[i-1], u.km[i]
	return (float64(i-1) + (km-a)/(b-a)) * knotDays
}

// exposure is what was run between two days after birth, in km or months.
func (u *use) exposure(unit string, from, to float64) float64 {
	if unit == "km" {
		return u.at(to) - u.at(from)
	}
	return (to - from) / daysPerMonth
}

// before is the day after birth that lies so much exposure before another; not before birth.
func (u *use) before(unit string, to, amount float64) float64 {
	if unit == "km" {
		return u.when(math.Max(0, u.at(to)-amount))
	}
	return math.Max(0, to-amount*daysPerMonth)
}
