package storetest

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"

	"witnessmark/shop"
)

var errStop = errors.New("stop")

func testRollback(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s, f := context.Background(), open(t), everyKind()
	put(t, s, f...)
	err := s.Update(ctx, func(w shop.Writer) error {
		for _, f := range []shop.Fact{car("v2", "c1", "NEW 1"), car("v3", "c3", "NEW 3"), round("r2", "c1", "2026-04-01"),
			roundEnd("e2", "r2", 5), reading("m2", "r2", "c1", "pads", 3)} {
			if _, err := w.Put(ctx, f); err != nil {
				t.Error(err)
			}
		}
		return errStop
	})
	wantError(t, "a transaction that was given up", err, errStop)
	want(t, "the export", export(t, s), f)
	rows, n := list(t, s, shop.CarFilter{Text: "new"})
	want(t, "cars", len(rows)+n, 0)
	put(t, s, reading("m2", "r1", "c1", "pads", 3))
}

func testPanic(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	func() {
		defer func() {
			if recover() == nil {
				t.Error("the panic was swallowed")
			}
		}()
		s.Update(ctx, func(w shop.Writer) error {
			w.Put(ctx, car("v1", "c1", "AB-12 CD"))
			panic("a slip in the caller")
		})
	}()
	want(t, "the export", len(export(t, s)), 0)
	put(t, s, car("v1", "c1", "AB-12 CD"))
}

func testOwnWrites(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	err := s.Update(ctx, func(w shop.Writer) error {
		for _, f := range everyKind()[:5] {
			if _, err := w.Put(ctx, f); err != nil {
				return err
			}
		}
		rows, n, err := w.Cars(ctx, shop.CarFilter{Text: "ab12", Day: "2026-03-21"})
		if err == nil && (len(rows) != 1 || n != 1) {
			t.Error("a transaction does not see what it wrote")
		}
		created, again := w.Put(ctx, everyKind()[0])
		if created {
			t.Error("a fact was put twice in one transaction")
		}
		return errors.Join(err, again)
	})
	if err != nil {
		t.Fatal(err)
	}
}

func testSnapshot(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	put(t, s, car("v1", "c1", "AB-12 CD"))
	err := s.View(ctx, func(r shop.Reader) error {
		for range 2 {
			rows, n, err := r.Cars(ctx, shop.CarFilter{})
			if err != nil {
				return err
			}
			want(t, "cars of the moment", len(rows)+n, 2)
			if _, err := tryPut(s, car("v2", "c2", "XX 99")); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	_, n := list(t, s, shop.CarFilter{})
	want(t, "cars afterwards", n, 2)
}

func testCancelled(t *testing.T, open func(*testing.T) shop.Store) {
	s := open(t)
	ctx, cancel := context.WithCancel(context.Background())
	err := s.Update(ctx, func(w shop.Writer) error {
		if _, err := w.Put(ctx, car("v1", "c1", "AB-12 CD")); err != nil {
			t.Error(err)
		}
		cancel()
		return nil
	})
	wantError(t, "a cancelled transaction", err, context.Canceled)
	want(t, "the export", len(export(t, s)), 0)
	if err := s.View(ctx, func(shop.Reader) error { return nil }); !errors.Is(err, context.Canceled) {
		t.Errorf("a view after the end of its context gives %v", err)
	}
	put(t, s, car("v1", "c1", "AB-12 CD"))
}

// testConcurrent has goroutines that write the same and different facts while others read.
func testConcurrent(t *testing.T, open func(*testing.T) shop.Store) {
	const writers, each = 8, 20
	ctx, s := context.Background(), open(t)
	put(t, s, car("v1", "c1", "AB-12 CD"), round("r1", "c1", "2026-03-21"))
	var created [writers]int
	var wg sync.WaitGroup
	for g := range writers {
		wg.Go(func() {
			for i := range each {
				for _, id := range []string{fmt.Sprintf("own-%d-%d", g, i), fmt.Sprintf("shared-%d", i)} {
					c, err := tryPut(s, reading(id, "r1", "c1", "pads", float64(i)))
					if err != nil {
						t.Error(err)
						return
					}
					if c {
						created[g]++
					}
				}
				err := s.View(ctx, func(r shop.Reader) error {
					a, err := r.Readings(ctx, "r1")
					b, err2 := r.History(ctx, "c1")
					if len(a) != len(b) {
						t.Errorf("%d readings of the round and %d of its car in one view", len(a), len(b))
					}
					return errors.Join(err, err2)
				})
				if err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	total := 0
	for _, n := range created {
		total += n
	}
	want(t, "facts created", total, writers*each+each)
	all := ask(t, s, func(r shop.Reader) ([]shop.ReadingFact, error) { return r.Readings(ctx, "r1") })
	want(t, "readings", len(all), total)
}
