package agenda

import (
	"math"

	"witnessmark/core/point"
)

// DaysPerMonth is the mean length of a month of the Gregorian calendar.
const DaysPerMonth = 365.2425 / 12

// lateHours is what a month beyond the day on which a thing falls due is weighed at, at the least, in hours of labour, by who or what is hurt
// (practice, the project's own figures). It makes what has no price of its own come in time too: a setting, a search for a cause.
var lateHours = map[point.Consequence]float64{point.People: 4, point.Machine: 1.5, point.Comfort: 0.4}

// usualRisk is the accepted risk of passing a limit where the catalogue gives none (the project's own).
var usualRisk = map[point.Consequence]float64{point.People: 0.01, point.Machine: 0.05, point.Comfort: 0.2}

// Accepted is the accepted risk of passing the limit: the ask's own, else by who or what is hurt.
func (a *Ask) Accepted(cat *point.Catalogue) float64 {
	c := a.Consequence
	for _, r := range [...]float64{a.Risk, cat.Risks[c], usualRisk[c]} {
		if r > 0 && r < 1 {
			return r
		}
	}
	return usualRisk[point.Comfort]
}

// PartsShare is what the parts of a job are weighed at while their prices are not known, as a share of its labour with its preparations
// (practice: half of a usual bill is labour).
const PartsShare = 1.0

// Weight is what doing it on day t is weighed at, in the money of worth and hour: worth is what the job costs with its parts and
// preparations, hour what an hour of labour costs. It is worth spread over the life that is thrown away, and the days by which it
// probably comes too late.
func (a *Ask) Weight(cat *point.Catalogue, t, worth, hour float64) float64 {
	early := 0.0
	if a.Life > 0 && worth > 0 {
		early = worth / a.Life
	}
	return early*a.Lost(t) + LatePerDay(early, a.Accepted(cat), hour, a.Consequence)*a.When.TooLate(t)
}

// Lost is how many days of use are probably thrown away by doing it on day t.
func (a *Ask) Lost(t float64) float64 {
	if !(a.Life > 0) {
		return 0
	}
	return math.Min(a.Life, a.Used.TooEarly(t))
}

// LatePerDay is what each day beyond the day on which a thing falls due is weighed at, when each day too early wastes early, an hour of
// labour costs hour and risk is the accepted risk of passing the limit. All but the floor follows from the accepted risk: the day at
// which early (1-F) = late F has passed the limit with probability F = early/(early+late), which is the accepted risk when late =
// early (1-risk)/risk (the critical ratio of Arrow, Harris & Marschak, Econometrica 19 (1951) 250; from memory).
func LatePerDay(early, risk, hour float64, c point.Consequence) float64 {
	floor, ok := lateHours[c]
	if !ok {
		floor = lateHours[point.Comfort]
	}
	floor *= math.Max(0, hour) / DaysPerMonth
	if !(early > 0) || !(risk > 0 && risk < 1) {
		return floor
	}
	return math.Max(floor, early*(1-risk)/risk)
}
