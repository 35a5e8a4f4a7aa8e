package shop_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"witnessmark/shop"
)

func TestRecordRefuses(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil)
	r := b.round(t, c.CarID)
	for _, tc := range []struct {
		name        string
		in          shop.ReadingInput
		field, text string
	}{
		{"unknown point", shop.ReadingInput{Point: "flux-capacitor", State: "ok"}, "", "no point"},
		{"state out of list", shop.ReadingInput{Point: "brake-fluid-look", State: "purple"}, "", "clear-pale"},
		{"wrong unit", shop.ReadingInput{Point: "tyre-tread", At: "FL/outer", Numbers: map[string]string{"mm": "2.1 bar"}}, "FL/outer|mm", "wrong unit"},
		{"not a number", shop.ReadingInput{Point: "tyre-tread", At: "FL/outer", Numbers: map[string]string{"mm": "plenty"}}, "FL/outer|mm", "plenty"},
		{"out of range", shop.ReadingInput{Point: "tyre-tread", At: "FL/outer", Numbers: map[string]string{"mm": "210"}}, "FL/outer|mm", "expected"},
		{"position that the car lacks", shop.ReadingInput{Point: "drum-diameter", At: "RL", Numbers: map[string]string{"mm": "230"}}, "RL", ""},
		{"no such place", shop.ReadingInput{Point: "tyre-tread", At: "FL/top", Numbers: map[string]string{"mm": "3"}}, "FL/top", "FL/inner"},
		{"bad code", shop.ReadingInput{Point: "tyre-date", At: "FL", Code: "week 12"}, "FL", "date code"},
		{"nothing", shop.ReadingInput{Point: "brake-fluid-look"}, "", "Expected a state"},
		{"reading and reason", shop.ReadingInput{Point: "brake-fluid-look", State: "opaque", Skipped: "dark"}, "", "one or the other"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			tc.in.ID, tc.in.RoundID = b.id(), r.ID
			var bad shop.Invalid
			err := b.Record(ctx, []shop.ReadingInput{{ID: b.id(), RoundID: r.ID, Point: "cabin-filter", At: "1", State: "clean"}, tc.in})
			if !errors.As(err, &bad) {
				t.Fatalf("got %v, want it refused", err)
			}
			if bad[0].Field != tc.field || !strings.Contains(bad[0].Text, tc.text) {
				t.Errorf("got %+v, want field %q and %q", bad[0], tc.field, tc.text)
			}
			if j, _ := b.Findings(ctx, r.ID); len(j.Readings) != 0 {
				t.Errorf("%d readings were stored beside the bad one", len(j.Readings))
			}
		})
	}
}

func TestCorrectionKeepsTheFirstEntry(t *testing.T) {
	b := newBench(t)
	r := b.round(t, b.car(t, nil).CarID)
	first := b.see(t, r.ID, "brake-fluid-look", "", "clear-pale")
	b.see(t, r.ID, "brake-fluid-look", "", "opaque")
	st := step(t, b, r.ID, "brake-fluid-look")
	if st.Current[""].State != "opaque" || st.First[""].ID != first {
		t.Errorf("current %q, first %q", st.Current[""].State, st.First[""].ID)
	}
	if err := b.Withdraw(ctx, shop.ReadingInput{ID: b.id(), RoundID: r.ID, Point: "brake-fluid-look"}); err != nil {
		t.Fatal(err)
	}
	if st = step(t, b, r.ID, "brake-fluid-look"); len(st.Current) != 0 || st.Done() {
		t.Errorf("after undo: %+v", st.Current)
	}
	j, _ := b.Findings(ctx, r.ID)
	if len(j.Readings) != 3 || len(j.Result.Findings) != 0 {
		t.Errorf("%d facts, %d findings; want 3 and none", len(j.Readings), len(j.Result.Findings))
	}
}

