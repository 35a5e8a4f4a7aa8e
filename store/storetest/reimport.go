package storetest

import (
	"context"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/shop"
)

func testEachStops(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s, calls := context.Background(), open(t), 0
	put(t, s, everyKind()...)
	err := s.View(ctx, func(r shop.Reader) error {
		return r.Each(ctx, func(shop.Fact) error { calls++; return errStop })
	})
	wantError(t, "Each whose function gives an error", err, errStop)
	want(t, "calls", calls, 1)
}

// testEachAsks reads other things while facts are streamed, over more facts than one page of any engine.
func testEachAsks(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	facts := []shop.Fact{car("v1", "c1", "AB-12 CD"), round("r1", "c1", "2026-03-21")}
	for _, name := range numbered(1501) {
		facts = append(facts, reading(name, "r1", "c1", "pads", 4))
	}
	put(t, s, facts...)
	n := 0
	err := s.View(ctx, func(r shop.Reader) error {
		return r.Each(ctx, func(f shop.Fact) error {
			n++
			if f.Reading != nil && n%500 == 0 {
				_, err := r.Round(ctx, f.Reading.RoundID)
				return err
			}
			return nil
		})
	})
	if err != nil {
		t.Fatal(err)
	}
	want(t, "facts", n, len(facts))
}

// testReimport: the export of any store, put into an empty one, gives the same export and the same answers.
func testReimport(t *testing.T, open func(*testing.T) shop.Store) {
	rapid.Check(t, func(rt *rapid.T) {
		a, b := open(t), open(t)
		defer a.Close()
		defer b.Close()
		for _, batch := range drawHistory(rt) {
			put(rt, a, batch...)
		}
		facts := export(rt, a)
		put(rt, b, facts...)
		want(rt, "the second export", export(rt, b), facts)
		want(rt, "the records in order of arrival", find(rt, b, shop.RecordFilter{}), find(rt, a, shop.RecordFilter{}))
		for _, f := range facts {
			if created, err := tryPut(b, f); created || err != nil {
				rt.Fatalf("%+v put again: created %v, error %v", f, created, err)
			}
		}
		want(rt, "the export after the second time", export(rt, b), facts)
		rows, n := list(rt, a, shop.CarFilter{Limit: 100})
		rows2, n2 := list(rt, b, shop.CarFilter{Limit: 100})
		want(rt, "the list of cars", rows2, rows)
		want(rt, "their number", n2, n)
		for _, row := range rows {
			want(rt, "the history of a car", history(rt, b, row.Car.CarID), history(rt, a, row.Car.CarID))
		}
	})
}

// history is all that a store tells of a car.
func history(t tester, s shop.Store, carID string) []any {
	ctx := context.Background()
	return ask(t, s, func(r shop.Reader) (all []any, err error) {
		add := func(v any, e error) {
			if all = append(all, v); err == nil {
				err = e
			}
		}
		versions, e := r.CarVersions(ctx, carID)
		add(versions, e)
		odometer, e := r.Odometer(ctx, carID)
		add(odometer, e)
		renewals, e := r.Renewals(ctx, carID)
		add(renewals, e)
		gone, e := r.Withdrawals(ctx, carID)
		add(gone, e)
		readings, e := r.History(ctx, carID)
		add(readings, e)
		rounds, e := r.Rounds(ctx, carID)
		add(rounds, e)
		for _, round := range rounds {
			photos, e := r.Photos(ctx, round.ID)
			add(photos, e)
			shares, e := r.Shares(ctx, round.ID)
			add(shares, e)
			told, e := r.Told(ctx, round.ID)
			add(told, e)
			looks, e := r.Looks(ctx, round.ID)
			add(looks, e)
		}
		return all, err
	})
}
