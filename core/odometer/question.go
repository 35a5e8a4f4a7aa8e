package odometer

import (
	"fmt"
	"math"
	"strings"

	"witnessmark/core/unit"
)

// Check asks about a new reading in the light of the car's history, which may be
// in any order and is not changed; nil means that nothing is odd. The new reading
// may lie before, between or after the others.
//
// A reading that runs backwards is refused, with a guess at the slip: a digit
// lost, miles for km, one digit wrong. One that runs too fast (more than 600 km a
// day throughout, or five times the car's own rate and more than 3000 km above
// it) is asked about, and so is one that differs by more than 20 km from another
// of the same day. With four readings or more over a year, one is also asked about that lies above 99.9 % of what the car's use lets one
// expect on its day. Without history only the impossible is refused.
func Check(history []Reading, next Reading) *Question { return CheckIn(unit.Metric, history, next) }

// CheckIn is Check for a meter that shows the distance in this system's unit: it asks in that unit, and looks there for digits that slipped.
func CheckIn(sys unit.System, history []Reading, next Reading) *Question {
	if math.IsNaN(next.KM) || next.KM < 0 || next.KM > mostKM {
		return &Question{Kind: Impossible, Severity: Refuse,
			Message: fmt.Sprintf("%s is no reading of an odometer.", situation{sys: sys}.show(next.KM))}
	}
	c := newCase(sys, history, next)
	switch {
	case c.before != nil && next.KM < c.before.KM-backKM:
		return c.runsBack(*c.before, "less")
	case c.after != nil && next.KM > c.after.KM+backKM:
		return c.runsBack(*c.after, "more")
	case c.before != nil && c.tooFast(*c.before, next):
		return c.fast(*c.before)
	case c.expected != nil && next.KM > c.expected.most:
		return c.unlikely(*c.before)
	case c.after != nil && c.tooFast(next, *c.after):
		return c.fast(*c.after)
	}
	for _, r := range []*Reading{c.before, c.after} {
		if r != nil && sameDate(r.On, next.On) && math.Abs(r.KM-next.KM) > sameDayKM {
			return &Question{Kind: SameDay, Severity: Ask, Against: *r, Message: fmt.Sprintf(
				"%s was read on the same day, now %s. Are both right?", c.show(r.KM), c.show(next.KM))}
		}
	}
	return nil
}

// situation is a new reading between its neighbours in time.
type situation struct {
	sys           unit.System // what the meter shows the distance in
	next          Reading
	before, after *Reading
	perDay        float64 // the car's own rate, 0 if not known
	expected      *expected
}

func newCase(sys unit.System, history []Reading, next Reading) situation {
	c := situation{sys: sys, next: next}
	h := sorted(history)
	// Readings of one date may carry a time of day or not: a lower one of the same
	// date counts as earlier whatever its clock says.
	for i := range h {
		if h[i].On.After(next.On) && !(sameDate(h[i].On, next.On) && h[i].KM <= next.KM) {
			c.after = &h[i]
			break
		}
		c.before = &h[i]
	}
	if year, ok := PerYear(h); ok {
		c.perDay = year / daysPerYear
	}
	c.expected = c.expect(h)
	return c
}

// tooFast says whether the car can hardly have run from a to b. Anything within
// a day's drive passes, whatever the dates say to the hour.
func (c situation) tooFast(a, b Reading) bool {
	days := math.Max(1, math.Ceil(between(a, b)))
	run := b.KM - a.KM
	if run > mostPerDay*days {
		return true
	}
	own := c.perDay * days
	return c.perDay > 0 && run > ownTimes*own && run-own > ownExcessKM
}

func (c situation) runsBack(against Reading, than string) *Question {
	q := &Question{Kind: RunsBack, Severity: Refuse, Against: against}
	q.Message = fmt.Sprintf("%s is %s than the %s read on %s.",
		c.show(c.next.KM), than, c.show(against.KM), against.On.Format("2 January 2006"))
	if than == "less" {
		q.Kind, q.Likely = c.guess(RunsBack, []guess{
			{DigitLost, withDigit}, {MilesForKM, milesToKM}, {RunsBack, otherDigit}})
	} else {
		q.Kind, q.Likely = c.guess(RunsBack, []guess{
			{DigitExtra, withoutDigit}, {MilesForKM, kmToMiles}, {RunsBack, otherDigit}})
	}
	q.Message += c.suggestion(q) + " Correct the entry, or state that the meter was changed."
	return q
}

func (c situation) fast(against Reading) *Question {
	q := &Question{Kind: TooFast, Severity: Ask, Against: against}
	from, to := against, c.next
	if from.On.After(to.On) {
		from, to = to, from
	}
	days := math.Max(1, math.Ceil(between(from, to)))
	q.Message = fmt.Sprintf("From %s on %s to %s is %s a day.", c.show(from.KM), from.On.Format("2 January 2006"),
		c.show(to.KM), c.show(c.whole((to.KM-from.KM)/days, 1)))
	if c.perDay > 0 {
		q.Message += fmt.Sprintf(" This car runs about %.0f.", c.perDay/c.km())
	}
	if against.On.After(c.next.On) { // the new one is the lower: it is too low
		q.Kind, q.Likely = c.guess(TooFast, []guess{
			{DigitLost, withDigit}, {MilesForKM, milesToKM}, {TooFast, otherDigit}})
	} else {
		q.Kind, q.Likely = c.guessFast()
	}
	q.Message += " Is that right?" + c.suggestion(q)
	return q
}

// guessFast explains a reading that is too high.
func (c situation) guessFast() (Kind, float64) {
	return c.guess(TooFast, []guess{{DigitExtra, withoutDigit}, {MilesForKM, kmToMiles}, {TooFast, otherDigit}})
}

func (c situation) suggestion(q *Question) string {
	switch {
	case q.Likely == 0:
		return ""
	case q.Kind == MilesForKM:
		return fmt.Sprintf(" Were miles and km mixed up, and is it %s?", c.show(q.Likely))
	}
	return fmt.Sprintf(" Was it %s?", c.show(q.Likely))
}

// km is what one of the meter's unit is.
func (c situation) km() float64 {
	if c.sys == unit.US {
		return kmPerMile
	}
	return 1
}

// whole rounds a distance to so many of the meter's unit.
func (c situation) whole(km, to float64) float64 { return math.Round(km/c.km()/to) * to * c.km() }

// show writes a distance in the meter's unit as people read it, without decimals that nobody typed.
func (c situation) show(km float64) string {
	if math.IsNaN(km) || math.IsInf(km, 0) {
		return "This"
	}
	return strings.Replace(unit.Format(km, unit.KM, c.sys, 1), ".0 ", " ", 1)
}
