package shop

import (
	"testing"
	"time"

	"witnessmark/core/life"
	"witnessmark/core/outlook"
	"witnessmark/core/point"
)

func at(y int, m time.Month) time.Time { return time.Date(y, m, 9, 0, 0, 0, 0, time.UTC) }

func TestReachWords(t *testing.T) {
	for _, tc := range []struct {
		r    outlook.Reach
		want string
	}{
		{outlook.Reach{Low: at(2027, 5), High: at(2028, 3)}, "Will probably reach 3 mm between May 2027 and March 2028; 8 of 10 such parts do."},
		{outlook.Reach{Low: at(2027, 5), High: at(2027, 5)}, "Will probably reach 3 mm in May 2027; 8 of 10 such parts do."},
		{outlook.Reach{Low: at(2027, 5), OpenHigh: true}, "May reach 3 mm from May 2027 on; 9 of 10 such parts last until then."},
		{outlook.Reach{OpenLow: true, OpenMid: true, OpenHigh: true}, "Not likely to reach 3 mm within 5 years; 9 of 10 such parts do not."},
	} {
		if got := reachWords(&tc.r, "reach 3 mm"); got != tc.want {
			t.Errorf("%+v: %q, want %q", tc.r, got, tc.want)
		}
	}
}

func TestAdviceWords(t *testing.T) {
	today := at(2026, 3)
	advise := func(interval, risk, usual float64, due time.Time, km float64) outlook.Advice {
		return outlook.Advice{Recommendation: life.Recommendation{Interval: interval, Risk: risk}, Usual: usual, DueOn: due, DueKm: km}
	}
	for _, tc := range []struct {
		unit, units string
		a           outlook.Advice
		want        string
	}{
		{"km", "metric", advise(11500, 0.048, 15000, at(2026, 9), 183_456),
			"Best renewed every 11\u00a0500\u00a0km instead of 15\u00a0000\u00a0km, next by September 2026 or 183\u00a0500\u00a0km. 1 of 20 such cars needs it sooner."},
		{"km", "us", advise(16093.44, 0.1, 0, at(2026, 9), 0), "Best renewed every 10\u00a0000\u00a0mi, next by September 2026. 2 of 20 such cars need it sooner."},
		{"months", "metric", advise(18, 0.01, 24, at(2025, 1), 90_000),
			"Best renewed every 18 months instead of 24 months, so it was to be renewed in January 2025. Fewer than 1 of 20 such cars need it sooner."},
		{"months", "metric", advise(24, 0.05, 24, time.Time{}, 0), "Best renewed every 24 months. 1 of 20 such cars needs it sooner."},
		{"months", "metric", advise(0, 0.05, 24, at(2026, 9), 0), ""},
	} {
		if got := adviceWords(CarVersion{Units: tc.units}, &tc.a, &point.Law{Unit: tc.unit}, today); got != tc.want {
			t.Errorf("%+v: %q, want %q", tc.a, got, tc.want)
		}
	}
}
