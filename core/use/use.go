package use

import (
	"math"
	"sort"

	"witnessmark/core/root"
)

// horizon is how far from the readings a day is looked for: 100 years.
const horizon = 100 * daysPerYear

// Last is the newest reading: the highest of its day.
func (u Use) Last() Reading { return u.readings[len(u.readings)-1] }

// Reached is the probability that the odometer shows km or more on a day, 0 to 1. After the last reading it never falls below
// it; between two readings it stays between them (a Brownian bridge); before the first it runs back at today's rate.
func (u Use) Reached(day, km float64) float64 { return math.Min(1, u.reached(day, km)) }

func (u Use) reached(day, km float64) float64 {
	first, last := u.readings[0], u.Last()
	if math.IsNaN(day) || math.IsNaN(km) {
		return 0
	}
	switch {
	case day >= last.Day:
		if km <= last.Km {
			return 1
		}
		return u.average(func(p part) float64 {
			time := u.time(p, last.Day, math.Min(day, last.Day+10*horizon))
			return past(p.rate()*time-(km-last.Km), p.scale(time), p)
		})
	case km <= 0:
		return 1
	case day < first.Day:
		if km > first.Km {
			return 0
		}
		return u.average(func(p part) float64 {
			time := u.time(p, math.Max(day, first.Day-10*horizon), first.Day)
			return past(first.Km-km-p.rate()*time, p.scale(time), p)
		})
	}
	i := sort.Search(len(u.readings), func(i int) bool { return u.readings[i].Day > day })
	a, b := u.readings[i-1], u.readings[i]
	switch {
	case km <= a.Km:
		return 1
	case km > b.Km || day == a.Day:
		return 0
	}
	return u.average(func(p part) float64 {
		whole := u.time(p, a.Day, b.Day)
		f := u.time(p, a.Day, day) / whole
		return past(a.Km+f*(b.Km-a.Km)-km, math.Sqrt(p.s2()*whole*f*(1-f)), p)
	})
}

// past is the share above a figure that lies so far below the middle of a t of that scale.
func past(margin, scale float64, p part) float64 {
	switch {
	case scale > 0:
		return student(margin/scale, 2*p.count)
	case margin >= 0:
		return 1
	}
	return 0
}

func (u Use) average(of func(p part) float64) float64 {
	sum := 0.0
	for _, p := range u.parts {
		sum += p.weight * of(p)
	}
	return sum
}

// time is the driving time from one day to another, in days.
func (u Use) time(p part, from, to float64) float64 {
	return p.season.driving(to-u.newYear) - p.season.driving(from-u.newYear)
}

// probability brings q within 0.001 to 0.999; beyond, the model says nothing.
func probability(q float64) float64 {
	if !(q > 0.001) {
		return 0.001
	}
	return math.Min(q, 0.999)
}

// within brings a day within the horizon of the readings; no number becomes the last reading's day.
func (u Use) within(day float64) float64 {
	if math.IsNaN(day) {
		return u.Last().Day
	}
	return math.Max(u.readings[0].Day-horizon, math.Min(day, u.Last().Day+horizon))
}

// Km is the q-quantile of what the odometer shows on a day: it shows less with probability q. On the day of a reading it is
// the reading, later never less, before the first never below 0. Days further than 100 years away count as 100 years.
func (u Use) Km(day, q float64) float64 { return u.quantile(u.within(day), probability(q)) }

