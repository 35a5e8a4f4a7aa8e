package coolant

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// By hand, 7.5 L of ethylene at -20 to -37, 4 L come out. -20 lies between 34.5 % (-19.4) and 35.5 % (-20.3):
// 34.5 + 0.6/0.9 = 35.167 %. -37 lies between 49.6 (-36.4) and 50.6 (-37.9): 49.6 + 0.6/1.5 = 50 %.
// Wanted glycol 7.5 * 0.50 = 3.75 L; 3.5 L of the old stay with 3.5 * 0.35167 = 1.2308 L; so 2.519 L of concentrate
// and 4 - 2.519 = 1.481 L of water, in one drain.
func TestOneDrain(t *testing.T) {
	m, err := Plan(Ethylene, 7.5, -20, 4, -37)
	if err != nil || m.Drains != 1 || !near(m.Concentrate, 2.51917, 1e-4) || !near(m.Water, 1.48083, 1e-4) || !near(m.Reached.DegC, -37, 1e-9) {
		t.Errorf("%+v, %v", m, err)
	}
}

// By hand, 8 L of plain water to -37 with 3 L drained each time. First 3 L of concentrate: 3/8 = 37.5 %. Then 5 L stay
// with 1.875 L of glycol, 4 L are wanted: 2.125 L of concentrate and 0.875 L of water. Together 5.125 L and 0.875 L.
func TestTwoDrains(t *testing.T) {
	m, err := Plan(Ethylene, 8, 0, 3, -37)
	if err != nil || m.Drains != 2 || !near(m.Concentrate, 5.125, 1e-9) || !near(m.Water, 0.875, 1e-9) || !near(m.LastConcentrate, 2.125, 1e-9) {
		t.Errorf("%+v, %v", m, err)
	}
}

func TestNothingToDo(t *testing.T) {
	m, err := Plan(Ethylene, 6, -40, 3, -25)
	if err != nil || m.Drains != 0 || m.Concentrate != 0 || m.Water != 0 || !near(m.Reached.DegC, -40, 1e-9) {
		t.Errorf("%+v, %v", m, err)
	}
}

func TestTargetPastOptimum(t *testing.T) {
	if m, err := Plan(Ethylene, 6, -20, 6, -60); !errors.Is(err, ErrPastOptimum) || m != (Mix{}) {
		t.Errorf("%+v, %v", m, err)
	}
}

// Replaying the plan litre by litre conserves the volume of everything and ends at the target.
func TestPlanConservesVolume(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := rapid.SampledFrom([]Glycol{Ethylene, Propylene}).Draw(t, "glycol")
		v := rapid.Float64Range(2, 20).Draw(t, "capacity")
		d := v * rapid.Float64Range(0.2, 1).Draw(t, "part")
		now := rapid.Float64Range(-48, 0).Draw(t, "now")
		target := rapid.Float64Range(-48, 0).Draw(t, "target")
		m, err := Plan(g, v, now, d, target)
		if err != nil {
			t.Fatal(err)
		}
		if m.Drains == 0 {
			if now > target+1e-9 {
				t.Fatalf("nothing to do from %v to %v", now, target)
			}
			return
		}
		glycol, bought, water := v*m.From/100, 0.0, 0.0
		for i := 1; i <= m.Drains; i++ {
			glycol -= glycol / v * d
			fill, top := d, 0.0
			if i == m.Drains {
				fill, top = m.LastConcentrate, m.LastWater
			}
			if fill < 0 || top < -1e-12 || math.Abs(fill+top-d) > 1e-9 {
				t.Fatalf("filling %d: %v and %v for %v", i, fill, top, d)
			}
			glycol, bought, water = glycol+fill, bought+fill, water+top
		}
		if math.Abs(100*glycol/v-m.To) > 1e-8 || math.Abs(bought-m.Concentrate) > 1e-9 || math.Abs(water-m.Water) > 1e-9 {
			t.Fatalf("%v of %v L is glycol, want %v %%; bought %v, water %v: %+v", glycol, v, m.To, bought, water, m)
		}
		if math.Abs(m.Reached.DegC-target) > 1e-6 {
			t.Fatalf("reached %v, wanted %v", m.Reached.DegC, target)
		}
		if m.Drains > 1 { // one less, with concentrate alone, would not reach it
			share := m.From / 100
			for range m.Drains - 1 {
				share = (share*(v-d) + d) / v
			}
			if share*100 >= m.To {
				t.Fatalf("%d drains would do", m.Drains-1)
			}
		}
	})
}

func TestFreezeBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := rapid.SampledFrom([]Glycol{Ethylene, Propylene}).Draw(t, "glycol")
		end, _ := Strongest(g)
		a, b := rapid.Float64Range(0, end).Draw(t, "a"), rapid.Float64Range(0, end).Draw(t, "b")
		fa, err := FreezeByVolume(g, a)
		fb, _ := FreezeByVolume(g, b)
		if err != nil || a < b && fa.DegC < fb.DegC {
			t.Fatalf("%v %% at %v, %v %% at %v: %v", a, fa.DegC, b, fb.DegC, err)
		}
		if back, err := VolumeFor(g, fa.DegC); err != nil || math.Abs(back-a) > 1e-9 {
			t.Fatalf("%v %% is %v degC is %v %% (%v)", a, fa.DegC, back, err)
		}
		m, _ := MassOf(g, a)
		if back, err := VolumeOf(g, m); err != nil || math.Abs(back-a) > 1e-9 {
			t.Fatalf("%v %% by volume is %v by mass is %v (%v)", a, m, back, err)
		}
		byMass, _ := FreezeByMass(g, m)
		if math.Abs(byMass.DegC-fa.DegC) > 1e-9 {
			t.Fatalf("%v by mass, %v by volume", byMass.DegC, fa.DegC)
		}
	})
}

func TestDensityBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := rapid.SampledFrom([]Glycol{Ethylene, Propylene}).Draw(t, "glycol")
		m := rapid.Float64Range(0, 60).Draw(t, "mass")
		at := rapid.Float64Range(0, 40).Draw(t, "degC")
		d, err := Density(g, m, at)
		if err != nil {
			t.Fatal(err)
		}
		if warmer, _ := Density(g, m, min(at+5, 40)); warmer > d+0.3 {
			t.Fatalf("warming makes it denser: %v, %v", d, warmer)
		}
		if back, err := ShareByDensity(g, d, at); err != nil || math.Abs(back-m) > 1e-6 {
			t.Fatalf("%v %% is %v kg/m3 is %v %% (%v)", m, d, back, err)
		}
	})
}

// TestDensityAtTheEnds reads shares so near the ends of the scale that their density rounds past it.
func TestDensityAtTheEnds(t *testing.T) {
	for _, g := range []Glycol{Ethylene, Propylene} {
		for degC := range 41 {
			for _, m := range []float64{0, math.SmallestNonzeroFloat64, 2.842170943040401e-14, math.Nextafter(60, 0), 60} {
				d, err := Density(g, m, float64(degC))
				if err != nil {
					t.Fatal(err)
				}
				if back, err := ShareByDensity(g, d, float64(degC)); err != nil || math.Abs(back-m) > 1e-6 {
					t.Errorf("%v, %v %% at %d °C is %v kg/m3 is %v %% (%v)", g, m, degC, d, back, err)
				}
			}
		}
	}
}

func TestAllocatesNothing(t *testing.T) {
	if n := testing.AllocsPerRun(100, func() {
		_, _ = Plan(Ethylene, 7.5, -20, 4, -37)
		_, _ = ShareByDensity(Ethylene, 1066, 20)
		_, _ = FreezeByVolume(Propylene, 40)
	}); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

// Budget of each: 2 microseconds, no allocation.
func BenchmarkPlan(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, _ = Plan(Ethylene, 7.5, -20, 2, -37)
	}
}

func BenchmarkShareByDensity(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, _ = ShareByDensity(Ethylene, 1066, 15)
	}
}
