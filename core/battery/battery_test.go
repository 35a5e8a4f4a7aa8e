package battery

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/core/verdict"
)

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol }

func TestFromVoltage(t *testing.T) {
	for _, c := range []struct {
		kind        Type
		volts, degC float64
		want        float64
		outside     bool
		how         string
	}{
		{Flooded, 12.45, 26.667, 75, false, "a row of the table"},
		{Flooded, 12.345, 26.667, 62.5, false, "halfway between 12.24 (50) and 12.45 (75)"},
		// 4.444 degC is 40 degF below the table: 4 * 0.024 = 0.096 V off, 12.449 is 62.5 % by 12.353 -> 50 + 25*0.113/0.21.
		{Flooded, 12.449, 4.444, 63.45, false, "cold"},
		{Flooded, 12.9, 26.667, 100, true, "surface charge"},
		{Flooded, 11.5, 26.667, 0, true, "flat"},
		{AGM, 12.6, 26.667, 75, false, "practice"},
		{Gel, 12.65, 26.667, 75, false, "practice"},
	} {
		got, err := FromVoltage(c.kind, c.volts, c.degC)
		if err != nil || !near(got.Percent, c.want, 0.02) || got.Outside != c.outside {
			t.Errorf("%s %v V at %v (%s): %+v, %v; want %v", c.kind, c.volts, c.degC, c.how, got, err, c.want)
		}
	}
}

func TestFromGravity(t *testing.T) {
	// 1.205 at 37.8 degC (100 degF): 2 steps of 0.004 up, 1.213: 50 + 25*0.023/0.035 = 66.4 %.
	got, err := FromGravity(1.205, 100.0/1.8-32/1.8)
	if err != nil || !near(got.Percent, 66.43, 0.01) {
		t.Errorf("%+v, %v", got, err)
	}
	// Half charged the acid freezes at -36.7, flat at -23.3 degC (BCI table); 12.5 % lies halfway to -26.7: -25.0.
	if v, err := FreezesAt(12.5); err != nil || !near(v, -25, 1e-9) {
		t.Errorf("%v, %v", v, err)
	}
}

func TestLoad(t *testing.T) {
	// 7 degC lies halfway between 4 (9.3) and 10 (9.4): 9.35 V, under half of 640 A = 320 A.
	v, err := LoadMinimum(7)
	a, err2 := LoadCurrent(640)
	if err != nil || err2 != nil || !near(v, 9.35, 1e-9) || a != 320 {
		t.Errorf("%v V, %v A (%v, %v)", v, a, err, err2)
	}
	if v, _ := LoadMinimum(35); v != 9.6 {
		t.Errorf("warm: %v", v)
	}
}

func TestCompare(t *testing.T) {
	// 510 A of 600 A by the same standard: 85 %.
	s, err := Compare(510, EN, 600, EN)
	if err != nil || !near(s.Percent, 85, 1e-9) || s.Least != s.Percent || s.Most != s.Percent || s.Judge() != verdict.Sound {
		t.Errorf("%+v, %v", s, err)
	}
	// 510 A by EN against 354 A by DIN: 510 * 0.59 / 354 = 85 %, give or take a tenth: 76.5 to 93.5.
	s, err = Compare(510, EN, 354, DIN)
	if err != nil || !near(s.Percent, 85, 1e-9) || !near(s.Least, 76.5, 1e-9) || !near(s.Most, 93.5, 1e-9) || s.Judge() != verdict.Unjudged {
		t.Errorf("%+v, %v", s, err)
	}
	for p, want := range map[float64]verdict.Verdict{59.9: verdict.Due, 60: verdict.Watch, 79.9: verdict.Watch, 80: verdict.Sound, 0: verdict.Due} {
		if got := (Strength{p, p, p}).Judge(); got != want {
			t.Errorf("%v %%: %s, want %s", p, got, want)
		}
	}
}

func TestRefuses(t *testing.T) {
	nan := math.NaN()
	for name, f := range map[string]func() error{
		"24 V":         func() error { _, err := FromVoltage(Flooded, 24.8, 20); return err },
		"nan V":        func() error { _, err := FromVoltage(Flooded, nan, 20); return err },
		"boiling":      func() error { _, err := FromVoltage(AGM, 12, 100); return err },
		"no type":      func() error { _, err := FromVoltage(9, 12, 20); return err },
		"no type back": func() error { _, err := VoltageFor(9, 50, 20); return err },
		"150 %":        func() error { _, err := VoltageFor(Gel, 150, 20); return err },
		"hot back":     func() error { _, err := VoltageFor(Gel, 50, 99); return err },
		"water":        func() error { _, err := FromGravity(0.99, 20); return err },
		"gravity nan":  func() error { _, err := FromGravity(1.2, nan); return err },
		"acid":         func() error { _, err := FreezesAt(101); return err },
		"deep frost":   func() error { _, err := LoadMinimum(-19); return err },
		"no load":      func() error { _, err := LoadCurrent(5); return err },
		"no standard":  func() error { _, err := Compare(500, 9, 600, EN); return err },
		"minus":        func() error { _, err := Compare(-1, EN, 600, EN); return err },
		"no rating":    func() error { _, err := Compare(500, EN, 0, EN); return err },
		"type name":    func() error { _, err := ParseType("lithium"); return err },
		"std name":     func() error { _, err := ParseStandard("JIS"); return err },
	} {
		if f() == nil {
			t.Errorf("%s is accepted", name)
		}
	}
	for _, k := range []Type{Flooded, AGM, Gel} {
		if got, err := ParseType(k.String()); err != nil || got != k {
			t.Errorf("%s is not read back", k)
		}
	}
	for s := range numStandards {
		if got, err := ParseStandard(s.String()); err != nil || got != s {
			t.Errorf("%s is not read back", s)
		}
	}
}

func TestThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]Type{Flooded, AGM, Gel}).Draw(t, "type")
		p := rapid.Float64Range(0, 100).Draw(t, "percent")
		at := rapid.Float64Range(-30, 50).Draw(t, "degC")
		v, err := VoltageFor(kind, p, at)
		if err != nil {
			t.Fatal(err)
		}
		back, err := FromVoltage(kind, v, at)
		if err != nil || !near(back.Percent, p, 1e-6) {
			t.Fatalf("%v %% is %v V is %v %% (%v)", p, v, back.Percent, err)
		}
		more, err := FromVoltage(kind, v+0.05, at)
		if err != nil || more.Percent < back.Percent {
			t.Fatalf("more voltage, less charge: %v, %v (%v)", back, more, err)
		}
		a, _ := FreezesAt(p)
		if b, _ := FreezesAt(min(p+5, 100)); b > a {
			t.Fatalf("a fuller battery freezes earlier: %v, %v", a, b)
		}
		by, printed := Standard(rapid.IntRange(0, int(numStandards)-1).Draw(t, "by")), Standard(rapid.IntRange(0, int(numStandards)-1).Draw(t, "printed"))
		one, _ := Compare(500, by, 500, printed)
		other, _ := Compare(500, printed, 500, by)
		if !near(one.Percent*other.Percent, 10000, 1e-6) {
			t.Fatalf("%s to %s and back: %v, %v", by, printed, one, other)
		}
	})
}

// Budget of each: 2 microseconds, no allocation.
func BenchmarkFromVoltage(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, _ = FromVoltage(Flooded, 12.4, 5)
	}
}

func BenchmarkCompare(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, _ = Compare(510, EN, 354, DIN)
	}
}
