package simulate

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"testing"
	"time"

	"witnessmark/catalogue"
	"witnessmark/core/point"
)

var lastDay = time.Date(2026, time.November, 25, 13, 0, 0, 0, time.UTC)

func loaded(t testing.TB) *point.Catalogue {
	t.Helper()
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	return cat
}

// digest sums every fact and photo of a fleet.
func digest(t *testing.T, cat *point.Catalogue, o Options) (sum string, facts int) {
	t.Helper()
	h := sha256.New()
	o.OnPhoto = func(hash string, jpeg []byte) { h.Write(jpeg) }
	seq, _ := Fleet(cat, o)
	enc := json.NewEncoder(h)
	for f := range seq {
		facts++
		if err := enc.Encode(f); err != nil {
			t.Fatal(err)
		}
	}
	return hex.EncodeToString(h.Sum(nil)), facts
}

func TestSameSeedSameFacts(t *testing.T) {
	cat := loaded(t)
	o := Options{Seed: 7, Cars: 4, Years: 2, Today: lastDay}
	a, n := digest(t, cat, o)
	b, _ := digest(t, cat, o)
	if a != b || n == 0 {
		t.Fatalf("same seed gave %s and %s over %d facts", a, b, n)
	}
	o.Today = lastDay.Add(5 * time.Hour)
	if c, _ := digest(t, cat, o); c != a {
		t.Error("the time of day changes the facts")
	}
	o.Seed = 8
	if c, _ := digest(t, cat, o); c == a {
		t.Error("another seed gives the same facts")
	}
}

func TestEveryFactCanBeKept(t *testing.T) {
	cat := loaded(t)
	seq, _ := Fleet(cat, Options{Seed: 1, Today: lastDay})
	b := newBook(t, cat)
	start := time.Now()
	for f := range seq {
		b.put(f)
	}
	t.Logf("%d facts, %d rounds, %d readings, %d skipped, %d corrected, %d renewals in %v", len(b.ids), len(b.rounds), b.readings, b.skipped, b.second, b.renewals, time.Since(start))
	if len(b.cars) != 40 {
		t.Errorf("%d cars; want 40", len(b.cars))
	}
	open := 0
	for id, r := range b.rounds {
		if !b.ended[id] {
			open++
			if r.On != lastDay.Format(time.DateOnly) {
				t.Errorf("an open round of %s", r.On)
			}
		}
	}
	if open != 2 {
		t.Errorf("%d open rounds; want the two of today", open)
	}
	if b.skipped == 0 || b.second == 0 || b.renewals < 400 {
		t.Errorf("%d skipped, %d corrected, %d renewals", b.skipped, b.second, b.renewals)
	}
}
