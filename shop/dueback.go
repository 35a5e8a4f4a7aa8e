package shop

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"witnessmark/core/use"
)

// dueBack are the visits that were agreed, and what comes back by itself: what owners put off, and the looks that work called for.
func (s *Shop) dueBack(in *dueFacts, o *CarOutlook) []DueLine {
	var out []DueLine
	for i := range in.dealings.answers {
		if a := &in.dealings.answers[i]; a.closed == nil && !a.replaced {
			if names := a.accepted(); len(names) > 0 {
				out = append(out, dueVisit(a, names))
			}
		}
	}
	reach := distanceDays{s: s, in: in}
	for i := range in.dealings.putOffs {
		out = append(out, duePutOff(o.Car, &in.dealings.putOffs[i], &reach))
	}
	for i := range in.dealings.notDone {
		out = append(out, dueNotDone(&in.dealings.notDone[i]))
	}
	for i := range in.dealings.follows {
		out = append(out, dueFollow(o.Car, &in.dealings.follows[i], &reach))
	}
	return out
}

// dueVisit is a visit that the owner agreed to.
func dueVisit(a *dueAnswer, names []string) DueLine {
	work, e := strings.Join(names, "; "), &a.Draft.Said.Estimate
	return DueLine{ID: "visit/" + a.Decision.ID, Kind: DueVisit, On: e.VisitOn, What: "Agreed visit: " + work, Estimate: e.Number, Decision: a.Decision.ID,
		Why:  fmt.Sprintf("Estimate %s, agreed by %s.", e.Number, cmp.Or(a.Decision.Said.Name, "the owner")),
		Sure: "Certain: the day was agreed.",
		Tell: fmt.Sprintf("Your visit on %s: %s.", plainDay(e.VisitOn), work)}
}

// duePutOff is what an owner put off, on the day that was named or the day by which the car has run the distance, whichever comes first.
func duePutOff(c CarVersion, p *PutOffLine, reach *distanceDays) DueLine {
	l := DueLine{ID: p.Due, Kind: DuePutOff, What: p.Item.Name, Must: p.Item.Must, Estimate: p.Number, Decision: p.DecisionID}
	km := float64(p.UntilKm)
	l.when(c, p.UntilOn, km, reach)
	l.Why = fmt.Sprintf("Put off by the owner on %s until %s.", shortDate(day(p.On)), untilWords(c, p.UntilOn, km))
	l.Tell = fmt.Sprintf("%s: you put this off until %s.", p.Item.Name, untilWords(c, p.UntilOn, km))
	if p.Item.Why != "" {
		l.Why += " It was: " + p.Item.Why
		l.Tell += " The reason then: " + p.Item.Why
	}
	return l
}

// dueNotDone is what an owner agreed to and could not be done: it is due since that day.
func dueNotDone(p *NotDoneLine) DueLine {
	l := DueLine{ID: p.Due, Kind: DueNotDone, On: p.On, What: p.Item.Name, Must: p.Item.Must, Estimate: p.Number, Decision: p.DecisionID}
	l.Why = fmt.Sprintf("Agreed, and not done on %s: %s.", shortDate(day(p.On)), strings.TrimRight(p.Why, ". "))
	l.Sure = "Certain: the close-out says so."
	l.Tell = fmt.Sprintf("%s: agreed, but it could not be done on %s (%s).", p.Item.Name, plainDay(p.On), strings.TrimRight(p.Why, ". "))
	if p.Item.Why != "" {
		l.Why += " It was: " + p.Item.Why
		l.Tell += " The reason then: " + p.Item.Why
	}
	return l
}

