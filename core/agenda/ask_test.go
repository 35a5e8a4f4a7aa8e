package agenda

import (
	"testing"
	"time"

	"witnessmark/core/judge"
	"witnessmark/core/point"
	"witnessmark/core/verdict"
	"witnessmark/core/work"
)

// bench is a small invented catalogue: pads and discs of an axle, and a setting that renews nothing.
func bench() *point.Catalogue {
	c := (&point.Catalogue{}).New()
	c.Jobs = map[string]*point.Job{"pads": {ID: "pads", Name: "Pads", Renews: []string{"pads"}}, "discs": {ID: "discs", Name: "Discs", Renews: []string{"discs", "pads"}},
		"set": {ID: "set", Name: "Set"}}
	c.Work = map[string]*point.Work{"pads": {Job: "pads", Per: "axle"}, "discs": {Job: "discs", Per: "axle"}}
	return c
}

func seen(v verdict.Verdict, at string, ago int, jobs ...string) Seen {
	p := &point.Point{ID: "p", Consequence: point.People}
	return Seen{judge.Finding{Point: p, At: at, Verdict: v, Jobs: jobs}, inDays(-ago)}
}

func TestDaysOfVerdicts(t *testing.T) {
	for _, c := range []struct {
		name      string
		seen      Seen
		must      bool
		due, hard time.Time
	}{
		{"unsafe today", seen(verdict.Unsafe, "FL", 0, "set"), true, today, today},
		{"unsafe a month ago", seen(verdict.Unsafe, "FL", 31, "set"), true, inDays(-31), today},
		{"overdue today", seen(verdict.Overdue, "FL", 0, "set"), false, today, inDays(30)},
		{"overdue for long", seen(verdict.Overdue, "FL", 90, "set"), false, inDays(-90), today},
		{"due today", seen(verdict.Due, "FL", 0, "set"), false, inDays(30), time.Time{}},
	} {
		got := FromFindings(bench(), []Seen{c.seen}, today)
		if len(got) != 1 || got[0].Must != c.must || !got[0].Due.Equal(c.due) || !got[0].Hard.Equal(c.hard) {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
	for _, v := range []verdict.Verdict{verdict.Sound, verdict.Watch, verdict.Unjudged} {
		if got := FromFindings(bench(), []Seen{seen(v, "", 0, "set")}, today); len(got) > 0 {
			t.Errorf("%s asks for %+v", v, got)
		}
	}
}

func TestOneDoingOnceWithItsStrongestReason(t *testing.T) {
	cat := bench()
	asks := FromFindings(cat, []Seen{seen(verdict.Due, "FL/inner", 0, "pads"), seen(verdict.Overdue, "FR", 0, "pads"), seen(verdict.Unsafe, "", 0, "set")}, today)
	got := Join(cat, asks)
	if len(got) != 2 || got[0].Job != "set" || !got[0].Must || got[1].Doing != (work.Doing{Job: "pads", At: "F"}) || got[1].Verdict != verdict.Overdue || len(got[1].Others) != 1 {
		t.Fatalf("%+v", got)
	}
}

func TestPutOffComesBackOnItsDay(t *testing.T) {
	cat := bench()
	until := inDays(120)
	off := func(job, at string) []Ask {
		return FromPutOffs(cat, []PutOff{{work.Doing{Job: job, At: at}, until, verdict.Due}}, today)
	}
	for _, c := range []struct {
		name      string
		asks      []Ask
		notBefore time.Time
		hard      time.Time
	}{
		{"alone", off("pads", "F"), until, time.Time{}},
		{"found due as well", append(off("pads", "F"), FromFindings(cat, []Seen{seen(verdict.Due, "FL", 0, "pads")}, today)...), until, time.Time{}},
		{"found overdue as well", append(off("pads", "F"), FromFindings(cat, []Seen{seen(verdict.Overdue, "FL", 0, "pads")}, today)...), until, time.Time{}},
		{"unsafe since", append(off("pads", "F"), FromFindings(cat, []Seen{seen(verdict.Unsafe, "FL", 0, "pads")}, today)...), time.Time{}, today},
		{"the other axle", append(off("pads", "R"), FromFindings(cat, []Seen{seen(verdict.Unsafe, "FL", 0, "pads")}, today)...), time.Time{}, today},
	} {
		got := Join(cat, c.asks)
		if len(got) == 0 || !got[0].NotBefore.Equal(c.notBefore) || !got[0].Hard.Equal(c.hard) || got[0].NotBefore.After(got[0].Due) {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
}

// TestDoneOnTheWay: pads go with the discs of their axle when those fall due about then, not with discs of a later year or another axle.
func TestDoneOnTheWay(t *testing.T) {
	cat := bench()
	discs := func(at string, in int) Ask {
		return Ask{Doing: work.Doing{Job: "discs", At: at}, Finding: -1, Item: -1, PutOff: -1, Verdict: verdict.Sound, When: On(float64(in)), Due: inDays(in)}
	}
	pads := FromFindings(cat, []Seen{seen(verdict.Overdue, "FL", 0, "pads")}, today)
	for _, c := range []struct {
		name  string
		discs Ask
		folds bool
	}{{"soon after", discs("F", 50), true}, {"before", discs("F", -10), true}, {"a year on", discs("F", 365), false}, {"behind", discs("R", 0), false}} {
		got := Join(cat, append([]Ask{c.discs}, pads...))
		if folded := len(got) == 1; folded != c.folds {
			t.Errorf("%s: %+v", c.name, got)
			continue
		}
		if c.folds && (got[0].Job != "discs" || len(got[0].With) != 1 || got[0].Due.After(today) || !got[0].Hard.Equal(inDays(30)) || got[0].Verdict != verdict.Overdue) {
			t.Errorf("%s: the discs don't answer for the pads: %+v", c.name, got[0])
		}
	}
}

func TestTheJobThatRenewsLeastElse(t *testing.T) {
	cat := bench()
	p := &point.Point{ID: "p"}
	if got := JobFor(cat, p, "pads", nil); got != "pads" {
		t.Errorf("pads are renewed by %q", got)
	}
	if got := JobFor(cat, &point.Point{Jobs: []string{"discs"}}, "pads", nil); got != "discs" {
		t.Errorf("a point that names a job gets %q", got)
	}
	if got := JobFor(cat, p, "pads", func(j *point.Job) bool { return j.ID != "pads" }); got != "discs" {
		t.Errorf("a car without that job gets %q", got)
	}
	if got := JobFor(cat, p, "oil", nil); got != "" {
		t.Errorf("what no job renews gets %q", got)
	}
}
