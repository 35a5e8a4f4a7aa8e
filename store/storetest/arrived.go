package storetest

import (
	"context"
	"testing"

	"witnessmark/shop"
)

// testArrived: each fact of a car moves its seq on, facts of another car don't, and readings can be had from a seq on.
func testArrived(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	put(t, s, car("v2", "c2", "XX 99"), car("v1", "c1", "AB-12 CD"), car("v3", "c3", "CC 3"))
	seq := func(carID string) int64 {
		return ask(t, s, func(r shop.Reader) (int64, error) { return r.CarSeq(ctx, carID) })
	}
	other, last := seq("c2"), seq("c1")
	for _, f := range []shop.Fact{odometer("o1", "c1", "2026-03-21", 1), renewal("n1", "c1", "pads", "2026-03-21"), round("r1", "c1", "2026-03-21"),
		reading("m1", "r1", "c1", "pads", 4), roundEnd("e1", "r1", 1), reading("m2", "r1", "c1", "pads", 3), car("v4", "c1", "AB-12 CE")} {
		put(t, s, f)
		now := seq("c1")
		if now <= last {
			t.Errorf("after %+v the seq is %d, before it was %d", f, now, last)
		}
		last = now
	}
	want(t, "the other car's seq", seq("c2"), other)
	all := ask(t, s, func(r shop.Reader) ([]shop.ReadingFact, error) { return r.History(ctx, "c1") })
	after := func(n int64) []shop.ReadingFact {
		return ask(t, s, func(r shop.Reader) ([]shop.ReadingFact, error) { return r.HistoryAfter(ctx, "c1", n) })
	}
	want(t, "readings after none", after(0), all)
	want(t, "readings after the first", after(all[0].Seq), all[1:])
	want(t, "readings after the last", len(after(all[1].Seq)), 0)
	want(t, "new readings", ask(t, s, func(r shop.Reader) (int, error) { return r.ReadingsSince(ctx, all[0].Seq) }), 1)
	if n := ask(t, s, func(r shop.Reader) (int64, error) { return r.LastSeq(ctx) }); n < last {
		t.Errorf("the last of all is %d, of a car %d", n, last)
	}
	page := func(after string, limit int) []string {
		return ask(t, s, func(r shop.Reader) ([]string, error) { return r.CarIDs(ctx, after, limit) })
	}
	want(t, "the first ids", page("", 2), []string{"c1", "c2"})
	want(t, "the next ids", page("c2", 2), []string{"c3"})
}

// testClasses: the last that was learned counts.
func testClasses(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	put(t, s, classes("k9", 5), classes("k1", 7))
	got := ask(t, s, func(r shop.Reader) (shop.ClassesFact, error) { return r.Classes(ctx) })
	want(t, "what was learned last", got, *classes("k1", 7).Classes)
}
