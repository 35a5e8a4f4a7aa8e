package unit

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestConvert(t *testing.T) {
	for _, c := range []struct {
		v    float64
		from Unit
		to   Unit
		want float64
		tol  float64 // 0: exactly
	}{
		{1, Inch, MM, 25.4, 0},
		{25.4, MM, Inch, 1, 0},
		{1, In32, MM, 0.79375, 0},
		{2, In32, MM, 1.5875, 0},
		{13.0 / 32, Inch, MM, 10.31875, 0},
		{1.5875, MM, In32, 2, 0},
		{-13, DegF, DegC, -25, 0},
		{212, DegF, DegC, 100, 0},
		{-40, DegC, DegF, -40, 0},
		{0, DegC, DegF, 32, 0},
		{1, PSI, KPa, 6.894757293168361, 1e-15},
		{28, PSI, Bar, 1.930532042, 1e-9},
		{230, KPa, Bar, 2.3, 0},
		{2.3, Bar, KPa, 230, 3e-14},
		{33, PSI, Bar, 2.275269907, 1e-9},
		{113000, Mile, KM, 181855.872, 1e-10},
		{1.609344, KM, Mile, 1, 0},
		{55, Percent, Fraction, 0.55, 0},
		{1, Percent, PPM, 10000, 0},
		{1, Gallon, Quart, 4, 0},
		{4.2, Quart, ML, 3974.6823732, 1e-9},
		{2, Years, Months, 24, 0},
		{1, Degrees, Minutes, 60, 0},
		{90, Minutes, Degrees, 1.5, 0},
		{25, MilliA, A, 0.025, 0},
		{1.2, KiloN, N, 1200, 0},
		{1.7, MegaPa, Bar, 17, 0},
		{0.3, Bar, Bar, 0.3, 0},
	} {
		got, err := Convert(c.v, c.from, c.to)
		if err != nil || math.Abs(got-c.want) > c.tol*math.Max(1, math.Abs(c.want)) {
			t.Errorf("%v %s in %s: %.17g, %v; want %.17g", c.v, c.from, c.to, got, err, c.want)
		}
	}
}

func TestConvertRefuses(t *testing.T) {
	for _, c := range []struct {
		from, to Unit
		want     string
	}{
		{MM, Bar, "mm can't be turned into bar: they measure different things"},
		{MM, KM, "mm can't be turned into km"},
		{None, MM, "a number without a unit can't be turned into mm"},
		{None, None, ""}, // a bare number stays one
		{numUnits, numUnits, "different things"},
		{MM, numUnits + 3, "different things"},
	} {
		_, err := Convert(1, c.from, c.to)
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v to %v: %v, want %q", c.from, c.to, err, c.want)
		}
	}
}

func anyUnit(t *rapid.T, label string) Unit {
	return Unit(rapid.IntRange(1, int(numUnits)-1).Draw(t, label))
}

// There and back gives the same to a few units in the last place, measured
// against the zero of both scales.
func TestConvertThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyUnit(t, "a"), anyUnit(t, "b")
		v := rapid.Float64Range(-1e6, 1e6).Draw(t, "v")
		there, err := Convert(v, a, b)
		if (err == nil) != Compatible(a, b) {
			t.Fatalf("%s to %s: %v, compatible %v", a, b, err, Compatible(a, b))
		}
		if err != nil {
			return
		}
		back, err := Convert(there, b, a)
		if err != nil || math.Abs(back-v) > 1e-14*math.Max(math.Abs(v), 100) {
			t.Fatalf("%.17g %s is %.17g %s is %.17g %s (%v)", v, a, there, b, back, a, err)
		}
	})
}

// A third unit on the way makes no difference.
func TestConvertIsConsistent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := anyUnit(t, "a")
		var same []Unit
		for u := MM; u < numUnits; u++ {
			if Compatible(a, u) {
				same = append(same, u)
			}
		}
		b, c := rapid.SampledFrom(same).Draw(t, "b"), rapid.SampledFrom(same).Draw(t, "c")
		v := rapid.Float64Range(0, 1e6).Draw(t, "v")
		ab, _ := Convert(v, a, b)
		abc, _ := Convert(ab, b, c)
		ac, err := Convert(v, a, c)
		if err != nil || math.Abs(abc-ac) > 1e-13*math.Max(math.Abs(ac), 100) {
			t.Fatalf("%v %s: by %s %.17g, straight %.17g (%v)", v, a, b, abc, ac, err)
		}
	})
}

