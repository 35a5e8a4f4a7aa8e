package simulate

import (
	"sort"
	"time"

	"witnessmark/core/point"
)

// appointment is one round that is to be taken.
type appointment struct {
	day   float64 // after the car's birth
	depth point.Depth
	by    string
	// open is the share of the walk that is done of a round still under way; 0 for a finished one.
	open float64
}

// plan draws the car's rounds: a full one every spring and autumn, some quick looks and driveway rounds between.
func (c *car) plan() []appointment {
	d := newDice(c.w.o.Seed, c.n, "plan")
	o := c.w.o
	from := o.Today.AddDate(-o.Years, 0, 0)
	if d.chance(0.3) {
		from = from.AddDate(0, d.IntN(6*o.Years), 0)
	}
	var out []appointment
	add := func(on time.Time, depth point.Depth, by string) {
		for on.Weekday() == time.Sunday {
			on = on.AddDate(0, 0, 1)
		}
		if on.After(from) && on.Before(o.Today) {
			out = append(out, appointment{day: c.use.days(on), depth: depth, by: by})
		}
	}
	driveway := d.chance(0.2)
	for year := o.Today.Year() - o.Years; year <= o.Today.Year(); year++ {
		spring := time.Date(year, time.March, 1+d.IntN(75), 0, 0, 0, 0, time.UTC)
		autumn := time.Date(year, time.September, 15+d.IntN(75), 0, 0, 0, 0, time.UTC)
		add(spring, point.Full, pick(d, people).Initials)
		if d.chance(0.3) {
			add(time.Date(year, time.June, 5+d.IntN(70), 0, 0, 0, 0, time.UTC), point.Quick, pick(d, people).Initials)
		}
		add(autumn, point.Full, pick(d, people).Initials)
		if driveway && d.chance(0.4) {
			add(time.Date(year, time.December, 15+d.IntN(60), 0, 0, 0, 0, time.UTC), point.Driveway, initials(c.version.Owner.Name))
		}
	}
	return c.withToday(out, d)
}

// withToday puts the two cars that stand in the bay there, and keeps rounds apart.
func (c *car) withToday(list []appointment, d dice) []appointment {
	sort.SliceStable(list, func(i, j int) bool { return list[i].day < list[j].day })
	if share := openShare(c.n, c.w.o.Cars); share > 0 {
		list = append(list, appointment{day: c.today, depth: point.Full, by: pick(d, people).Initials, open: share})
	}
	var out []appointment
	for i, a := range list {
		gap := 12.0
		if i+1 < len(list) && list[i+1].open > 0 {
			gap = 75
		}
		if i+1 < len(list) && list[i+1].day-a.day < gap {
			continue
		}
		out = append(out, a)
	}
	return out
}

// openShare tells how far the round of a car is that stands in the bay on the last day: two cars of the fleet.
func openShare(n, cars int) float64 {
	switch {
	case n == cars/5:
		return 0.62
	case n == cars/2 && cars > 1:
		return 0.18
	}
	return 0
}

// initials are the first letters of a name.
func initials(name string) string {
	out := ""
	for i, r := range name {
		if i == 0 || name[i-1] == ' ' {
			out += string(r)
		}
	}
	return out
}
