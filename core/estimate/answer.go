package estimate

import (
	"fmt"
	"slices"
	"time"
)

// MaxPutOffDays is how far ahead an item can be put off (the project's own): three years.
const MaxPutOffDays = 1096

// CheckAnswers finds all that is wrong with an owner's answers, given on a day: every item is answered once; what must not be put off
// isn't, and declining it carries the very warning that was shown; what is put off says until when, and not until the past. An empty today
// is a day that is not known: nothing is said of how far ahead another one is.
func CheckAnswers(e Estimate, answers []Answer, today string) error {
	var c checking
	byID := map[string]int{}
	for _, a := range answers {
		byID[a.Item]++
		i := slices.IndexFunc(e.Items, func(it Item) bool { return it.ID == a.Item })
		if i < 0 {
			c.add(a.Item, "there is no such item")
			continue
		}
		c.answer(&e.Items[i], a, today)
	}
	for _, it := range e.Items {
		switch n := byID[it.ID]; {
		case n == 0:
			c.add(it.ID, it.Name+" has no answer yet")
		case n > 1:
			c.add(it.ID, it.Name+" is answered more than once")
		}
	}
	if len(c.found) > 0 {
		return c.found
	}
	return nil
}

func (c *checking) answer(it *Item, a Answer, today string) {
	until := a.UntilOn != "" || a.UntilKm != 0
	switch a.Answer {
	case Accept:
	case Decline:
		if it.Must && a.Warned != it.Warning {
			c.add(it.ID, it.Name+" must not be put off: read and tick the warning to decline it")
		}
	case PutOff:
		c.putOff(it, a, until, today)
	default:
		c.add(it.ID, fmt.Sprintf("answer %q; expected accept, decline or put-off", a.Answer))
	}
	if a.Answer != PutOff && until {
		c.add(it.ID, it.Name+" is not put off, and says until when")
	}
	if a.Warned != "" && (a.Answer != Decline || a.Warned != it.Warning) {
		c.add(it.ID, it.Name+": the warning is not the one that was shown")
	}
}

func (c *checking) putOff(it *Item, a Answer, until bool, today string) {
	if it.Must {
		c.add(it.ID, it.Name+" must not be put off")
		return
	}
	if !until {
		c.add(it.ID, it.Name+": say until which day or distance it is put off")
	}
	if a.UntilKm < 0 || a.UntilKm > 5_000_000 {
		c.add(it.ID, it.Name+": the distance can't be right")
	}
	if a.UntilOn == "" {
		return
	}
	on, err := time.Parse("2006-01-02", a.UntilOn)
	now, _ := time.Parse("2006-01-02", today)
	switch {
	case err != nil:
		c.add(it.ID, fmt.Sprintf("%s: %q is no day; expected such as 2026-12-01", it.Name, a.UntilOn))
	case today == "":
	case a.UntilOn <= today:
		c.add(it.ID, it.Name+": that day is not ahead")
	case on.Sub(now).Hours() > MaxPutOffDays*24:
		c.add(it.ID, it.Name+": that is more than three years ahead")
	}
}
