package shop

import (
	"slices"
	"time"
)

// Months in which a car comes in for its seasonal check: after the winter and before the next (practice).
const (
	springMonth = time.April
	autumnMonth = time.October
)

// planDays are the days on which a car could come: today, the first of every month within two years, and what else is asked for by
// name (placements, follow-up looks). The car is in anyway at its seasonal checks, and today while it stands in the workshop.
func planDays(today time.Time, here bool, more []string) []PlanDay {
	name := "As soon as possible"
	if here {
		name = "Today, the car is here"
	}
	out := []PlanDay{{On: today.Format(dayLayout), Name: name, In: here}}
	add := func(d time.Time) {
		on := d.Format(dayLayout)
		if !d.After(today) || slices.ContainsFunc(out, func(p PlanDay) bool { return p.On == on }) {
			return
		}
		p := PlanDay{On: on, Name: d.Format("2 January 2006")}
		if d.Day() == 1 {
			switch d.Month() {
			case springMonth:
				p.Name, p.In = "Spring check, "+p.Name, true
			case autumnMonth:
				p.Name, p.In = "Autumn check, "+p.Name, true
			}
		}
		out = append(out, p)
	}
	first := time.Date(today.Year(), today.Month(), 1, 0, 0, 0, 0, time.UTC)
	for m := 1; m <= planMonths; m++ {
		add(first.AddDate(0, m, 0))
	}
	for _, on := range more {
		add(day(on))
	}
	slices.SortFunc(out, func(a, b PlanDay) int {
		if a.On < b.On {
			return -1
		}
		return 1
	})
	return out
}
