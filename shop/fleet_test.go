package shop_test

import (
	"testing"
	"time"

	"witnessmark/internal/simulate"
	"witnessmark/shop"
)

// lastDay is the last day of the invented histories, and the clock of their workshops.
var lastDay = time.Date(2026, 3, 21, 0, 0, 0, 0, time.UTC)

// fleet is a workshop with the history of an invented fleet.
func fleet(t testing.TB, o simulate.Options) (*bench, *simulate.Truth) {
	t.Helper()
	b := newBench(t)
	o.Today = lastDay
	facts, truth := simulate.Fleet(b.Catalogue(), o)
	var batch []shop.Fact
	flush := func() {
		err := b.store.Update(ctx, func(w shop.Writer) error {
			for _, f := range batch {
				if _, err := w.Put(ctx, f); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		batch = batch[:0]
	}
	for f := range facts {
		if batch = append(batch, f); len(batch) == 2000 {
			flush()
		}
	}
	flush()
	return b, truth
}

// cars lists the ids of all cars.
func (b *bench) cars(t testing.TB) (ids []string) {
	t.Helper()
	err := b.store.View(ctx, func(r shop.Reader) (err error) {
		ids, err = r.CarIDs(ctx, "", 1_000_000)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return ids
}
