package shop_test

import (
	"errors"
	"reflect"
	"testing"

	"witnessmark/internal/simulate"
	"witnessmark/shop"
)

func TestRefreshIsEveryCarsOutlook(t *testing.T) {
	b, _ := fleet(t, small)
	ids := b.cars(t)
	var got []string
	err := b.Refresh(ctx, func(o *shop.CarOutlook) error {
		got = append(got, o.Car.CarID)
		one, err := b.Outlook(ctx, o.Car.CarID)
		if err != nil || !reflect.DeepEqual(one, o) {
			t.Errorf("%s differs from its own page, or %v", o.Car.Plate, err)
		}
		return err
	})
	if err != nil || !reflect.DeepEqual(got, ids) {
		t.Errorf("%v, not %v: %v", got, ids, err)
	}
	stop, n := errors.New("stop"), 0
	if err := b.Refresh(ctx, func(*shop.CarOutlook) error { n++; return stop }); !errors.Is(err, stop) || n != 1 {
		t.Errorf("stopped after %d with %v", n, err)
	}
}

// BenchmarkRefresh is one car of a fleet with whole rounds of six years, from the database to its outlook. Budget: 100 000 cars
// in 15 minutes on two cores, 9 ms of the clock for each.
func BenchmarkRefresh(b *testing.B) {
	bench, _ := fleet(b, simulate.Options{Seed: 2, Cars: 16})
	cars := 0
	for b.Loop() {
		if err := bench.Refresh(ctx, func(*shop.CarOutlook) error { cars++; return nil }); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(b.Elapsed().Seconds()*1000/float64(cars), "ms/car")
}

// BenchmarkOutlook is the outlook of a car whose facts are in memory. Budget: 20 ms.
func BenchmarkOutlook(b *testing.B) {
	bench, _ := fleet(b, simulate.Options{Seed: 2, Cars: 2})
	id := bench.cars(b)[0]
	for b.Loop() {
		bench.now = bench.now.AddDate(0, 0, 1) // another day, so that nothing is remembered
		if _, err := bench.Outlook(ctx, id); err != nil {
			b.Fatal(err)
		}
	}
}
