package outlook

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"time"

	"witnessmark/core/unit"
	"witnessmark/core/use"
)

// Days are counted from 1 January 1970; a month is a twelfth of the mean Gregorian year.
const (
	daysPerYear  = 365.2425
	daysPerMonth = daysPerYear / 12
	// horizonYears is how far ahead dates are given. Beyond five years a date says more than anybody knows (the project's own figure).
	horizonYears = 5
)

// dayOf is the number of a day, whatever the hour and the zone.
func dayOf(t time.Time) float64 {
	y, m, d := t.Date()
	return math.Round(float64(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix()) / 86400)
}

// dateOf is the date of a day's number.
func dateOf(day float64) time.Time {
	return time.Unix(int64(math.Round(math.Max(-7e5, math.Min(day, 2.9e6))))*86400, 0).UTC()
}

// clock knows a car's distance as a function of the day.
type clock struct {
	today, horizon float64
	// registered is the day of first registration, when it is known and lies before today.
	registered float64
	dated      bool
	// units is how sentences about the car write their distances.
	units unit.System
	// known is true when there is an odometer reading that can stand.
	known    bool
	readings []use.Reading
	use      use.Use
	// From the newest reading on: the middle distance on some days, and how the quantiles lie around it; see ahead.go.
	ahead ahead
}

func newClock(h *History) clock {
	c := clock{today: dayOf(h.Today), units: h.Car.Units}
	c.horizon = c.today + math.Round(horizonYears*daysPerYear)
	if !h.Car.FirstRegistered.IsZero() {
		c.registered = dayOf(h.Car.FirstRegistered)
		c.dated = c.registered <= c.today
	}
	c.readings = inOrder(distances(h, c.today))
	c.fit()
	return c
}

// distances collects every distance that was noted by a day, the highest of each day.
func distances(h *History, until float64) []use.Reading {
	seen := map[time.Time]float64{}
	byDay := map[float64]float64{}
	add := func(on time.Time, km float64) {
		if !(km >= 0 && km <= 5e6) || on.IsZero() {
			return
		}
		if last, ok := seen[on]; ok && last >= km {
			return
		}
		seen[on] = km
		if day := dayOf(on); day <= until {
			byDay[day] = math.Max(byDay[day], km)
		}
	}
	for _, d := range h.Odometer {
		add(d.On, d.Km)
	}
	for i := range h.Looks {
		add(h.Looks[i].On, h.Looks[i].Km)
	}
	for _, r := range h.Car.Renewed {
		add(r.Date, r.OdometerKm)
	}
	out := make([]use.Reading, 0, len(byDay))
	for day, km := range byDay {
		out = append(out, use.Reading{Day: day, Km: km})
	}
	slices.SortFunc(out, func(a, b use.Reading) int { return cmp.Compare(a.Day, b.Day) })
	return out
}

// inOrder keeps the longest choice of readings that never runs backwards: what was mistyped drops out.
func inOrder(rs []use.Reading) []use.Reading {
	const most = 400
	if len(rs) > most {
		rs = rs[len(rs)-most:]
	}
	length, before := make([]int, len(rs)), make([]int, len(rs))
	best := -1
	for i := range rs {
		length[i], before[i] = 1, -1
		for j := range i {
			if rs[j].Km <= rs[i].Km && length[j]+1 > length[i] {
				length[i], before[i] = length[j]+1, j
			}
		}
		if best < 0 || length[i] >= length[best] {
			best = i
		}
	}
	var out []use.Reading
	for i := best; i >= 0; i = before[i] {
		out = append(out, rs[i])
	}
	slices.Reverse(out)
	return out
}

// fit learns the car's use; readings that it refuses are left out one by one.
func (c *clock) fit() {
	for range 20 {
		u, err := use.Fit(c.readings, use.Usual())
		var odd *use.ReadingError
		if errors.As(err, &odd) && odd.Index < len(c.readings) {
			c.readings = slices.Delete(slices.Clone(c.readings), odd.Index, odd.Index+1)
			continue
		}
		if err == nil {
			c.use, c.known = u, true
			c.ahead = newAhead(u, c.today, c.horizon)
		}
		return
	}
}

// km is the distance on a day: read, between two readings in a straight line, before the first back to the registration,
// after the newest the middle of what is expected. false without any reading.
func (c *clock) km(day float64) (float64, bool) {
	if !c.known {
		return 0, false
	}
	rs := c.readings
	i, found := slices.BinarySearchFunc(rs, day, func(r use.Reading, d float64) int { return cmp.Compare(r.Day, d) })
	switch {
	case found:
		return rs[i].Km, true
	case i == len(rs):
		return c.ahead.km(day, 0), true
	case i > 0:
		return between(day, rs[i-1], rs[i]), true
	case c.dated && c.registered < rs[0].Day:
		return math.Max(0, between(day, use.Reading{Day: c.registered}, rs[0])), true
	}
	return math.Max(0, rs[0].Km-(rs[0].Day-day)*c.ahead.perDay), true
}

func between(day float64, a, b use.Reading) float64 {
	return a.Km + (b.Km-a.Km)*(day-a.Day)/(b.Day-a.Day)
}
