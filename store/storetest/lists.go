package storetest

import (
	"context"
	"testing"

	"witnessmark/shop"
)

// ids gives the ids of a list.
func ids[T any](list []T, id func(T) string) []string {
	out := []string{}
	for _, v := range list {
		out = append(out, id(v))
	}
	return out
}

func testCarVersions(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	first, other, second := car("v9", "c1", "AB-12 CD"), car("v5", "c2", "XX 99"), car("v1", "c1", "ZZ 1")
	second.Car.Facets, second.Car.Specs, second.Car.Owner = nil, nil, shop.Owner{}
	put(t, s, first)
	put(t, s, other, second)
	want(t, "the current version", ask(t, s, func(r shop.Reader) (shop.CarVersion, error) { return r.Car(ctx, "c1") }), *second.Car)
	want(t, "all versions", ask(t, s, func(r shop.Reader) ([]shop.CarVersion, error) { return r.CarVersions(ctx, "c1") }),
		[]shop.CarVersion{*first.Car, *second.Car})
	rows, n := list(t, s, shop.CarFilter{Text: "ab12cd"})
	want(t, "cars by the old plate", len(rows)+n, 0)
	rows, n = list(t, s, shop.CarFilter{Text: "zz1"})
	want(t, "cars by the new plate", rows, []shop.CarRow{{Car: *second.Car}})
	want(t, "their number", n, 1)
}

func testOrderOfDays(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	put(t, s, car("v1", "c1", "AB-12 CD"), odometer("o3", "c1", "2026-03-21", 300), odometer("o1", "c1", "2025-03-21", 100),
		odometer("o2", "c1", "2026-03-21", 200), renewal("n2", "c1", "oil", "2026-01-01"), renewal("n1", "c1", "oil", "2020-01-01"),
		round("r3", "c1", "2026-03-21"), round("r1", "c1", "2025-03-21"), round("r2", "c1", "2026-03-21"))
	want(t, "Odometer", ids(ask(t, s, func(r shop.Reader) ([]shop.OdometerFact, error) { return r.Odometer(ctx, "c1") }),
		func(f shop.OdometerFact) string { return f.ID }), []string{"o1", "o3", "o2"})
	want(t, "Renewals", ids(ask(t, s, func(r shop.Reader) ([]shop.RenewalFact, error) { return r.Renewals(ctx, "c1") }),
		func(f shop.RenewalFact) string { return f.ID }), []string{"n1", "n2"})
	want(t, "Rounds", ids(ask(t, s, func(r shop.Reader) ([]shop.RoundFact, error) { return r.Rounds(ctx, "c1") }),
		func(f shop.RoundFact) string { return f.ID }), []string{"r2", "r3", "r1"})
	rows, _ := list(t, s, shop.CarFilter{})
	want(t, "the newest round", rows[0].LastRound.ID, "r2")
}

func testCorrectedReadings(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	slip, right, gone := reading("m9", "r1", "c1", "pads", 45), reading("m5", "r1", "c1", "pads", 4.5), reading("m1", "r1", "c1", "pads", 4.5)
	gone.Reading.Withdrawn, gone.Reading.Values, gone.Reading.State = true, nil, ""
	early := reading("m0", "r1", "c1", "disc", 22)
	early.Reading.TakenAt = 1 // a phone with a wrong clock
	put(t, s, car("v1", "c1", "AB-12 CD"), car("v2", "c2", "XX 99"), round("r1", "c1", "2026-03-21"), round("r2", "c1", "2026-03-22"),
		round("r3", "c2", "2026-03-22"), slip, reading("m8", "r2", "c1", "pads", 4.4), reading("m7", "r3", "c2", "pads", 9))
	put(t, s, right)
	put(t, s, early, gone)
	got := ask(t, s, func(r shop.Reader) ([]shop.ReadingFact, error) { return r.Readings(ctx, "r1") })
	want(t, "Readings", got, []shop.ReadingFact{*slip.Reading, *right.Reading, *early.Reading, *gone.Reading})
	for i := 1; i < len(got); i++ {
		if got[i].Seq <= got[i-1].Seq {
			t.Errorf("reading %d arrived as %d after %d", i, got[i].Seq, got[i-1].Seq)
		}
	}
	want(t, "History", ids(ask(t, s, func(r shop.Reader) ([]shop.ReadingFact, error) { return r.History(ctx, "c1") }),
		func(f shop.ReadingFact) string { return f.ID }), []string{"m9", "m8", "m5", "m0", "m1"})
}

func testRoundEnd(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	put(t, s, car("v1", "c1", "AB-12 CD"), round("r1", "c1", "2026-03-21"), round("r2", "c1", "2026-03-20"))
	ended := func() []int64 {
		var at []int64
		for _, r := range ask(t, s, func(r shop.Reader) ([]shop.RoundFact, error) { return r.Rounds(ctx, "c1") }) {
			at = append(at, r.EndedAt)
		}
		rows, _ := list(t, s, shop.CarFilter{})
		want(t, "the end in the list of cars", rows[0].LastRound.EndedAt, at[0])
		return at
	}
	want(t, "open rounds", ended(), []int64{0, 0})
	put(t, s, roundEnd("e2", "r1", 500))
	want(t, "after the first end", ended(), []int64{500, 0})
	put(t, s, roundEnd("e1", "r1", 400), roundEnd("e3", "r2", 600))
	want(t, "after a second end", ended(), []int64{500, 600})
}

func testPhotos(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	put(t, s, car("v1", "c1", "AB-12 CD"), round("r1", "c1", "2026-03-21"), round("r2", "c1", "2026-03-22"),
		photo("p9", "r1", "aa", false), photo("p8", "r2", "bb", false), photo("p1", "r1", "bb", false), photo("p0", "r1", "aa", true))
	want(t, "Photos", ids(ask(t, s, func(r shop.Reader) ([]shop.PhotoFact, error) { return r.Photos(ctx, "r1") }),
		func(f shop.PhotoFact) string { return f.ID }), []string{"p9", "p1", "p0"})
	for hash, id := range map[string]string{"aa": "p0", "bb": "p1"} {
		got := ask(t, s, func(r shop.Reader) (shop.PhotoFact, error) { return r.Photo(ctx, hash) })
		want(t, "Photo "+hash, got.ID, id)
	}
}

func testShares(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	put(t, s, car("v1", "c1", "AB-12 CD"), round("r1", "c1", "2026-03-21"), round("r2", "c1", "2026-03-22"),
		share("s9", "r1", "t9"), share("s8", "r2", "t8"), share("s1", "r1", "t1"))
	left := func() []string {
		return ids(ask(t, s, func(r shop.Reader) ([]shop.ShareFact, error) { return r.Shares(ctx, "r1") }),
			func(f shop.ShareFact) string { return f.ID })
	}
	want(t, "links", left(), []string{"s9", "s1"})
	put(t, s, shareEnd("z1", "s9"), shareEnd("z2", "s9"))
	want(t, "links after one was revoked", left(), []string{"s1"})
	_, err := tryAsk(s, func(r shop.Reader) (shop.ShareFact, error) { return r.Share(ctx, "t9") })
	wantError(t, "a revoked link", err, shop.ErrNotFound)
	got := ask(t, s, func(r shop.Reader) (shop.ShareFact, error) { return r.Share(ctx, "t1") })
	want(t, "Share", got, *share("s1", "r1", "t1").Share)
	_, err = tryPut(s, share("s7", "r1", "t9"))
	wantError(t, "the token of a revoked link", err, shop.ErrConflict)
}
