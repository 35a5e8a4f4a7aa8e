package main

import (
	"context"
	"testing"
	"time"

	"witnessmark/internal/simulate"
)

// BenchmarkFill times the demo's start without the network. Budget: 15 s on two cores for the default fleet, so that demo serves within a minute of a
// cold build.
func BenchmarkFill(b *testing.B) {
	for b.Loop() {
		w, err := dataFlags{Data: b.TempDir()}.open()
		if err != nil {
			b.Fatal(err)
		}
		n, err := fill(context.Background(), w, simulate.Options{Seed: 1, Cars: 40, Years: 6, Today: time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(n), "facts")
		w.Close()
	}
}