func TestEveryUnitIsDefined(t *testing.T) {
	seen := map[string]bool{}
	for u := MM; u < numUnits; u++ {
		d := defs[u]
		if d.name == "" || d.dim == noDimension || d.mul == 0 || d.div == 0 || seen[d.name] {
			t.Errorf("unit %d is badly defined: %+v", u, d)
		}
		seen[d.name] = true
		if got, ok := ByName(d.name); !ok || got != u {
			t.Errorf("%s is not found by its name", d.name)
		}
		if got, ok := aliases[strings.ToLower(d.name)]; !ok || got != u {
			t.Errorf("%s can't be typed by its name: %v", d.name, got)
		}
	}
	for a := range aliases {
		if len(a) > maxAlias {
			t.Errorf("%q is longer than is looked for", a)
		}
	}
}

func TestValueUnit(t *testing.T) {
	for name, want := range map[string]Unit{
		"mm": MM, "wheel_mm": MM, "rated_A": A, "deficit_L": L, "degC": DegC, "percent": Percent,
		"V": V, "bar": Bar, "km": KM, "odometer_km": KM, "months": Months, "fraction": Fraction,
		"cycles": Cycles, "per_m": PerM, "smoke_per_m": PerM, "lambda": Lambda, "s": S, "N": N,
		"left_front_N": N, "kPa": KPa, "minutes": Minutes, "degrees": Degrees, "rpm": RPM, "ppm": PPM,
		"kinematic_mm2_s": MM2PerS,
	} {
		if got, ok := ValueUnit(name); !ok || got != want {
			t.Errorf("%s: %v, %v; want %v", name, got, ok, want)
		}
	}
	for _, name := range []string{"", "MM", "in", "wheel_in", "wheel-mm", "wheelmm", "state", "_", "mm_", "psi"} {
		if got, ok := ValueUnit(name); ok {
			t.Errorf("%q: %v, want none", name, got)
		}
	}
}

func TestRound(t *testing.T) {
	for _, c := range []struct{ v, step, want float64 }{
		{0.31, 0.1, 0.3}, {2.25, 0.5, 2.5}, {-2.25, 0.5, -2.5}, {4.74, 0.5, 4.5}, {182449, 100, 182400},
		{22.417, 0.01, 22.42}, {7.1, 2.5, 7.5}, {3.3, 0, 3.3}, {3.3, -1, 3.3}, {3.3, math.NaN(), 3.3},
		{3.3, math.Inf(1), 3.3}, {1e308, 0.01, 1e308},
	} {
		if got := Round(c.v, c.step); got != c.want {
			t.Errorf("Round(%v, %v) = %.17g, want %v", c.v, c.step, got, c.want)
		}
	}
	for step, want := range map[float64]int{1: 0, 100: 0, 0.5: 1, 0.1: 1, 0.25: 2, 0.01: 2, 0.05: 2, 1.0 / 3: 6} {
		if got := Decimals(step); got != want {
			t.Errorf("Decimals(%v) = %d, want %d", step, got, want)
		}
	}
}

func TestRoundIsNearAndSteady(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		step := rapid.SampledFrom([]float64{1, 0.5, 0.1, 0.25, 0.01, 0.05, 10, 2.5}).Draw(t, "step")
		v := rapid.Float64Range(-1e5, 1e5).Draw(t, "v")
		r := Round(v, step)
		if math.Abs(r-v) > step/2*(1+1e-9)+1e-9 || Round(r, step) != r {
			t.Fatalf("Round(%v, %v) = %v, again %v", v, step, r, Round(r, step))
		}
	})
}

func TestConvertAllocatesNothing(t *testing.T) {
	v := 32.0
	if n := testing.AllocsPerRun(100, func() { v, _ = Convert(v, PSI, Bar); v, _ = Convert(v, Bar, PSI) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

func BenchmarkConvert(b *testing.B) {
	b.ReportAllocs()
	v := 32.0
	for b.Loop() {
		v, _ = Convert(v, PSI, Bar)
		v, _ = Convert(v, Bar, PSI)
	}
}
