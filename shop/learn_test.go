package shop_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"witnessmark/internal/simulate"
	"witnessmark/shop"
)

// small is a fleet that is learned from within a second or two.
var small = simulate.Options{Seed: 4, Cars: 5, Years: 3, ReadingsPerRound: 40}

func TestLearnGivesTheSameAgain(t *testing.T) {
	b, _ := fleet(t, small)
	if classes, learned, err := b.Classes(ctx); classes != nil || learned != nil || err != nil {
		t.Fatalf("before learning: %v %v %v", classes, learned, err)
	}
	st, err := b.LearnState(ctx)
	if err != nil || st.Last != nil || st.New == 0 || st.Running {
		t.Fatalf("before learning: %+v %v", st, err)
	}
	first, err := b.Learn(ctx, "ab", nil)
	if err != nil {
		t.Fatal(err)
	}
	if first.Fact.Cars != len(b.cars(t)) || first.Fact.Looks < 300 || len(first.Fitted) < 20 {
		t.Errorf("learned %d classes from %d looks at %d cars", len(first.Fitted), first.Fact.Looks, first.Fact.Cars)
	}
	if st, err = b.LearnState(ctx); err != nil || st.Last == nil || st.Last.ID != first.Fact.ID || st.New != 0 || st.Stale {
		t.Errorf("after learning: %+v %v", st, err)
	}
	classes, learned, err := b.Classes(ctx)
	if err != nil || learned.ID != first.Fact.ID || len(classes) != len(first.Fitted) {
		t.Errorf("%d classes of %+v, %v", len(classes), learned, err)
	}
	for _, f := range first.Fitted {
		a, _ := json.Marshal(f)
		if c, _ := json.Marshal(classes[f.Key]); !bytes.Equal(a, c) {
			t.Errorf("%s is kept as\n%s, not\n%s", f.Key, c, a)
		}
	}
	// What arrives while it is under way does not count, and a second run beside the first is refused.
	ids := b.cars(t)
	last := ids[len(ids)-1]
	second, err := b.Learn(ctx, "ab", func(done, total int) {
		if total != len(ids) {
			t.Errorf("%d cars, not %d", total, len(ids))
		}
		if done != 1 {
			return
		}
		if _, err := b.Learn(ctx, "ab", nil); !errors.Is(err, shop.ErrBusy) {
			t.Errorf("a run beside the other: %v", err)
		}
		if err := b.AddRenewal(ctx, shop.RenewalInput{ID: b.id(), CarID: last, Item: "pads", On: "2025-01-05", Km: "1000"}); err != nil {
			t.Error(err)
		}
	})
	if err != nil || !bytes.Equal(first.Fact.Fitted, second.Fact.Fitted) {
		t.Errorf("the same facts taught something else, or %v", err)
	}
	// The export has it, and the same facts in another place teach the same.
	fresh := newBench(t)
	fresh.ids = 1000
	if _, err := fresh.Import(ctx, bytes.NewReader(export(t, b))); err != nil {
		t.Fatal(err)
	}
	if _, learned, err = fresh.Classes(ctx); err != nil || learned == nil || learned.ID != second.Fact.ID {
		t.Errorf("after the import: %+v %v", learned, err)
	}
	third, err := fresh.Learn(ctx, "ab", nil)
	fourth, err2 := b.Learn(ctx, "ab", nil)
	if err != nil || err2 != nil || !bytes.Equal(third.Fact.Fitted, fourth.Fact.Fitted) {
		t.Errorf("the import taught something else, or %v %v", err, err2)
	}
}

func TestLearnStopsWhenAsked(t *testing.T) {
	b, _ := fleet(t, small)
	stop, cancel := context.WithCancel(ctx)
	_, err := b.Learn(stop, "ab", func(done, _ int) {
		if done == 2 {
			cancel()
		}
	})
	st, err2 := b.LearnState(ctx)
	if !errors.Is(err, context.Canceled) || err2 != nil || st.Running || st.Last != nil || !strings.Contains(st.LastError, "cancel") {
		t.Errorf("%v; %+v %v", err, st, err2)
	}
}

func TestClassesOfAnotherCatalogue(t *testing.T) {
	b := newBench(t)
	old := shop.ClassesFact{ID: "k", Catalogue: "older", Fitted: json.RawMessage(`[{"Key":"pad-thickness/F|"}]`)}
	err := b.store.Update(ctx, func(w shop.Writer) error { _, err := w.Put(ctx, shop.Fact{Classes: &old}); return err })
	if err != nil {
		t.Fatal(err)
	}
	classes, learned, err := b.Classes(ctx)
	if classes != nil || learned != nil || err != nil {
		t.Errorf("%v %v %v", classes, learned, err)
	}
	if st, err := b.LearnState(ctx); err != nil || !st.Stale || st.Last.ID != "k" {
		t.Errorf("%+v %v", st, err)
	}
}

func TestImportRefusesBadClasses(t *testing.T) {
	head := `{"format":"witnessmark-facts-1","catalogue":""}` + "\n"
	for text, want := range map[string]string{
		`{"classes":{"id":"k","through":1,"catalogue":"","cars":1,"looks":1,"fitted":{},"by":"","received_at":0}}`:   "fitted is no list",
		`{"classes":{"id":"k","through":1,"catalogue":"","cars":1,"looks":1,"fitted":null,"by":"","received_at":0}}`: "fitted is no list",
		`{"classes":{"id":"k","through":-1,"catalogue":"","cars":1,"looks":1,"fitted":[],"by":"","received_at":0}}`:  "below 0",
		`{"classes":{"id":"","through":1,"catalogue":"","cars":1,"looks":1,"fitted":[],"by":"","received_at":0}}`:    "an id",
	} {
		if _, err := newBench(t).Import(ctx, strings.NewReader(head+text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
}
