package brake

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/core/verdict"
)

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol }

func TestBalance(t *testing.T) {
	// 1900 and 2500 N: the weaker has 76 %, 24 % are missing.
	b, err := Balanced(2500, 1900)
	if err != nil || !near(b.Weaker, 76, 1e-12) || !near(b.Imbalance, 24, 1e-12) {
		t.Errorf("%+v, %v", b, err)
	}
	for _, c := range []struct {
		weaker      float64
		steered, us bool
		want        verdict.Verdict
	}{
		{76, true, false, verdict.Watch}, {76, true, true, verdict.Overdue}, {80, true, true, verdict.Sound}, {69.9, false, false, verdict.Overdue},
		{49.9, true, false, verdict.Unsafe}, {49.9, false, false, verdict.Overdue}, {70, true, false, verdict.Watch},
	} {
		if got := (Balance{c.weaker, 100 - c.weaker}).Judge(c.steered, c.us); got != c.want {
			t.Errorf("%+v: %s", c, got)
		}
	}
}

func TestEfficiency(t *testing.T) {
	// 2500 + 2400 + 1500 + 1450 = 7850 N on 1600 kg: 7850 / 15696 = 50.01 %.
	e, err := Efficiency(2500+2400+1500+1450, 1600)
	if err != nil || !near(e, 50.0127, 1e-4) {
		t.Errorf("%v, %v", e, err)
	}
	for _, c := range []struct {
		year int
		want verdict.Verdict
	}{{2012, verdict.Overdue}, {2011, verdict.Sound}} {
		if got := JudgeEfficiency(e, Required(c.year)); got != c.want {
			t.Errorf("%d: %s", c.year, got)
		}
	}
	if JudgeEfficiency(28.9, 58) != verdict.Unsafe || JudgeEfficiency(29, 58) != verdict.Overdue || JudgeEfficiency(16, Parking) != verdict.Sound {
		t.Error("half of the required value is where danger begins")
	}
	// 20 mph within 25 ft is 8.9408^2 / (2 * 7.62) = 5.245 m/s2 (49 CFR 570.5(d)(2), from memory).
	if d, err := Deceleration(20*1.609344, 25*0.3048); err != nil || !near(d, 5.245, 0.001) {
		t.Errorf("%v, %v", d, err)
	}
}

func TestDisc(t *testing.T) {
	// 23.98, 24.00, 23.99, 23.97: mean 23.985, variation 0.03, and 1.57 mm above a minimum of 22.4.
	d, err := Measure([]float64{23.98, 24.00, 23.99, 23.97}, 22.4)
	if err != nil || !near(d.Mean, 23.985, 1e-9) || !near(d.Variation, 0.03, 1e-9) || !near(d.Spare, 1.57, 1e-9) {
		t.Errorf("%+v, %v", d, err)
	}
	for _, c := range []struct {
		spare, variation float64
		want             verdict.Verdict
	}{{-0.01, 0, verdict.Overdue}, {1, 0.026, verdict.Due}, {1, 0.025, verdict.Watch}, {1, 0.014, verdict.Sound}, {0, 0, verdict.Sound}} {
		if got := (Disc{Spare: c.spare, Variation: c.variation}).Judge(); got != c.want {
			t.Errorf("%+v: %s", c, got)
		}
	}
	if v, err := Taper(23.9, 24.05); err != nil || !near(v, 0.15, 1e-9) {
		t.Errorf("%v, %v", v, err)
	}
}

func TestRefuses(t *testing.T) {
	nan := math.NaN()
	for name, f := range map[string]func() error{
		"negative":    func() error { _, err := Balanced(-1, 5); return err },
		"nothing":     func() error { _, err := Balanced(0, 0); return err },
		"nan":         func() error { _, err := Balanced(nan, 5); return err },
		"lorry":       func() error { _, err := Efficiency(5000, 20000); return err },
		"nan force":   func() error { _, err := Efficiency(nan, 1000); return err },
		"one reading": func() error { _, err := Measure([]float64{24}, 22); return err },
		"thin":        func() error { _, err := Measure([]float64{24, 2}, 22); return err },
		"no minimum":  func() error { _, err := Measure([]float64{24, 24}, 0); return err },
		"taper":       func() error { _, err := Taper(24, nan); return err },
		"no stop":     func() error { _, err := Deceleration(50, 0); return err },
	} {
		if f() == nil {
			t.Errorf("%s is accepted", name)
		}
	}
}

func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, r := rapid.Float64Range(1, 9000).Draw(t, "left"), rapid.Float64Range(1, 9000).Draw(t, "right")
		b, err := Balanced(l, r)
		other, _ := Balanced(r, l)
		scaled, _ := Balanced(2*l, 2*r)
		if err != nil || b != other || !near(b.Weaker, scaled.Weaker, 1e-9) || b.Weaker > 100 || b.Weaker < 0 {
			t.Fatalf("%+v, %+v, %+v, %v", b, other, scaled, err)
		}
		if b.Judge(false, false).Worse(b.Judge(true, true)) {
			t.Fatalf("%+v is judged worse by the looser rule", b)
		}
		rs := rapid.SliceOfN(rapid.Float64Range(20, 26), 2, 12).Draw(t, "readings")
		d, err := Measure(rs, 22)
		if err != nil || d.Variation < 0 || d.Mean < d.Thinnest-1e-9 || d.Mean > d.Thickest+1e-9 {
			t.Fatalf("%+v, %v", d, err)
		}
	})
}

// Budget of all together: 2 microseconds, no allocation.
func BenchmarkBrake(b *testing.B) {
	rs := []float64{23.98, 24.00, 23.99, 23.97, 24, 24, 23.99, 23.98}
	b.ReportAllocs()
	for b.Loop() {
		_, _ = Balanced(2500, 1900)
		_, _ = Efficiency(7850, 1600)
		_, _ = Measure(rs, 22.4)
	}
}
