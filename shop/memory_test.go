package shop_test

import (
	"path/filepath"
	"reflect"
	"testing"

	"witnessmark/blob"
	"witnessmark/shop"
)

// TestMemoryNeverAnswersOld asks one shop again and again while another one on the same store writes: what is kept in memory must
// give what a shop without a memory gives.
func TestMemoryNeverAnswersOld(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil)
	photos, err := blob.Open(filepath.Join(t.TempDir(), "p"), b.now)
	if err != nil {
		t.Fatal(err)
	}
	defer photos.Close()
	other := func() *shop.Shop {
		return shop.New(shop.Config{Store: b.store, Photos: photos, Catalogue: b.Catalogue(), Now: b.Now, NewID: b.id})
	}
	writer := other()
	r := b.round(t, c.CarID)
	base := c.ID
	steps := []func() error{
		func() error {
			return writer.Record(ctx, []shop.ReadingInput{{ID: b.id(), RoundID: r.ID, Point: "brake-fluid-look", State: "opaque"}})
		},
		func() error {
			return writer.Record(ctx, []shop.ReadingInput{{ID: b.id(), RoundID: r.ID, Point: "brake-fluid-look", State: "clear-pale"}})
		},
		func() error {
			return writer.AddRenewal(ctx, shop.RenewalInput{ID: "slip", CarID: c.CarID, Item: "pads", At: "F", On: "2026-01-05"})
		},
		func() error {
			return writer.AddOdometer(ctx, shop.OdometerInput{ID: b.id(), CarID: c.CarID, On: "2026-03-21", Km: "182410"})
		},
		func() error {
			return writer.Withdraw(ctx, shop.ReadingInput{ID: b.id(), RoundID: r.ID, Point: "brake-fluid-look"})
		},
		func() error { return writer.WithdrawRenewal(ctx, b.id(), c.CarID, "slip", "ab") },
		func() error { return writer.EndRound(ctx, r.ID, b.id(), "ab") },
		func() error {
			_, err := writer.SaveCar(ctx, shop.CarInput{CarID: c.CarID, VersionID: b.id(), Base: base, Plate: "NEW 1", Description: "renamed"})
			return err
		},
	}
	for i, step := range steps {
		if err := step(); err != nil {
			t.Fatal(i, err)
		}
		got, err := b.Round(ctx, r.ID)
		want, err2 := other().Round(ctx, r.ID)
		if err != nil || err2 != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("round after step %d: an old answer, or %v %v", i, err, err2)
		}
		page, err := b.CarPage(ctx, c.CarID)
		fresh, err2 := other().CarPage(ctx, c.CarID)
		if err != nil || err2 != nil || !reflect.DeepEqual(page, fresh) {
			t.Errorf("page after step %d: an old answer, or %v %v", i, err, err2)
		}
	}
	if v, err := b.Round(ctx, r.ID); err != nil || v.Car.Plate != "NEW 1" || v.Round.EndedAt == 0 {
		t.Errorf("%+v %v", v, err)
	}
}
