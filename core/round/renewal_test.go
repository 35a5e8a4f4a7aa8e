package round

import (
	"testing"
	"time"
)

func TestLastRenewalAt(t *testing.T) {
	on := func(m time.Month) time.Time { return time.Date(2025, m, 1, 0, 0, 0, 0, time.UTC) }
	c := Car{Renewed: []Renewal{{Item: "pads", Date: on(1)}, {Item: "pads", At: "F", Date: on(3)}, {Item: "pads", At: "FL", Date: on(5)},
		{Item: "pads", At: "R", Date: on(7)}, {Item: "discs", At: "F", Date: on(2)}}}
	for _, tc := range []struct {
		item, at string
		by       time.Month
		want     time.Month // 0 is none
	}{
		{"pads", "FL/inner", 12, 5}, {"pads", "FL", 12, 5}, {"pads", "FR/outer", 12, 3}, {"pads", "F", 12, 3}, {"pads", "RL", 12, 7},
		{"pads", "RL", 6, 1}, {"pads", "", 12, 7}, {"pads", "", 4, 3}, {"pads", "FR", 2, 1}, {"discs", "RL", 12, 0}, {"discs", "", 12, 2},
		{"discs", "F", 1, 0}, {"shoes", "", 12, 0},
	} {
		r, ok := c.LastRenewalAt(tc.item, tc.at, on(tc.by))
		if ok != (tc.want > 0) || ok && r.Date != on(tc.want) {
			t.Errorf("%s at %q by month %d: %v %v, want month %d", tc.item, tc.at, tc.by, r, ok, tc.want)
		}
	}
}
