package judge_test

import (
	"strings"
	"testing"
	"time"

	"witnessmark/catalogue"
	"witnessmark/core/judge"
	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/unit"
)

func TestQuantities(t *testing.T) {
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	litres := func(x float64) round.Spec { return round.Spec{Numbers: map[string]float64{"": x}} }
	freeze := round.Reading{Point: "coolant-freeze-point", Values: map[string]float64{"degC": -20}}
	for _, tc := range []struct {
		name    string
		reading round.Reading
		specs   map[string]round.Spec
		units   unit.System
		// want holds "what: words" of each quantity, in order.
		want []string
	}{
		{"the shortfall of the level", round.Reading{Point: "coolant-level", State: "far-below", Values: map[string]float64{"deficit_L": 0.9}}, nil, unit.Metric,
			[]string{"ready-mixed coolant: 0.9 L, what was missing"}},
		{"in quarts", round.Reading{Point: "coolant-level", State: "far-below", Values: map[string]float64{"deficit_L": 0.95}}, nil, unit.US,
			[]string{"ready-mixed coolant: 1.00 qt, what was missing"}},
		{"the oil that the car takes", round.Reading{Point: "engine-oil-look", State: "dark-opaque"}, map[string]round.Spec{"engine-oil-capacity-L": litres(4.3)}, unit.Metric,
			[]string{"engine oil: 4.3 L, the figure entered for this car"}},
		{"no oil capacity", round.Reading{Point: "engine-oil-look", State: "dark-opaque"}, nil, unit.Metric,
			[]string{"engine oil: no engine oil with filter is entered for this car"}},
		// ASHRAE 2001: 34.5 % by volume freezes at -19.4 and 35.5 % at -20.3 degC, so -20 is 35.17 %; -37 is 50 %. 8 L hold 2.81 L of
		// glycol and shall hold 4.00. Drawing off 5 L leaves 3 L with 1.055 L, so 2.945 L of concentrate go into the 5 L, and 2.055 L of water.
		{"the mix", freeze, map[string]round.Spec{"coolant-capacity-L": litres(8), "coolant-drain-L": litres(5)}, unit.Metric,
			[]string{"ethylene glycol concentrate: 2.95 L, draw off 5 L first", "water: 2.05 L, in the last filling"}},
		{"what the mix lacks", freeze, map[string]round.Spec{"coolant-capacity-L": litres(8)}, unit.Metric,
			[]string{"concentrate: no coolant that can be drained is entered"}},
		{"more drain than capacity", freeze, map[string]round.Spec{"coolant-capacity-L": litres(4), "coolant-drain-L": litres(5)}, unit.Metric,
			[]string{"concentrate: 5 L cannot be drained from 4 L"}},
		{"past the optimum", freeze, map[string]round.Spec{"coolant-capacity-L": litres(8), "coolant-drain-L": litres(5), "coolant-freeze-target-degC": litres(-65)}, unit.Metric,
			[]string{"concentrate: the wanted freezing point can't be reached"}},
		{"a sound reading takes nothing", round.Reading{Point: "coolant-freeze-point", Values: map[string]float64{"degC": -40}},
			map[string]round.Spec{"coolant-capacity-L": litres(8), "coolant-drain-L": litres(5)}, unit.Metric, nil},
	} {
		t.Run(tc.name, func(t *testing.T) {
			car := round.Car{OdometerKm: -1, Facets: round.Resolve(cat, nil, "", time.Time{}), Specs: tc.specs, Units: tc.units}
			res := judge.Judge(cat, car, round.Taken{On: time.Date(2026, 3, 21, 0, 0, 0, 0, time.UTC), Readings: []round.Reading{tc.reading}}, point.Full)
			var got []string
			for _, q := range res.Findings[0].Quantities {
				got = append(got, q.What+": "+q.Words)
			}
			if len(got) != len(tc.want) {
				t.Fatalf("got %q, want %q", got, tc.want)
			}
			for i := range got {
				if !strings.HasPrefix(got[i], tc.want[i]) {
					t.Errorf("got %q, want it to begin %q", got[i], tc.want[i])
				}
			}
		})
	}
}

// TestTakes: what a job takes by the car's figures alone. ASHRAE 2001: 50 % by volume freezes at -37 degC, so 8 L hold 4 L of glycol.
func TestTakes(t *testing.T) {
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	figures := map[string]round.Spec{"coolant-capacity-L": {Numbers: map[string]float64{"": 8}}, "coolant-freeze-target-degC": {Numbers: map[string]float64{"": -37}}}
	for _, tc := range []struct {
		job   string
		specs map[string]round.Spec
		want  string
	}{
		{"renew-coolant", figures, "ethylene glycol concentrate: 4 L, for -37 °C; water: 4 L, for -37 °C"},
		{"renew-coolant", nil, "coolant: no coolant capacity is entered for this car"},
		{"fill-coolant", figures, ""}, // the reading settles it
		{"renew-wiper-blades", figures, ""},
		{"no-such-job", figures, ""},
	} {
		car := round.Car{OdometerKm: -1, Facets: round.Resolve(cat, nil, "", time.Time{}), Specs: tc.specs}
		var got []string
		for _, q := range judge.Takes(cat, car, tc.job) {
			got = append(got, q.What+": "+q.Words)
		}
		if s := strings.Join(got, "; "); s != tc.want {
			t.Errorf("%s takes %q, expected %q", tc.job, s, tc.want)
		}
	}
}
