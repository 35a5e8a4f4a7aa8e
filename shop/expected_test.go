package shop_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"witnessmark/internal/simulate"
	"witnessmark/shop"
)

// measured gives a place of a round with a range that is expected and a last reading, and the round.
func measured(t *testing.T, b *bench) (shop.RoundFact, shop.Place, shop.Expected) {
	t.Helper()
	for _, id := range b.cars(t) {
		c, err := b.Car(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		if c.Units == "us" {
			continue
		}
		r, err := b.StartRound(ctx, shop.RoundInput{ID: b.id(), CarID: id, Depth: "full", By: "ab"})
		if err != nil {
			t.Fatal(err)
		}
		all, err := b.Expected(ctx, r.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, at := range []string{"FL/outer", "FR/outer", "FL/inner", "FR/inner"} {
			if e := all[shop.Place{Point: "pad-thickness", At: at}]; e.Ranged && e.Last != nil {
				return r, shop.Place{Point: "pad-thickness", At: at}, e
			}
		}
	}
	t.Fatal("no brake pad with a history")
	return shop.RoundFact{}, shop.Place{}, shop.Expected{}
}

func TestExpectedAsksAndNeverBlocks(t *testing.T) {
	b, _ := fleet(t, simulate.Options{Seed: 4, Cars: 2, Years: 4, ReadingsPerRound: 120})
	r, p, e := measured(t, b)
	if !(e.Wide.Low <= e.Likely.Low && e.Likely.Low < e.Likely.High && e.Likely.High <= e.Wide.High) || e.Value != "mm" {
		t.Fatalf("expected %+v", e)
	}
	last := e.Last.Reading.Values["mm"]
	if e.Last.Reading.RoundID == r.ID || e.Likely.Low > last+1 || e.Likely.High < last-5 {
		t.Errorf("after %g mm expected %+v", last, e.Likely)
	}
	record := func(typed string, confirmed bool) error {
		return b.Record(ctx, []shop.ReadingInput{{ID: b.id(), RoundID: r.ID, Point: p.Point, At: p.At, Numbers: map[string]string{"mm": typed},
			Confirmed: confirmed, By: "ab"}})
	}
	middle := (e.Likely.Low + e.Likely.High) / 2
	if err := record(fmt.Sprintf("%.1f", middle), false); err != nil {
		t.Errorf("%.1f mm: %v", middle, err)
	}
	for _, odd := range []float64{middle / 10, e.Wide.High + 3} {
		var bad shop.Invalid
		if err := record(fmt.Sprintf("%.1f", odd), false); !errors.As(err, &bad) || !bad.OnlyAsks() || bad[0].Field != p.At+"|mm" || !strings.Contains(bad[0].Text, "expected") {
			t.Errorf("%.1f mm: %v", odd, err)
		}
		if err := record(fmt.Sprintf("%.1f", odd), true); err != nil {
			t.Errorf("%.1f mm confirmed: %v", odd, err)
		}
		if st := step(t, b, r.ID, p.Point); fmt.Sprintf("%.1f", st.Current[p.At].Values["mm"]) != fmt.Sprintf("%.1f", odd) {
			t.Errorf("stored %+v, not %.1f", st.Current[p.At], odd)
		}
	}
	// What the round itself says does not move what was expected of it.
	again, err := b.Expected(ctx, r.ID)
	if got := again[p]; err != nil || got.Likely != e.Likely || got.Wide != e.Wide {
		t.Errorf("%+v became %+v, %v", e, again[p], err)
	}
	if _, err := b.Expected(ctx, "no round"); !errors.Is(err, shop.ErrNotFound) {
		t.Errorf("no round: %v", err)
	}
}

func TestLikelyIsTheForgottenPoint(t *testing.T) {
	b, _ := fleet(t, simulate.Options{Seed: 4, Cars: 2, Years: 4, ReadingsPerRound: 120})
	r, p, e := measured(t, b)
	middle := (e.Likely.Low + e.Likely.High) / 2
	var bad shop.Invalid
	err := b.Record(ctx, []shop.ReadingInput{{ID: b.id(), RoundID: r.ID, Point: p.Point, At: p.At, Numbers: map[string]string{"mm": fmt.Sprintf("%.2f", middle/10)}}})
	if want := fmt.Sprintf("%.1f mm", middle); !errors.As(err, &bad) || bad[0].Likely != want {
		t.Errorf("%.2f mm: %+v, want %q", middle/10, bad, want)
	}
}

// TestExpectedAfterWithdrawal: a renewal that is taken back moves what is expected of a round that is open, though other facts arrived after
// the renewal and before its withdrawal.
func TestExpectedAfterWithdrawal(t *testing.T) {
	b, _ := fleet(t, simulate.Options{Seed: 4, Cars: 2, Years: 4, ReadingsPerRound: 120})
	r, p, first := measured(t, b)
	expected := func() shop.Expected {
		t.Helper()
		all, err := b.Expected(ctx, r.ID)
		if err != nil {
			t.Fatal(err)
		}
		e := all[p]
		e.Last = nil
		return e
	}
	first.Last = nil
	slip := b.id()
	if err := b.AddRenewal(ctx, shop.RenewalInput{ID: slip, CarID: r.CarID, Item: "pads", At: "F", On: r.On}); err != nil {
		t.Fatal(err)
	}
	if err := b.AddRenewal(ctx, shop.RenewalInput{ID: b.id(), CarID: r.CarID, Item: "engine-oil", On: r.On}); err != nil {
		t.Fatal(err)
	}
	if expected() == first {
		t.Fatal("new pads are expected to be as worn as the old ones")
	}
	if err := b.WithdrawRenewal(ctx, b.id(), r.CarID, slip, "ab"); err != nil {
		t.Fatal(err)
	}
	if now := expected(); now != first {
		t.Errorf("expected %+v, before the renewal %+v", now, first)
	}
}
