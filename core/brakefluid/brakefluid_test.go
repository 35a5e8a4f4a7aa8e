package brakefluid

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/core/verdict"
)

// Limits as the regulation prints them: dry and wet minimum by class (49 CFR 571.116 S5.1.1, S5.1.2).
func TestLimits(t *testing.T) {
	for c, want := range map[Class][2]float64{DOT3: {205, 140}, DOT4: {230, 155}, DOT5: {260, 180}, DOT51: {260, 180}} {
		if l, ok := c.Limits(); !ok || l.Dry != want[0] || l.Wet != want[1] || !strings.Contains(l.Source, "571.116") {
			t.Errorf("%s: %+v, %v", c, l, ok)
		}
	}
	for _, c := range []Class{Unknown, Mineral, numClasses} {
		if l, ok := c.Limits(); ok || l != (Limits{}) {
			t.Errorf("%d has limits", c)
		}
	}
}

func TestParse(t *testing.T) {
	for s, want := range map[string]Class{
		"DOT 3": DOT3, "dot4": DOT4, "4": DOT4, "DOT 5.1": DOT51, "5.1": DOT51, "DOT-4": DOT4, "dot 5": DOT5, "FMVSS 116": Unknown,
		"ISO class 6": ISO6, "class 5-1": ISO51, "ISO 4925 class 7": ISO7, "iso 4": ISO4, "ISO 5": Unknown, "6": ISO6, "": Unknown,
		"DOT 45": Unknown, "mineral oil": Mineral, "ISO 4925": Unknown,
	} {
		got, err := Parse(s)
		if got != want || (err == nil) != (got != Unknown) {
			t.Errorf("%q: %v, %v; want %v", s, got, err, want)
		}
	}
	for _, c := range Classes() {
		if got, err := Parse(c.String()); err != nil || got != c {
			t.Errorf("%s is read back as %v, %v", c, got, err)
		}
	}
}

func TestJudge(t *testing.T) {
	for _, c := range []struct {
		class Class
		degC  float64
		want  verdict.Verdict
	}{
		{DOT4, 154, verdict.Overdue}, {DOT4, 155, verdict.Due}, {DOT4, 179, verdict.Due}, {DOT4, 180, verdict.Sound},
		{DOT3, 139, verdict.Overdue}, {DOT3, 165, verdict.Sound}, {DOT51, 179, verdict.Overdue}, {ISO6, 170, verdict.Due},
	} {
		if f, err := JudgeBoiling(c.class, c.degC); err != nil || f.Verdict != c.want || f.Why == "" {
			t.Errorf("%s at %v: %+v, %v; want %s", c.class, c.degC, f, err, c.want)
		}
	}
	for percent, want := range map[float64]verdict.Verdict{0: verdict.Sound, 0.9: verdict.Sound, 1: verdict.Watch, 3: verdict.Watch, 3.1: verdict.Due} {
		if f, err := JudgeWater(DOT4, percent); err != nil || f.Verdict != want {
			t.Errorf("%v %%: %+v, %v; want %s", percent, f, err, want)
		}
	}
	if f, _ := JudgeWater(DOT5, 5); f.Verdict != verdict.Unjudged {
		t.Errorf("silicone: %+v", f)
	}
	dry, water := Finding{Verdict: verdict.Sound}, Finding{Verdict: verdict.Due}
	if Worse(dry, water) != water || Worse(water, dry) != water || Worse(dry, Finding{Verdict: verdict.Unjudged}) != dry {
		t.Error("the worse one does not win")
	}
}

func TestRefuses(t *testing.T) {
	for _, bad := range []float64{79, 331, math.NaN()} {
		if f, err := JudgeBoiling(DOT4, bad); err == nil || f != (Finding{}) {
			t.Errorf("boiling at %v: %+v", bad, f)
		}
	}
	for _, bad := range []float64{-0.1, 15.1, math.NaN()} {
		if f, err := JudgeWater(DOT4, bad); err == nil || f != (Finding{}) {
			t.Errorf("%v %%: %+v", bad, f)
		}
	}
	for _, c := range []Class{Unknown, Mineral} {
		if _, err := JudgeBoiling(c, 200); err == nil {
			t.Errorf("%s is judged", c)
		}
		if _, err := JudgeWater(c, 1); err == nil {
			t.Errorf("%s is judged", c)
		}
	}
	if !math.IsNaN(TypicalBoiling(DOT4, 1)) || !math.IsNaN(TypicalBoiling(DOT3, 6)) {
		t.Error("a typical boiling point out of nothing")
	}
}

func TestCanTopUp(t *testing.T) {
	for _, c := range []struct {
		cap, bottle Class
		want        TopUp
	}{
		{DOT4, DOT4, Allowed}, {DOT4, DOT51, Allowed}, {DOT3, DOT4, Lowers}, {DOT3, DOT51, Allowed}, {DOT51, DOT4, Lowers},
		{DOT4, DOT5, Never}, {DOT5, DOT51, Never}, {DOT5, DOT5, Allowed}, {DOT4, Mineral, Never}, {Mineral, Mineral, Allowed},
		{ISO6, DOT4, Lowers}, {ISO6, DOT51, Lowers}, {DOT4, ISO6, Allowed}, {DOT51, ISO6, Lowers}, {ISO7, ISO6, Lowers},
		{Unknown, DOT4, NotKnown}, {DOT4, numClasses, NotKnown},
	} {
		if got, why := CanTopUp(c.cap, c.bottle); got != c.want || why == "" {
			t.Errorf("%s into %s: %s (%s), want %s", c.bottle, c.cap, got, why, c.want)
		}
	}
}

// Higher boiling is never judged worse, and silicone never goes together with glycol, whatever the order.
func TestOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.SampledFrom(Classes()).Draw(t, "class")
		a, b := rapid.Float64Range(80, 330).Draw(t, "a"), rapid.Float64Range(80, 330).Draw(t, "b")
		fa, _ := JudgeBoiling(c, min(a, b))
		fb, _ := JudgeBoiling(c, max(a, b))
		if fb.Verdict.Worse(fa.Verdict) {
			t.Fatalf("%s: %v at %v, %v at %v", c, fa, min(a, b), fb, max(a, b))
		}
		d := rapid.SampledFrom(Classes()).Draw(t, "other")
		one, _ := CanTopUp(c, d)
		other, _ := CanTopUp(d, c)
		if (one == Never) != (c.Silicone() != d.Silicone()) || (one == Never) != (other == Never) {
			t.Fatalf("%s and %s: %s, %s", c, d, one, other)
		}
		if same, _ := CanTopUp(c, c); same != Allowed {
			t.Fatalf("%s does not go into itself: %s", c, same)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"DOT 4", "ISO 4925 class 5-1", "5.1", "mineral", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		c, err := Parse(s)
		if (err == nil) == (c == Unknown) {
			t.Fatalf("%q: %v, %v", s, c, err)
		}
		if err == nil {
			if again, err := Parse(c.String()); err != nil || again != c {
				t.Fatalf("%q is %s, read back as %v, %v", s, c, again, err)
			}
		}
	})
}

// Budget: 2 microseconds, no allocation.
func BenchmarkJudge(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, _ = JudgeBoiling(DOT4, 162)
		_, _ = JudgeWater(DOT4, 2)
	}
}
