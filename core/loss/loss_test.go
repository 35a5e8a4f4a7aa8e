package loss

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*(1+math.Abs(b)) }

func TestWorkedByHand(t *testing.T) {
	// Coolant 0.2 L above the lower mark, 2 500 km later 0.3 L below it, 0.5 L filled in between; marks to 0.2 L.
	// 0.2 + 0.3 + 0.5 = 1.0 L in 2 500 km: 0.4 per 1000 km, between 0.32 and 0.48.
	r, err := Look{First: 0.2, Last: -0.3, Added: 0.5, Fineness: 0.2}.PerThousandKM(2500)
	if err != nil || !near(r.Litres, 0.4) || !near(r.Least, 0.32) || !near(r.Most, 0.48) || !r.Proven() {
		t.Errorf("%+v, %v", r, err)
	}
	// With 0.6 L above the mark it lasts 1500 km, at worst 1250.
	if a, b, err := r.Until(0.6); err != nil || !near(a, 1.5) || !near(b, 1.25) {
		t.Errorf("%v, %v, %v", a, b, err)
	}
	// 0.1 L less after 10 days with marks to 0.15 L proves nothing.
	r, err = Look{First: 1, Last: 0.9, Fineness: 0.15}.PerMonth(10)
	if err != nil || r.Proven() || !near(r.Litres, 0.1*365.2425/120) {
		t.Errorf("%+v, %v", r, err)
	}
	if a, _, _ := (Rate{}).Until(1); !math.IsInf(a, 1) {
		t.Errorf("nothing lost lasts %v", a)
	}
}

func TestRefuses(t *testing.T) {
	for _, l := range []Look{{Added: -1}, {Fineness: -1}, {First: math.NaN()}, {First: 2000}, {Added: math.Inf(1)}} {
		if r, err := l.PerThousandKM(100); err == nil || r != (Rate{}) {
			t.Errorf("%+v: %+v", l, r)
		}
	}
	for _, km := range []float64{0, -5, math.NaN(), math.Inf(1)} {
		if r, err := (Look{First: 1}).PerMonth(km); err == nil || r != (Rate{}) {
			t.Errorf("%v: %+v", km, r)
		}
	}
	if _, _, err := (Rate{}).Until(-1); err == nil {
		t.Error("less than nothing is left")
	}
}

// The true loss, read on marks, always lies in the range; what is lost and what is left make what was there.
func TestRangeHoldsTheTruth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		step := rapid.SampledFrom([]float64{0.1, 0.25, 0.5}).Draw(t, "step")
		first := rapid.Float64Range(0, 5).Draw(t, "first")
		lost := rapid.Float64Range(0, 2).Draw(t, "lost")
		added := rapid.Float64Range(0, 2).Draw(t, "added")
		km := rapid.Float64Range(10, 20000).Draw(t, "km")
		read := func(v float64) float64 { return math.Round(v/step) * step }
		r, err := Look{read(first), read(first + added - lost), added, step}.PerThousandKM(km)
		truth := lost / km * 1000
		if err != nil || truth < r.Least-1e-9 || truth > r.Most+1e-9 {
			t.Fatalf("%v not in %+v (%v)", truth, r, err)
		}
	})
}

// Budget: 2 microseconds, no allocation.
func BenchmarkRate(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		r, _ := Look{1, 0.5, 0.5, 0.2}.PerThousandKM(2500)
		_, _, _ = r.Until(0.6)
	}
}
