package estimate

import (
	"cmp"
	"fmt"
	"slices"

	"witnessmark/core/money"
)

// Changes says in words what a new version changes of an old one, in the order of the new one; empty when nothing that is shown differs.
func Changes(old, now Estimate) []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	for _, it := range now.Items {
		i := slices.IndexFunc(old.Items, func(o Item) bool { return o.ID == it.ID })
		if i < 0 {
			say("%s added", it.Name)
			continue
		}
		o := old.Items[i]
		if o.Name != it.Name {
			say("%s is now called %s", o.Name, it.Name)
		}
		if o.Why != it.Why || o.Wait != it.Wait || o.Warning != it.Warning || o.Must != it.Must || o.Category != it.Category || o.Verdict != it.Verdict {
			say("%s: its words changed", it.Name)
		}
		out = append(out, lineChanges(it.Name, o.Lines, it.Lines, now.Terms.Currency)...)
	}
	for _, o := range old.Items {
		if !slices.ContainsFunc(now.Items, func(it Item) bool { return it.ID == o.ID }) {
			say("%s taken out", o.Name)
		}
	}
	for _, s := range now.Shared {
		i := slices.IndexFunc(old.Shared, func(o Shared) bool { return o.Setup == s.Setup })
		if i < 0 {
			say("%s added", s.Name)
			continue
		}
		out = append(out, lineChanges(s.Name, old.Shared[i].Lines, s.Lines, now.Terms.Currency)...)
	}
	for _, o := range old.Shared {
		if !slices.ContainsFunc(now.Shared, func(s Shared) bool { return s.Setup == o.Setup }) {
			say("%s taken out", o.Name)
		}
	}
	return append(out, headChanges(old, now)...)
}

func headChanges(old, now Estimate) []string {
	var out []string
	say := func(what, from, to string) {
		if from != to {
			out = append(out, fmt.Sprintf("%s: %s instead of %s", what, cmp.Or(to, "none"), cmp.Or(from, "none")))
		}
	}
	say("discount on everything", old.Discount.Percent(), now.Discount.Percent())
	say("day of the visit", dayWords(old.VisitOn), dayWords(now.VisitOn))
	say("valid until", dayWords(old.ValidUntil), dayWords(now.ValidUntil))
	say("note", old.Note, now.Note)
	say("currency", old.Terms.Currency.Code, now.Terms.Currency.Code)
	if !slices.Equal(old.Terms.Taxes, now.Terms.Taxes) || old.Terms.Included != now.Terms.Included || old.Terms.PerLine != now.Terms.PerLine || old.Terms.Round != now.Terms.Round {
		out = append(out, "taxes or rounding changed")
	}
	if old.Owner != now.Owner || !slices.Equal(old.Car, now.Car) || !slices.Equal(old.Workshop, now.Workshop) {
		out = append(out, "the head changed")
	}
	return out
}

func lineChanges(item string, old, now []Line, c money.Currency) []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, item+": "+fmt.Sprintf(format, args...)) }
	for _, l := range now {
		i := slices.IndexFunc(old, func(o Line) bool { return o.ID == l.ID })
		if i < 0 {
			say("%s added", l.Name)
			continue
		}
		o := old[i]
		if o == l {
			continue
		}
		if o.Name != l.Name || o.Number != l.Number {
			say("%s instead of %s", l.Name, o.Name)
		}
		if o.Milli != l.Milli || o.Unit != l.Unit {
			say("%s %s instead of %s", l.Name, l.Much(), o.Much())
		}
		if o.Price != l.Price || o.Open != l.Open {
			say("%s at %s instead of %s", l.Name, price(c, l), price(c, o))
		}
		if o.Discount != l.Discount {
			say("%s with %s off instead of %s", l.Name, l.Discount.Percent(), o.Discount.Percent())
		}
		if o.Tax != l.Tax {
			say("%s with the tax %s instead of %s", l.Name, l.Tax, o.Tax)
		}
	}
	for _, o := range old {
		if !slices.ContainsFunc(now, func(l Line) bool { return l.ID == o.ID }) {
			say("%s taken out", o.Name)
		}
	}
	return out
}

func price(c money.Currency, l Line) string {
	if l.Open {
		return "an open price"
	}
	return money.Format(c, l.Price)
}
