package shop_test

import (
	"strings"
	"testing"

	"witnessmark/shop"
)

func TestReportOfALittleRound(t *testing.T) {
	b := newBench(t)
	r := b.round(t, b.car(t, nil).CarID)
	b.see(t, r.ID, "brake-fluid-look", "", "opaque")
	b.see(t, r.ID, "warning-lamps", "", "all-out")
	if err := b.Record(ctx, []shop.ReadingInput{
		{ID: b.id(), RoundID: r.ID, Point: "coolant-level", State: "far-below", Numbers: map[string]string{"deficit_L": "0.9"}},
		{ID: b.id(), RoundID: r.ID, Point: "disc-thickness", At: "FL", Numbers: map[string]string{"mm": "22.4"}},
		{ID: b.id(), RoundID: r.ID, Point: "cabin-filter", At: "1", Skipped: "customer waiting"}}); err != nil {
		t.Fatal(err)
	}
	rep, err := b.Report(ctx, r.ID)
	if err != nil {
		t.Fatal(err)
	}
	var titles []string
	for _, s := range rep.Sections {
		titles = append(titles, string(s.Verdict)+" "+s.Title)
		if len(s.ToDo) == 0 || s.ByWhen == "" || s.Means == "" || s.Wait == "" || s.Limit == "" {
			t.Errorf("%s lacks something: %+v", s.Title, s)
		}
	}
	if got := strings.Join(titles, "; "); got != "overdue Brake fluid; due Coolant level" {
		t.Errorf("sections: %s", got)
	}
	if todo := strings.Join(rep.Sections[1].ToDo, "; "); !strings.Contains(todo, "ready-mixed coolant: 0.9 L") {
		t.Errorf("to do: %s", todo)
	}
	if len(rep.Unjudged) != 1 || !strings.Contains(rep.Unjudged[0].Reason, "figure") && !strings.Contains(rep.Unjudged[0].Reason, "entered") {
		t.Errorf("unjudged: %+v", rep.Unjudged)
	}
	if len(rep.NotLooked) != 2 || rep.NotLooked[0].Reason != "customer waiting" {
		t.Fatalf("not looked at: %+v", rep.NotLooked)
	}
	if rest := rep.NotLooked[1].What; !strings.Contains(rest, "points: ") || !strings.Contains(rest, "brakes (") || len(rest) > 600 {
		t.Errorf("the rest: %s", rest)
	}
	for _, s := range []string{shop.Promise} {
		if !strings.Contains(s, "does not say that a car is safe") {
			t.Errorf("promise: %s", s)
		}
	}
}
