package outlook_test

import (
	"testing"
	"time"

	"witnessmark/core/outlook"
	"witnessmark/core/round"
)

// TestAdviceWithoutDistance: of a car whose odometer nobody has read, what was renewed has no distance at which it is due, and a day only
// where the calendar ends its interval.
func TestAdviceWithoutDistance(t *testing.T) {
	cat := loaded(t)
	today := time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)
	h := outlook.History{Today: today, Car: round.Car{OdometerKm: -1, Facets: round.Resolve(cat, map[string]string{"fuel": "petrol"}, "", time.Time{})}}
	for _, item := range cat.Items() {
		h.Car.Renewed = append(h.Car.Renewed, round.Renewal{Item: item, OdometerKm: -1, Date: today})
	}
	o := outlook.Of(cat, h, nil)
	capped := 0
	for i := range o.Items {
		it := &o.Items[i]
		if it.Law.Unit != "km" || it.Advice == nil {
			continue
		}
		a := it.Advice
		switch hasCap := it.Law.Cap != nil && it.Law.Cap.Months > 0; {
		case a.DueKm != 0, !hasCap && !a.DueOn.IsZero():
			t.Errorf("%s: due at %v km on %v", it.Law.ID, a.DueKm, a.DueOn)
		case hasCap && !a.DueOn.After(today):
			t.Errorf("%s: the calendar's end is %v", it.Law.ID, a.DueOn)
		case hasCap:
			capped++
		}
	}
	if capped == 0 {
		t.Error("no interval ends by the calendar")
	}
}
