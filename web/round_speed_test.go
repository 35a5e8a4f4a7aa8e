package web

import "testing"

// BenchmarkRoundPoint is one question's page: reading the round and its last readings, and writing the page.
func BenchmarkRoundPoint(b *testing.B) {
	w := newBench(b, "metric")
	b.ResetTimer()
	for range b.N {
		w.get("/points/tyre-tread")
	}
}

// BenchmarkRoundCheck is the page with every answer.
func BenchmarkRoundCheck(b *testing.B) {
	w := newBench(b, "metric")
	b.ResetTimer()
	for range b.N {
		w.get("/check")
	}
}
