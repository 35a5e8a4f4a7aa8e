package sums

import (
	"math"
	"testing"

	"witnessmark/catalogue"
	"witnessmark/core/battery"
	"witnessmark/core/brakefluid"
	"witnessmark/core/geometry"
	"witnessmark/core/point"
	"witnessmark/core/tyre"
	"witnessmark/core/verdict"
)

// A round and a sum must never give two answers to one question. These tests hold the catalogue's tables and limits
// against the packages that the sums reckon with.

func table(t *testing.T, cat *point.Catalogue, id string) *point.Table {
	t.Helper()
	tab := cat.Tables[id]
	if tab == nil {
		t.Fatalf("the catalogue has no table %s any more", id)
	}
	return tab
}

func base(t *testing.T) *point.Catalogue {
	t.Helper()
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	return cat
}

func TestBatteryAgreesWithCatalogue(t *testing.T) {
	cat := base(t)
	for id, kind := range map[string]battery.Type{"charge-flooded": battery.Flooded, "charge-agm": battery.AGM} {
		tab := table(t, cat, id)
		for v := 11.5; v <= 13; v += 0.01 {
			got, err := battery.FromVoltage(kind, v, battery.TableDegC)
			if want := tab.At(v); err != nil || math.Abs(got.Percent-want) > 1e-9 {
				t.Errorf("%s at %.2f V: %v, %v; the catalogue says %v", id, v, got, err, want)
			}
		}
	}
}

func TestSteeringAgreesWithCatalogue(t *testing.T) {
	cat := base(t)
	us, eu := table(t, cat, "steering-lash"), table(t, cat, "steering-lash-eu")
	for wheel := 250.0; wheel <= 600; wheel++ {
		a, err1 := geometry.LashLimit(wheel)
		b, err2 := geometry.LashLimitEU(wheel)
		if err1 != nil || err2 != nil || math.Abs(a-us.At(wheel)) > 1e-9 || math.Abs(b-eu.At(wheel)) > 1e-9 {
			t.Errorf("%v mm: %v and %v; the catalogue says %v and %v", wheel, a, b, us.At(wheel), eu.At(wheel))
		}
	}
	watch := false
	for _, l := range limits(t, cat, "steering-free-play") {
		watch = watch || l.Verdict == verdict.Watch && l.Number != nil && *l.Number == geometry.WatchLash
	}
	if !watch {
		t.Errorf("the catalogue no longer watches from %v mm on", geometry.WatchLash)
	}
}

func TestBrakeFluidAgreesWithCatalogue(t *testing.T) {
	cat := base(t)
	wet, warn := table(t, cat, "brake-fluid-wet"), table(t, cat, "brake-fluid-warn")
	for word, w := range wet.Words {
		c, err := brakefluid.Parse(word)
		l, ok := c.Limits()
		if err != nil || !ok || l.Wet != w || l.Wet+brakefluid.Margin != warn.Words[word] {
			t.Errorf("%s: %+v, %v; the catalogue says %v and %v", word, l, err, w, warn.Words[word])
		}
	}
	if len(wet.Words) < 4 {
		t.Errorf("%d classes", len(wet.Words))
	}
	numbers := map[verdict.Verdict]float64{}
	for _, l := range limits(t, cat, "brake-fluid-water") {
		numbers[l.Verdict] = *l.Number
	}
	if numbers[verdict.Due] != brakefluid.DueWater || numbers[verdict.Watch] != brakefluid.WatchWater {
		t.Errorf("water: the catalogue says %v", numbers)
	}
}

func TestTreadAgreesWithCatalogue(t *testing.T) {
	seen := map[float64]verdict.Verdict{}
	for _, l := range limits(t, base(t), "tyre-tread") {
		if l.Number != nil {
			seen[*l.Number] = l.Verdict
		}
	}
	for mm, want := range map[float64]verdict.Verdict{tyre.LegalMM: verdict.Unsafe, tyre.LegalUSMM: verdict.Overdue, tyre.WinterMM: verdict.Watch, tyre.SummerMM: verdict.Watch} {
		if seen[mm] != want {
			t.Errorf("%v mm: the catalogue says %q, the sum %q", mm, seen[mm], want)
		}
	}
}

func limits(t *testing.T, cat *point.Catalogue, id string) []point.Limit {
	t.Helper()
	for _, p := range cat.Points {
		if p.ID == id {
			return p.Limits
		}
	}
	t.Fatalf("the catalogue has no point %s any more", id)
	return nil
}
