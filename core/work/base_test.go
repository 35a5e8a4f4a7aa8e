package work_test

import (
	"maps"
	"slices"
	"testing"
	"time"

	"witnessmark/catalogue"
	"witnessmark/core/facet"
	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/work"
)

// shipped is the catalogue that the program ships, with a doing of every job at every place of a car.
func shipped(tb testing.TB) (*point.Catalogue, []work.Doing, facet.Set) {
	tb.Helper()
	cat, err := catalogue.Default()
	if err != nil {
		tb.Fatal(err)
	}
	var wants []work.Want
	for _, id := range slices.Sorted(maps.Keys(cat.Jobs)) {
		for _, at := range []string{"", "F", "R", "FL", "RR", "spare", "1", "2"} {
			wants = append(wants, work.Want{Job: id, At: at})
		}
	}
	return cat, work.Doings(cat, wants), round.Resolve(cat, nil, "", time.Time{})
}

// TestEveryJobAlone: the work of each job that ships can be written, takes time and is undone; cautions, parts and points exist.
func TestEveryJobAlone(t *testing.T) {
	cat, doings, facets := shipped(t)
	for _, d := range doings {
		one := []work.Doing{d}
		sheet := work.SheetOf(cat, one, facets)
		if len(sheet.Unknown) > 0 || len(sheet.Lines) == 0 || sheet.Minutes != work.Minutes(cat, one, facets).Total || sheet.Minutes < 3 {
			t.Errorf("%v: %d lines, %d minutes, unknown %v", d, len(sheet.Lines), sheet.Minutes, sheet.Unknown)
		}
		for _, l := range sheet.Lines {
			if l.Minutes < 1 || l.Say == "" || l.Name == "" {
				t.Errorf("%v: %+v", d, l)
			}
		}
		for _, p := range work.Pick(cat, one, facets) {
			if cat.Parts[p.Part] == nil || p.Milli <= 0 {
				t.Errorf("%v takes %v", d, p)
			}
		}
		for _, b := range work.Baselines(cat, one, facets) {
			if cat.Point(b.Point) == nil {
				t.Errorf("%v reads %v", d, b)
			}
		}
	}
}

// TestEveryJobTogether: all the work there is in one visit has each preparation once.
func TestEveryJobTogether(t *testing.T) {
	cat, doings, facets := shipped(t)
	sheet := work.SheetOf(cat, doings, facets)
	begun := map[string]int{}
	for _, l := range sheet.Lines {
		if l.Kind == work.Begin {
			begun[l.Setup]++
		}
	}
	if len(begun) != len(cat.Setups) {
		t.Errorf("%d of %d preparations", len(begun), len(cat.Setups))
	}
	for id, n := range begun {
		if n != 1 {
			t.Errorf("%s begins %d times", id, n)
		}
	}
	if want := work.Minutes(cat, doings, facets).Total; sheet.Minutes != want {
		t.Errorf("%d minutes; want %d", sheet.Minutes, want)
	}
}

// TestWheelsOffCallForTheBolts: the second look at wheel bolts after 50 to 100 km is practice; it is called for once, whatever takes
// wheels off, and the car's own torque is asked for once.
func TestWheelsOffCallForTheBolts(t *testing.T) {
	cat, _, _ := shipped(t)
	doings := []work.Doing{{Job: "renew-pads", At: "F"}, {Job: "renew-shoes", At: "R"}, {Job: "renew-tyre", At: "FL"}}
	bolts, torque := 0, 0
	for _, f := range work.Follows(cat, doings) {
		if f.Point == "wheel-bolt-recheck" && f.Km == 100 && len(f.Of) == len(doings) {
			bolts++
		}
	}
	for _, f := range work.Fields(cat, doings) {
		if f.Spec == "wheel-bolt-torque-Nm" {
			torque++
		}
	}
	if bolts != 1 || torque != 1 {
		t.Errorf("%d looks at the bolts, %d torques; want 1 and 1", bolts, torque)
	}
}

// visit is a heavy visit: fourteen doings at the shipped catalogue.
func visit(b *testing.B) (*point.Catalogue, []work.Doing, facet.Set) {
	b.Helper()
	cat, _, facets := shipped(b)
	var wants []work.Want
	for _, id := range []string{"renew-pads", "renew-discs", "renew-brake-hoses", "renew-dampers", "renew-springs", "renew-control-arm-bushes", "renew-brake-fluid", "renew-engine-oil",
		"renew-water-pump", "renew-drive-belt", "renew-coolant", "measure-wheel-alignment"} {
		wants = append(wants, work.Want{Job: id, At: "F"}, work.Want{Job: id, At: "R"})
	}
	return cat, work.Doings(cat, wants), facets
}

// BenchmarkMinutes is what the planner asks whenever a job is moved. Budget: 0.2 ms for a heavy visit.
func BenchmarkMinutes(b *testing.B) {
	cat, doings, facets := visit(b)
	for b.Loop() {
		work.Minutes(cat, doings, facets)
	}
}

// BenchmarkSheet writes a heavy visit. Budget: 1 ms.
func BenchmarkSheet(b *testing.B) {
	cat, doings, facets := visit(b)
	for b.Loop() {
		work.SheetOf(cat, doings, facets)
	}
}

// BenchmarkFold folds a heavy visit. Budget: 0.2 ms.
func BenchmarkFold(b *testing.B) {
	cat, doings, _ := visit(b)
	for b.Loop() {
		work.Fold(cat, doings)
	}
}