// dueFollow is a look that the work called for.
func dueFollow(c CarVersion, f *FollowLine, reach *distanceDays) DueLine {
	l := DueLine{ID: f.Due, Kind: DueFollowUp, What: upperFirst(f.Follow.Say)}
	l.when(c, f.Follow.On, f.Follow.Km, reach)
	l.Why = "The work called for this look: " + untilWords(c, f.Follow.On, f.Follow.Km) + ", whichever comes first."
	if f.Follow.Km <= 0 || f.Follow.On == "" {
		l.Why = "The work called for this look: " + untilWords(c, f.Follow.On, f.Follow.Km) + "."
	}
	l.Tell = "After the work on your car, a look is due: " + lowerWord(strings.TrimRight(f.Follow.Say, ". ")) + " (" + untilWords(c, f.Follow.On, f.Follow.Km) + ")."
	return l
}

// untilWords names a day and a distance.
func untilWords(c CarVersion, on string, km float64) string {
	switch {
	case on != "" && km > 0:
		return plainDay(on) + " or " + distanceWords(c, km)
	case km > 0:
		return distanceWords(c, km)
	}
	return plainDay(on)
}

// when dates a line by a day, a distance or both, whichever comes first.
func (l *DueLine) when(c CarVersion, on string, km float64, reach *distanceDays) {
	l.On, l.Sure = on, "Certain: the day was named."
	if km <= 0 {
		return
	}
	l.Km = km
	low, mid, high, ok := reach.days(km)
	switch {
	case !ok && on == "":
		l.On = reach.in.sight.day
		l.Sure = "Can't be dated: the odometer was not read often enough to say when " + distanceWords(c, km) + " is reached."
	case !ok, on != "" && on <= isoDay(mid):
		l.Sure = "Certain at the latest: the day was named. " + distanceWords(c, km) + " may come sooner."
		if ok {
			l.From, l.To = min(on, isoDay(low)), on
		}
	default:
		l.On, l.From, l.To = isoDay(mid), isoDay(low), isoDay(high)
		l.Sure = fmt.Sprintf("Likely: in 8 of 10 such cases %s is reached between %s and %s.", distanceWords(c, km), shortDate(low), shortDate(high))
		if on != "" && on < l.To {
			l.To = on
		}
	}
}

// distanceDays tells on which day a car reaches a distance, by its odometer readings. It fits them once, when first asked.
type distanceDays struct {
	s     *Shop
	in    *dueFacts
	tried bool
	use   *use.Use
}

// days gives the day in the middle and those between which 8 of 10 lie; false when nothing can be said within five years.
func (d *distanceDays) days(km float64) (low, mid, high time.Time, ok bool) {
	if !d.tried {
		d.tried = true
		d.fit()
	}
	if d.use == nil {
		return low, mid, high, false
	}
	var at [3]time.Time
	end := day(d.in.sight.day).AddDate(horizonYears, 0, 0)
	for i, q := range []float64{0.1, 0.5, 0.9} {
		x := d.use.Day(km, q)
		if i == 1 && (math.IsInf(x, 0) || math.IsNaN(x) || x > daysSince(end)) {
			return low, mid, high, false
		}
		at[i] = end
		if x < daysSince(end) {
			at[i] = time.Unix(int64(math.Round(x))*86400, 0).UTC()
		}
	}
	return at[0], at[1], at[2], true
}

// fit takes the readings that can stand, as the outlook does.
func (d *distanceDays) fit() {
	var rs []use.Reading
	for _, o := range d.s.historyOf(d.in.car, window{day: d.in.sight.day}).Odometer {
		rs = append(rs, use.Reading{Day: daysSince(o.On), Km: o.Km})
	}
	for range 20 {
		u, err := use.Fit(rs, use.Usual())
		var odd *use.ReadingError
		if errors.As(err, &odd) && odd.Index < len(rs) {
			rs = slices.Delete(rs, odd.Index, odd.Index+1)
			continue
		}
		if err == nil {
			d.use = &u
		}
		return
	}
}

// daysSince counts days from 1 January 1970, which is what core/use takes for the beginning of a year.
func daysSince(t time.Time) float64 { return float64(t.Unix()) / 86400 }
