package shop_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"witnessmark/shop"
)

// onStep is called before every operation on a store inside a writing transaction, at its beginning and at its end; an error fails it.
type onStep func(what string) error

// stepped is a store whose writing transactions go step by step.
type stepped struct {
	shop.Store
	step onStep
}

func (s *stepped) Update(ctx context.Context, f func(shop.Writer) error) error {
	if err := s.step("begin"); err != nil {
		return err
	}
	err := s.Store.Update(ctx, func(w shop.Writer) error {
		if err := f(&steppedWriter{w, s.step}); err != nil {
			return err
		}
		return s.step("commit")
	})
	if err != nil {
		return err
	}
	return s.step("answer")
}

// steppedWriter has a step before each thing that accepting asks of a store.
type steppedWriter struct {
	shop.Writer
	step onStep
}

func (w *steppedWriter) Record(ctx context.Context, id string) (shop.Record, error) {
	if err := w.step("record " + id); err != nil {
		return shop.Record{}, err
	}
	return w.Writer.Record(ctx, id)
}

func (w *steppedWriter) Records(ctx context.Context, f shop.RecordFilter) ([]shop.Record, error) {
	if err := w.step("records " + f.Kind); err != nil {
		return nil, err
	}
	return w.Writer.Records(ctx, f)
}

func (w *steppedWriter) Car(ctx context.Context, id string) (shop.CarVersion, error) {
	if err := w.step("car"); err != nil {
		return shop.CarVersion{}, err
	}
	return w.Writer.Car(ctx, id)
}

func (w *steppedWriter) Odometer(ctx context.Context, id string) ([]shop.OdometerFact, error) {
	if err := w.step("odometer"); err != nil {
		return nil, err
	}
	return w.Writer.Odometer(ctx, id)
}

func (w *steppedWriter) Put(ctx context.Context, f shop.Fact) (bool, error) {
	if err := w.step("put"); err != nil {
		return false, err
	}
	return w.Writer.Put(ctx, f)
}

// everything is all that a store holds, as lines.
func everything(t testing.TB, s shop.Store) string {
	t.Helper()
	var b strings.Builder
	if err := s.View(ctx, func(r shop.Reader) error {
		return r.Each(ctx, func(f shop.Fact) error {
			if f.Record != nil {
				fmt.Fprintf(&b, "%+v\n", *f.Record)
			}
			return nil
		})
	}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestAcceptFails lets the first, the second, the third ... operation fail until nothing does. A failure leaves nothing behind, and the
// same form goes through afterwards.
func TestAcceptFails(t *testing.T) {
	broken := errors.New("the disk is gone")
	for name, act := range acceptings {
		b, car, _ := offeredBench(t)
		b.drawUp(t, car.CarID, asked("E-1", 2))
		b.now = b.now.Add(10 * time.Minute)
		token := b.offer(t, "E-1")
		before := everything(t, b.store)
		failures := 0
		for n := 1; ; n++ {
			left := n
			s := b.over(func(what string) error {
				if left--; left == 0 && what != "answer" {
					return fmt.Errorf("%s: %w", what, broken)
				}
				return nil
			})
			err := act(s, token)
			if err == nil {
				break
			}
			failures++
			if !errors.Is(err, broken) {
				t.Fatalf("%s, operation %d: %v", name, n, err)
			}
			if after := everything(t, b.store); after != before {
				t.Fatalf("%s, operation %d left something behind:\n%s\nbefore:\n%s", name, n, after, before)
			}
		}
		if failures < 8 {
			t.Errorf("%s: only %d failures", name, failures)
		}
		after := everything(t, b.store)
		if after == before {
			t.Errorf("%s: nothing was stored in the end", name)
		}
		if err := act(b.Shop, token); err != nil && name != "offering" {
			t.Errorf("%s again: %v", name, err)
		}
		if again := everything(t, b.store); again != after {
			t.Errorf("%s again stored something:\n%s", name, again)
		}
	}
}

// acceptings are the things that write when an owner is asked and answers. Each of them is one transaction.
var acceptings = map[string]func(s *shop.Shop, token string) error{
	"accepting": func(s *shop.Shop, token string) error {
		_, err := s.Decide(ctx, token, accepting("form", asked("E-1", 2)))
		return err
	},
	"speaking": func(s *shop.Shop, _ string) error {
		_, err := s.Speak(ctx, spokenOf("form", 2))
		return err
	},
	"offering": func(s *shop.Shop, _ string) error {
		_, err := s.Offer(ctx, shop.OfferInput{Number: "E-1", ID: "offer-again", By: "ab"})
		return err
	},
}

func spokenOf(form string, version int) shop.SpeakInput {
	in := spoken(form, asked("E-1", version))
	in.SaidOn = "2026-03-21 09:10"
	return in
}

// over is the bench's shop on a store that goes step by step.
func (b *bench) over(f onStep) *shop.Shop {
	return shop.New(shop.Config{Store: &stepped{b.store, f}, Catalogue: b.Catalogue(), Now: func() time.Time { return b.now }, NewID: b.id})
}
