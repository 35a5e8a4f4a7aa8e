package main

import (
	"bytes"
	"context"
	"log/slog"
	"maps"
	"net/http/httptest"
	"slices"
	"sync"
	"testing"
	"time"

	"witnessmark/internal/simulate"
	"witnessmark/shop"
)

// TestAllAtOnce lets people stroll through a workshop at the same time, sending whatever they like, while it learns, works out what is
// due and is written to: no page fails, and under the race detector nobody reads what another is writing.
func TestAllAtOnce(t *testing.T) {
	w, err := dataFlags{Data: t.TempDir(), Name: "Stroll"}.open()
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	var log syncBuffer
	con := console{out: &log, err: &log}
	if err := charge(ctx, w.Shop); err != nil {
		t.Fatal(err)
	}
	if _, err := fill(ctx, w, simulate.Options{Seed: 3, Cars: 8, Years: 2, Today: time.Now()}); err != nil {
		t.Fatal(err)
	}
	if err := deal(ctx, w.Shop, time.Now()); err != nil {
		t.Fatal(err)
	}
	handler, err := listenFlags{}.handler(w.Shop, shop.Mailing{Demo: true}, slog.New(slog.NewTextHandler(&log, nil)))
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(handler)
	var background, people sync.WaitGroup
	background.Go(func() { study(ctx, con, w.Shop) })
	background.Go(func() { keepDue(ctx, con, w.Shop) })
	strollers := make([]*stroller, 6)
	for i := range strollers {
		strollers[i] = newStroller(t, server.URL, uint64(i+1))
		people.Go(func() { strollers[i].walk(strollSteps) })
	}
	people.Wait()
	server.Close()
	cancel()
	background.Wait()
	if err := w.Close(); err != nil {
		t.Error(err)
	}
	seen, sent := map[string]int{}, 0
	for _, s := range strollers {
		sent += s.sent
		for k, n := range s.seen {
			seen[k] += n
		}
	}
	t.Logf("%d forms taken, %d kinds of pages", sent, len(seen))
	for _, k := range slices.Sorted(maps.Keys(seen)) {
		t.Logf("%5d %s", seen[k], k)
	}
	if sent < 20 || len(seen) < 20 {
		t.Errorf("they saw %d kinds of pages and %d forms were taken: too little to tell", len(seen), sent)
	}
	if bytes.Contains(log.Bytes(), []byte("level=ERROR")) {
		t.Errorf("errors were logged:\n%s", log.Bytes())
	}
}

// strollSteps is how many pages each sees.
const strollSteps = 150

// syncBuffer may be written by several at once.
type syncBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (s *syncBuffer) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.Write(p)
}

func (s *syncBuffer) Bytes() []byte {
	s.mu.Lock()
	defer s.mu.Unlock()
	return bytes.Clone(s.b.Bytes())
}
