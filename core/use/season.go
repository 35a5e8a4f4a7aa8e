package use

import "math"

// season is one way in which driving is spread over the year: evenly, or with a stretch of rest in which the car runs only a
// small share of its rate. Times are fractions of a year after 1 January.
type season struct {
	from, long float64 // the stretch of rest begins at from and is so long; long 0 is an even year
	pace       float64 // the rate in the stretch as a share of the rate outside
	chance     float64 // prior probability
}

// driving is the driving time at a day, in days; over a whole year it runs as fast as the calendar. Only differences count.
func (s season) driving(day float64) float64 {
	if s.long == 0 {
		return day
	}
	x := day/daysPerYear - s.from
	year := math.Floor(x)
	f := x - year
	whole := 1 - s.long*(1-s.pace)
	return daysPerYear * (year + (f-(1-s.pace)*math.Min(f, s.long))/whole)
}

// speed is how fast driving time runs on a day: 1 throughout an even year.
func (s season) speed(day float64) float64 {
	if s.long == 0 {
		return 1
	}
	x := day/daysPerYear - s.from
	whole := 1 - s.long*(1-s.pace)
	if x-math.Floor(x) < s.long {
		return s.pace / whole
	}
	return 1 / whole
}

// rests are the stretches of rest that are considered, around any month: four months or half a year with next to no driving
// (laid up, the commoner reason for an uneven year), the same with a third of the pace, and ten months (driven in the
// holidays). Practice: the project's own; likely is in proportion.
var rests = []struct{ long, pace, likely float64 }{
	{4.0 / 12, 0.02, 3}, {6.0 / 12, 0.02, 2}, {4.0 / 12, 0.35, 1}, {6.0 / 12, 0.35, 1}, {10.0 / 12, 0.1, 1}, {10.0 / 12, 0.35, 1},
}

// seasons lists the even year and every stretch of rest with prior probabilities that add up to 1. Rest around mid-winter is
// the more likely beforehand.
func seasons(even float64) []season {
	out := []season{{chance: even}}
	total := 0.0
	for month := range 12 {
		middle := float64(month) / 12
		likely := 0.3 + math.Exp(2.5*math.Cos(2*math.Pi*middle))
		for _, r := range rests {
			from := middle - r.long/2
			out = append(out, season{from - math.Floor(from), r.long, r.pace, likely * r.likely})
			total += likely * r.likely
		}
	}
	for i := range out[1:] {
		out[i+1].chance *= (1 - even) / total
	}
	return out
}

// standing is the speed below which a car is as good as laid up.
const standing = 0.15

// awake moves a future day out of a stretch in which the car as good as stands: to its end, or for a probability below a half
// to its beginning, so that a range only grows. Nearly nothing happens in between.
func (u Use) awake(day, q float64) float64 {
	last := u.Last().Day
	if !(day > last && day < last+horizon) || !u.stands(day) {
		return day
	}
	step := 1.0
	if q < 0.5 {
		step = -1
	}
	for range 366 {
		if next := day + step; next <= last || next >= last+horizon {
			return math.Max(last, math.Min(next, last+horizon))
		} else if day = next; !u.stands(day) {
			break
		}
	}
	return day
}

// stands says whether the car stands on a day, with at least a third: which months it rests is hard to tell from readings in
// spring and autumn, and a day outside all of them is the better answer.
func (u Use) stands(day float64) bool {
	return u.average(func(p part) float64 {
		if p.season.speed(day-u.newYear) < standing {
			return 1
		}
		return 0
	}) > 1.0/3
}
