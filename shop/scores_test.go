package shop_test

import (
	"context"
	"math"
	"reflect"
	"testing"
	"time"

	"witnessmark/shop"
)

// studied runs the background task until it has learned and scored.
func studied(t *testing.T, b *bench) *shop.Scores {
	t.Helper()
	stop, cancel := context.WithCancel(ctx)
	done := make(chan struct{})
	go func() {
		defer close(done)
		b.Study(stop, func(what string, err error) { t.Errorf("%s: %v", what, err) })
	}()
	defer func() { cancel(); <-done }()
	for range 6000 {
		sc, err := b.Scores(ctx)
		if err != nil {
			t.Fatal(err)
		}
		if sc.Ready {
			return sc
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatal("no scores after five minutes")
	return nil
}

func TestScoresOfAnInventedWorkshop(t *testing.T) {
	b, _ := fleet(t, small)
	if sc, err := b.Scores(ctx); err != nil || sc.Ready || sc.TooLittle == "" {
		t.Fatalf("before learning: %+v %v", sc, err)
	}
	sc := studied(t, b)
	if sc.All.Ranges.N < 100 || sc.All.Chances.N < 100 || sc.Cars == 0 || sc.Cars > sc.OfCars || len(sc.Years) < 2 || len(sc.Laws) < 10 {
		t.Fatalf("%+v", sc)
	}
	ranges, chances, years := 0, 0, 0
	for _, l := range sc.Laws {
		ranges, chances = ranges+l.Ranges.N, chances+l.Chances.N
		if l.Name == "" || l.Ranges.N > 0 && (l.Unit == "" || l.Chances.N > 0) || l.TooLittle != (l.Ranges.N+l.Chances.N < 30) {
			t.Errorf("%+v", l)
		}
		if math.IsNaN(l.Ranges.Within) || l.Ranges.Within < 0 || l.Ranges.Within > 1 || math.IsNaN(l.Chances.Brier) {
			t.Errorf("%+v", l)
		}
	}
	for _, y := range sc.Years {
		years += y.Ranges.N + y.Chances.N
		if y.Looks == 0 || y.Cars == 0 || y.Year < 2022 || y.Year > 2026 {
			t.Errorf("%+v", y)
		}
	}
	if ranges != sc.All.Ranges.N || chances != sc.All.Chances.N || years != ranges+chances {
		t.Errorf("laws have %d and %d, years %d, all %d and %d", ranges, chances, years, sc.All.Ranges.N, sc.All.Chances.N)
	}
	t.Logf("ranges: %d, within %.3f; chances: %d, expected %.1f, happened %d", ranges, sc.All.Ranges.Within, chances, sc.All.Chances.Expected, sc.All.Chances.Happened)
	st, err := b.LearnState(ctx)
	if err != nil || st.Last == nil || st.Last.ID != sc.LearnedID || st.LastError != "" {
		t.Errorf("%+v %v", st, err)
	}
	// The same facts score the same after another start.
	again := newBench(t)
	again.ids = 5000
	other := shop.New(shop.Config{Store: b.store, Catalogue: b.Catalogue(), Now: b.Now, NewID: again.id})
	again.Shop = other
	if got := studied(t, again); !reflect.DeepEqual(got, sc) {
		t.Errorf("another start scores\n%+v, not\n%+v", got, sc)
	}
}

func TestScoresOfAYoungWorkshop(t *testing.T) {
	b := newBench(t)
	r := b.round(t, b.car(t, nil).CarID)
	b.see(t, r.ID, "brake-fluid-look", "", "opaque")
	sc := studied(t, b)
	if sc.TooLittle == "" || len(sc.Years) != 0 || sc.All.Ranges.N != 0 {
		t.Errorf("%+v", sc)
	}
}
