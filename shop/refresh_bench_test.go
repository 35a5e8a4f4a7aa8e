//go:build unix

package shop_test

import (
	"syscall"
	"testing"
	"time"

	"witnessmark/internal/simulate"
	"witnessmark/shop"
)

// BenchmarkRefresh is one car of a fleet with whole rounds of six years, from the database to its outlook. Budget: 100 000 cars
// in 15 minutes on two cores: 9 ms of the clock for each, 18 ms of a core.
func BenchmarkRefresh(b *testing.B) {
	bench, _ := fleet(b, simulate.Options{Seed: 2, Cars: 16})
	cars, start := 0, processorTime(b)
	for b.Loop() {
		if err := bench.Refresh(ctx, func(*shop.CarOutlook) error { cars++; return nil }); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(b.Elapsed().Seconds()*1000/float64(cars), "ms/car")
	b.ReportMetric((processorTime(b)-start).Seconds()*1000/float64(cars), "cpu-ms/car")
}

// BenchmarkOutlook is the outlook of a car whose facts are in memory. Budget: 20 ms.
func BenchmarkOutlook(b *testing.B) {
	bench, _ := fleet(b, simulate.Options{Seed: 2, Cars: 2})
	id := bench.cars(b)[0]
	n, start := 0, processorTime(b)
	for b.Loop() {
		n++
		bench.now = bench.now.AddDate(0, 0, 1) // another day, so that nothing is remembered
		if _, err := bench.Outlook(ctx, id); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric((processorTime(b)-start).Seconds()*1000/float64(n), "cpu-ms/op")
}

// BenchmarkRound is the walk of a car with twelve rounds behind it, one reading having come since the page before. Budget: 10 ms.
func BenchmarkRound(b *testing.B) {
	bench, _ := fleet(b, simulate.Options{Seed: 2, Cars: 2})
	id := bench.cars(b)[0]
	r, err := bench.StartRound(ctx, shop.RoundInput{ID: bench.id(), CarID: id, Depth: "full", By: "ab"})
	if err != nil {
		b.Fatal(err)
	}
	n, took := 0, time.Duration(0)
	for b.Loop() {
		n++
		bench.see(b, r.ID, "brake-fluid-look", "", "opaque")
		start := processorTime(b)
		if _, err := bench.Round(ctx, r.ID); err != nil {
			b.Fatal(err)
		}
		took += processorTime(b) - start
	}
	b.ReportMetric(took.Seconds()*1000/float64(n), "cpu-ms/page")
}

// processorTime is what this process has used: on a busy machine it says more than the clock.
func processorTime(b *testing.B) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
