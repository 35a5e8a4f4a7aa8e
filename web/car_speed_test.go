package web

import (
	"net/http/httptest"
	"testing"
	"time"

	"witnessmark/internal/simulate"
	"witnessmark/shop"
)

// heavy fills the bench with a few cars that were looked at whole, twice a year, for six years: some four thousand readings each.
func (b *bench) heavy() (car, round string) {
	b.t.Helper()
	b.emptied()
	facts, _ := simulate.Fleet(b.shop.Catalogue(), simulate.Options{Seed: 1, Cars: 3, Years: 6, Today: time.Date(2026, 3, 21, 0, 0, 0, 0, time.UTC), NoTruth: true})
	b.must(b.store.Update(b.t.Context(), func(w shop.Writer) error {
		for f := range facts {
			if _, err := w.Put(b.t.Context(), f); err != nil {
				return err
			}
			if f.Round != nil && f.Round.Depth == "full" {
				car, round = f.Round.CarID, f.Round.ID
			}
		}
		return nil
	}))
	return car, round
}

// benchmarkPage times one page on the server, without a network.
func benchmarkPage(b *testing.B, path func(car, round string) string) {
	w := newBench(b, "metric")
	car, round := w.heavy()
	url := path(car, round)
	for b.Loop() {
		rec := httptest.NewRecorder()
		w.web.ServeHTTP(rec, httptest.NewRequest("GET", url, nil))
		if rec.Code != 200 {
			b.Fatal(rec.Code)
		}
		b.SetBytes(int64(rec.Body.Len()))
	}
}

// BenchmarkCarPage is the page of a car with six years of whole rounds. Budget: 30 ms.
func BenchmarkCarPage(b *testing.B) {
	benchmarkPage(b, func(car, _ string) string { return "/cars/" + car })
}

// BenchmarkFindingsPage is the findings of a whole round of that car. Budget: 30 ms.
func BenchmarkFindingsPage(b *testing.B) {
	benchmarkPage(b, func(_, round string) string { return "/rounds/" + round + "/findings" })
}

// BenchmarkRoundList is the walk of that car, with its last readings. Budget: 30 ms.
func BenchmarkRoundList(b *testing.B) {
	benchmarkPage(b, func(_, round string) string { return "/rounds/" + round })
}
