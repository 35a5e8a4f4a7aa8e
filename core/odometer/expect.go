package odometer

import (
	"fmt"
	"math"
	"time"

	"witnessmark/core/use"
)

// expected is what a car's own use, seasons and changes among it, lets one expect of a reading beyond the last, in km.
type expected struct {
	middle float64
	high   float64 // 99.9 % lie below
	most   float64 // what is above is asked about
}

// expect learns the use from four readings or more over a year, in order; nil where it is not known: the new reading is not
// the last, the meter was changed, or an old entry can't stand.
//
// Asked about is what lies above 99.9 % of what is expected, above more than about twice the usual run, and more than a long
// holiday above it.
func (c situation) expect(h []Reading) *expected {
	if len(h) < leastForUse || between(h[0], h[len(h)-1]) < daysPerYear || c.after != nil || c.perDay == 0 {
		return nil
	}
	past := make([]use.Reading, 0, len(h))
	for _, r := range h {
		past = append(past, use.Reading{Day: epochDay(r.On), Km: r.KM})
	}
	u, err := use.Fit(past, use.Prior{})
	if err != nil {
		return nil
	}
	day := epochDay(c.next.On)
	var e expected
	_, e.high, _ = u.Odd(use.Reading{Day: day, Km: c.next.KM})
	e.middle = math.Max(u.Km(day, 0.5), c.before.KM+c.perDay*between(*c.before, c.next))
	run := e.middle - c.before.KM
	e.most = math.Max(e.high, c.before.KM+math.Max(unlikelyTimes*run, run+ownExcessKM))
	return &e
}

// epochDay counts days since 1 January 1970.
func epochDay(t time.Time) float64 { return math.Floor(float64(t.Unix()) / (hoursPerDay * 3600)) }

// unlikely asks about a reading above what is expected.
func (c situation) unlikely(against Reading) *Question {
	q := &Question{Kind: TooFast, Severity: Ask, Against: against}
	q.Kind, q.Likely = c.guessFast()
	q.Message = fmt.Sprintf("%s is more than expected: on %s this car should show about %s, hardly more than %s. Is that right?%s",
		c.show(c.next.KM), c.next.On.Format("2 January 2006"), c.show(c.whole(c.expected.middle, 100)),
		c.show(math.Ceil(c.expected.high/c.km()/100)*100*c.km()), c.suggestion(q))
	return q
}
