package shop

import (
	"strings"
	"testing"
	"time"

	"witnessmark/core/judge"
	"witnessmark/core/outlook"
	"witnessmark/core/point"
	"witnessmark/core/verdict"
)

func TestTenths(t *testing.T) {
	for p, want := range map[float64]int{0: 0, 0.049: 0, 0.05: 1, 0.14: 1, 0.31: 3, 0.5: 5, 0.949: 9, 0.951: 0, 1: 0} {
		if got := tenths(&outlook.Item{Season: p}); got != want {
			t.Errorf("%v: %d of ten, expected %d", p, got, want)
		}
	}
	if tenths(&outlook.Item{Season: 0.4, Past: true}) != 0 {
		t.Error("what is past its limit has a chance of reaching it")
	}
	today := time.Date(2026, 4, 2, 0, 0, 0, 0, time.UTC)
	if got := tenthsWords(3, today); got != "Of 10 cars like yours, about 3 would reach the limit before our next look in October 2026." {
		t.Error(got)
	}
	if got := tenthsWords(0, today); got != "" {
		t.Error(got)
	}
}

// The next look is told where it comes before the usual round; what will hardly last until then is to be planned.
func TestLookWords(t *testing.T) {
	today := time.Date(2026, 4, 2, 0, 0, 0, 0, time.UTC)
	o := &CarOutlook{Outlook: outlook.Outlook{Today: today}}
	soon := outlook.NextLook{On: today.AddDate(0, 3, 0), Km: 183_412}
	for _, c := range []struct {
		name string
		it   outlook.Item
		want string
	}{
		{"soon", outlook.Item{Look: soon, Season: 0.2}, "Look again by 2 July 2026 or 183 400 km."},
		{"later than the usual round", outlook.Item{Look: outlook.NextLook{On: today.AddDate(1, 0, 0)}}, ""},
		{"beyond sight", outlook.Item{Look: outlook.NextLook{On: today, Open: true}}, ""},
		{"too soon to be held", outlook.Item{Look: outlook.NextLook{On: today, Now: true, Short: true}, Season: 0.3}, ""},
		{"hardly lasts", outlook.Item{Look: outlook.NextLook{On: today, Now: true, Short: true}, Season: 0.97}, "Plan the work now: it will probably not last until our next look in October 2026."},
		{"past", outlook.Item{Look: outlook.NextLook{On: today, Now: true}, Season: 1, Past: true}, ""},
	} {
		if got := strings.ReplaceAll(lookWords(o, &c.it), "\u202f", " "); strings.ReplaceAll(got, "\u00a0", " ") != c.want {
			t.Errorf("%s: %q, expected %q", c.name, got, c.want)
		}
	}
}

// A line is told in the section of its point and axle, every other one in the list.
func TestAheadBesideItsSection(t *testing.T) {
	pads := &point.Point{ID: "pad-thickness"}
	r := &Report{Sections: []ReportSection{{Verdict: verdict.Watch, ByWhen: "later", Findings: []judge.Finding{{Point: pads, At: "FL/outer"}}}},
		Ahead: []AheadLine{{Point: "pad-thickness", At: "FR/inner", Look: "Look again by then."}, {Point: "pad-thickness", At: "RL/inner"}, {Point: "coolant-look"}}}
	if got := r.AheadOf(&r.Sections[0]); len(got) != 1 || got[0].At != "FR/inner" {
		t.Errorf("%+v", got)
	}
	if got := r.AheadElse(); len(got) != 2 {
		t.Errorf("%+v", got)
	}
	r.dateLooks()
	if got := r.Sections[0].ByWhen; got != "Nothing now. Look again by then." {
		t.Error(got)
	}
	r.Ahead[0].Plan, r.Ahead[0].Look = true, "Plan the work now."
	r.dateLooks()
	if got := r.Sections[0].ByWhen; got != "Plan the work now." {
		t.Error(got)
	}
}