func (u Use) quantile(day, q float64) float64 {
	last := u.Last()
	low, high := 0.0, last.Km
	more := func(km float64) bool { return u.Reached(day, km) > 1-q }
	if day >= last.Day {
		low = last.Km
		for step := 1000.0; more(high) && step < 1e12; step *= 2 {
			low, high = high, last.Km+step
		}
	} else if r, ok := u.on(day); ok {
		return r.Km
	}
	for high-low > 1e-3 {
		if middle := low + (high-low)/2; more(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return low + (high-low)/2
}

// on is the reading of exactly that day.
func (u Use) on(day float64) (Reading, bool) {
	i := sort.Search(len(u.readings), func(i int) bool { return u.readings[i].Day >= day })
	if i < len(u.readings) && u.readings[i].Day == day {
		return u.readings[i], true
	}
	return Reading{}, false
}

// Day is the q-quantile of the day on which the odometer reaches km: with probability q it is reached by then. It is +Inf when
// that may never be: when the probability does not come to q within 100 years. A distance passed before the first reading is
// looked for up to 100 years back. A later day never lies in the depth of a season in which the car stands: it is then the end
// of that season, or for q below a half its beginning.
func (u Use) Day(km, q float64) float64 {
	if math.IsNaN(km) || math.IsInf(km, 1) {
		return math.Inf(1)
	}
	q = probability(q)
	low, high := u.readings[0].Day-horizon, u.Last().Day+horizon
	if km > u.Last().Km {
		low = u.Last().Day
	} else {
		high = u.Last().Day
	}
	return u.awake(firstDay(low, high, q, minute, func(day float64) float64 { return u.Reached(day, km) }), q)
}

// minute is the precision of a day that is looked for.
const minute = 1.0 / (24 * 60)

// firstDay is the day between low and high on which a growing probability comes to q, to the width in days; +Inf if none is.
func firstDay(low, high, q, width float64, reached func(day float64) float64) float64 {
	if reached(low) >= q {
		return low
	}
	for step := 256.0; low+step < high; step *= 4 { // most days that are asked for are not far
		if reached(low+step) >= q {
			return lastStep(low, low+step, q, width, reached)
		}
		low += step
	}
	if reached(high) < q {
		return math.Inf(1)
	}
	return lastStep(low, high, q, width, reached)
}

func lastStep(low, high, q, width float64, reached func(day float64) float64) float64 {
	day := root.Find(func(day float64) float64 { return reached(day) - q }, low, high, width)
	return math.Min(high, day+width/2) // the far end of the last bracket: there it is reached
}

// Rate is what the car runs in a year at present, in km: the middle, and the range that holds the rate with 80 %.
func (u Use) Rate() (low, middle, high float64) {
	of := func(q float64) float64 {
		below := func(rate float64) float64 {
			return u.average(func(p part) float64 {
				return student((rate/daysPerYear-p.run/p.time)/math.Sqrt(p.s2()/p.time), 2*p.count)
			})
		}
		a, b := 0.0, 1000.0
		for below(b) < q && b < 1e12 {
			a, b = b, 2*b
		}
		for b-a > 1e-6 {
			if m := a + (b-a)/2; below(m) < q {
				a = m
			} else {
				b = m
			}
		}
		return a + (b-a)/2
	}
	return of(0.1), of(0.5), of(0.9)
}

// Rest is the stretch of the year in which the car runs least, if the readings speak for one: where it begins and ends as
// fractions of a year after 1 January (an end above 1 lies in the next year), its pace as a share of the pace outside, and
// the probability that there is any such stretch. The stretch is the likeliest one; without any, all figures are 0.
func (u Use) Rest() (from, to, pace, chance float64) {
	best := 0.0
	for _, p := range u.parts {
		if p.season.long == 0 {
			continue
		}
		chance += p.weight
		if p.weight > best {
			best, from, to, pace = p.weight, p.season.from, p.season.from+p.season.long, p.season.pace
		}
	}
	return from, to, pace, math.Min(1, chance)
}

// Odd says whether a reading lies outside the range that holds 99.9 % of what is expected on its day, and gives that range in
// km. It is a reason to ask, never to refuse. A day that is no number is not odd.
func (u Use) Odd(r Reading) (low, high float64, odd bool) {
	const tail = 0.0005
	day := u.within(r.Day)
	low, high = u.quantile(day, tail), u.quantile(day, 1-tail)
	return low, high, r.Km < low-backKm || r.Km > high+backKm
}
