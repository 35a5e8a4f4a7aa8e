package shop_test

import (
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"witnessmark/blob"
	"witnessmark/catalogue"
	"witnessmark/shop"
	"witnessmark/store/sqlite"
)

// bench is a workshop with a clock that stands still until it is moved, and ids in a row.
type bench struct {
	*shop.Shop
	store shop.Store
	now   time.Time
	ids   int
}

func newBench(t testing.TB) *bench {
	t.Helper()
	dir := t.TempDir()
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	store, err := sqlite.Open(filepath.Join(dir, "w.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close() })
	b := &bench{store: store, now: time.Date(2026, 3, 21, 9, 0, 0, 0, time.UTC)}
	photos, err := blob.Open(filepath.Join(dir, "photos"), b.now)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { photos.Close() })
	b.Shop = shop.New(shop.Config{Store: store, Photos: photos, Catalogue: cat, Now: func() time.Time { return b.now }, NewID: b.id, Name: "Bench", Patience: time.Hour})
	return b
}

func (b *bench) id() string {
	b.ids++
	return fmt.Sprintf("id-%04d", b.ids)
}

var ctx = context.Background()

// car saves an invented car.
func (b *bench) car(t testing.TB, change func(*shop.CarInput)) shop.CarVersion {
	t.Helper()
	in := shop.CarInput{CarID: b.id(), VersionID: b.id(), Plate: "WM-4K 217", Description: "Estate 2.0 petrol, 2009", FirstRegistered: "2009-04",
		OwnerName: "Alma Brook", Odometer: "171 200 km", OdometerOn: "2025-09-12", Facets: map[string]string{"fuel": "petrol"}, By: "ab"}
	if change != nil {
		change(&in)
	}
	c, err := b.SaveCar(ctx, in)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// round begins a full round on a car.
func (b *bench) round(t testing.TB, carID string) shop.RoundFact {
	t.Helper()
	r, err := b.StartRound(ctx, shop.RoundInput{ID: b.id(), CarID: carID, Depth: "full", Km: "182400", Ambient: "11", By: "ab"})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// see records one state.
func (b *bench) see(t testing.TB, roundID, point, at, state string) string {
	t.Helper()
	id := b.id()
	if err := b.Record(ctx, []shop.ReadingInput{{ID: id, RoundID: roundID, Point: point, At: at, State: state, By: "ab"}}); err != nil {
		t.Fatal(err)
	}
	return id
}

func jsonOf(t testing.TB, v any) []byte {
	t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return data
}