func step(t *testing.T, b *bench, roundID, point string) shop.StepView {
	t.Helper()
	v, err := b.Round(ctx, roundID)
	if err != nil {
		t.Fatal(err)
	}
	for _, st := range v.Steps {
		if st.Point.ID == point {
			return st
		}
	}
	t.Fatalf("no step %s", point)
	return shop.StepView{}
}

func TestDoubleClickStoresOnce(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil)
	in := shop.RoundInput{ID: b.id(), CarID: c.CarID, Depth: "quick", Km: "182400"}
	for range 2 {
		if _, err := b.StartRound(ctx, in); err != nil {
			t.Fatal(err)
		}
	}
	rd := []shop.ReadingInput{{ID: b.id(), RoundID: in.ID, Point: "brake-fluid-look", State: "opaque", TakenAt: 5}}
	for range 2 {
		if err := b.Record(ctx, rd); err != nil {
			t.Fatal(err)
		}
		b.now = b.now.Add(time.Second)
	}
	rd[0].State = "darkened"
	if err := b.Record(ctx, rd); !errors.Is(err, shop.ErrConflict) {
		t.Errorf("one id for two readings: %v", err)
	}
	j, _ := b.Findings(ctx, in.ID)
	p, _ := b.CarPage(ctx, c.CarID)
	if len(j.Readings) != 1 || len(p.Rounds) != 1 || len(p.Odometer) != 2 {
		t.Errorf("%d readings, %d rounds, %d odometer readings", len(j.Readings), len(p.Rounds), len(p.Odometer))
	}
}

func TestStartRoundRefuses(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil)
	for field, in := range map[string]shop.RoundInput{
		"depth":   {Depth: "deep"},
		"on":      {Depth: "full", On: "2027-01-01"},
		"km":      {Depth: "full", Km: "100 bar"},
		"ambient": {Depth: "full", Ambient: "200"},
	} {
		in.ID, in.CarID = b.id(), c.CarID
		var bad shop.Invalid
		if _, err := b.StartRound(ctx, in); !errors.As(err, &bad) || bad[0].Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
	if _, err := b.StartRound(ctx, shop.RoundInput{ID: b.id(), CarID: "nobody", Depth: "full"}); !errors.Is(err, shop.ErrNotFound) {
		t.Errorf("round of no car: %v", err)
	}
}

func TestLastReadingComesFromTheRoundBefore(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil)
	b.now = time.Date(2025, 9, 12, 9, 0, 0, 0, time.UTC)
	old, err := b.StartRound(ctx, shop.RoundInput{ID: b.id(), CarID: c.CarID, Depth: "full", Km: "171210"})
	if err != nil {
		t.Fatal(err)
	}
	b.see(t, old.ID, "brake-fluid-look", "", "darkened")
	b.now = time.Date(2026, 3, 21, 9, 0, 0, 0, time.UTC)
	r := b.round(t, c.CarID)
	last := step(t, b, r.ID, "brake-fluid-look").Last[""]
	if last.Reading.State != "darkened" || last.On != "2025-09-12" || last.Km != 171210 {
		t.Errorf("last is %+v", last)
	}
	if st := step(t, b, old.ID, "brake-fluid-look"); len(st.Last) != 0 {
		t.Errorf("the first round knows of a later one: %+v", st.Last)
	}
}

func TestHotEngineMovesColdLooks(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil)
	r, err := b.StartRound(ctx, shop.RoundInput{ID: b.id(), CarID: c.CarID, Depth: "full", EngineHot: true})
	if err != nil {
		t.Fatal(err)
	}
	v, _ := b.Round(ctx, r.ID)
	var order []string
	for _, st := range v.Steps {
		if n := len(order); n == 0 || order[n-1] != string(st.Point.Station) {
			order = append(order, string(st.Point.Station))
		}
	}
	if got := strings.Join(order, " "); got != "paperwork cabin engine-running on-the-ground on-the-lift wheels-off engine-cold road" {
		t.Errorf("stations: %s", got)
	}
}
