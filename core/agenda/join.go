package agenda

import (
	"cmp"
	"slices"
	"time"

	"witnessmark/core/outlook"
	"witnessmark/core/point"
	"witnessmark/core/verdict"
	"witnessmark/core/work"
)

// PutOff is a doing that the owner put off until a day.
type PutOff struct {
	work.Doing
	Until   time.Time
	Verdict verdict.Verdict
}

// FromPutOffs lists what comes back on its day.
func FromPutOffs(cat *point.Catalogue, list []PutOff, today time.Time) []Ask {
	var out []Ask
	for i, p := range list {
		out = append(out, Ask{Doing: p.Doing, Finding: -1, Item: -1, PutOff: i, Verdict: p.Verdict, Consequence: consequence(cat, p.Job),
			When: On(days(today, p.Until)), Due: p.Until, NotBefore: p.Until})
	}
	return out
}

// consequence is the gravest of the points that name a job.
func consequence(cat *point.Catalogue, job string) point.Consequence {
	worst := point.Comfort
	for _, p := range cat.Points {
		if slices.Contains(p.Jobs, job) && p.Consequence.Rank() > worst.Rank() {
			worst = p.Consequence
		}
	}
	return worst
}

// Asked is one doing with all that asks for it.
type Asked struct {
	// Ask is what asks most strongly, with the days that all of them together leave.
	Ask
	// Others ask for it too.
	Others []Ask
	// With are doings that it does on its way.
	With []Asked
}

// Join puts the asks of one doing together, and leaves out doings that others do on their way at about the same time (core/work.Fold).
// What an owner put off does not come before its day, unless it must not be put off. Worst first: what must be done, then by verdict, then
// by the day.
func Join(cat *point.Catalogue, asks []Ask) []Asked {
	var out []Asked
	for _, a := range asks {
		i := slices.IndexFunc(out, func(x Asked) bool { return x.Doing == a.Doing })
		if i < 0 {
			out = append(out, Asked{Ask: a})
			continue
		}
		out[i].Others = append(out[i].Others, a)
	}
	for i := range out {
		out[i].settle()
	}
	slices.SortStableFunc(out, func(a, b Asked) int { return compare(&a.Ask, &b.Ask) })
	return fold(cat, out)
}

// settle makes the strongest of a doing's asks speak for all.
func (x *Asked) settle() {
	all := append([]Ask{x.Ask}, x.Others...)
	slices.SortStableFunc(all, func(a, b Ask) int { return compare(&a, &b) })
	x.Ask, x.Others = all[0], all[1:]
	for _, o := range x.Others {
		if x.Life == 0 && o.Life > 0 && x.Finding < 0 {
			x.Life, x.Used, x.Risk = o.Life, o.Used, o.Risk
		}
		x.Hard = earliest(x.Hard, o.Hard)
	}
	if x.Must {
		return
	}
	for _, o := range all {
		if o.PutOff >= 0 {
			x.NotBefore = later(x.NotBefore, o.NotBefore)
			x.PutOff = o.PutOff
		}
	}
	if x.NotBefore.IsZero() {
		return
	}
	if x.Due.Before(x.NotBefore) {
		for _, o := range all {
			if o.PutOff >= 0 && o.NotBefore.Equal(x.NotBefore) {
				x.When, x.Due = o.When, o.Due
			}
		}
	}
	if x.Hard.Before(x.NotBefore) { // the owner decided so, knowing it
		x.Hard = time.Time{}
	}
}

// compare orders by strength, strongest first.
func compare(a, b *Ask) int {
	if a.Must != b.Must {
		if a.Must {
			return -1
		}
		return 1
	}
	return cmp.Or(b.Verdict.Urgency()-a.Verdict.Urgency(), a.Due.Compare(b.Due), b.Consequence.Rank()-a.Consequence.Rank())
}

// fold leaves out what another doing does on its way, when that one falls due no later than LeastGap days after it.
func fold(cat *point.Catalogue, list []Asked) []Asked {
	into := make([]int, len(list))
	for i := range list {
		into[i] = slices.IndexFunc(list, func(o Asked) bool {
			if o.Doing == list[i].Doing || o.Due.After(list[i].Due.AddDate(0, 0, outlook.LeastGap)) || o.NotBefore.After(list[i].Due) {
				return false
			}
			_, folded := work.Fold(cat, []work.Doing{list[i].Doing, o.Doing})
			return len(folded) == 1 && folded[0].Doing == list[i].Doing
		})
	}
	for i := range list {
		last := into[i]
		for last >= 0 && into[last] >= 0 { // what folds renews strictly more, so the chain ends
			last = into[last]
		}
		if last >= 0 {
			list[last].take(list[i])
		}
	}
	var kept []Asked
	for i := range list {
		if into[i] < 0 {
			kept = append(kept, list[i])
		}
	}
	slices.SortStableFunc(kept, func(a, b Asked) int { return compare(&a.Ask, &b.Ask) })
	return kept
}

// take lets a doing answer for another that it does on its way.
func (x *Asked) take(d Asked) {
	if d.Due.Before(x.Due) {
		x.Due, x.When = d.Due, d.When
	}
	x.Hard, x.Must = earliest(x.Hard, d.Hard), x.Must || d.Must
	if d.Verdict.Urgency() > x.Verdict.Urgency() {
		x.Verdict = d.Verdict
	}
	if d.Consequence.Rank() > x.Consequence.Rank() {
		x.Consequence = d.Consequence
	}
	x.With = append(x.With, d)
}

// earliest is the earlier of two days; zero is none.
func earliest(a, b time.Time) time.Time {
	if a.IsZero() || !b.IsZero() && b.Before(a) {
		return b
	}
	return a
}
