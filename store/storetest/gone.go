package storetest

import (
	"context"
	"testing"

	"witnessmark/shop"
)

// testWithdrawals: a renewal, an odometer reading and a round that were withdrawn stay on record and are in no list any more, also when it
// was done twice; a car's order of arrival moves with it, and its newest round is the one before.
func testWithdrawals(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	put(t, s, car("v1", "c1", "AB-12 CD"), car("v2", "c2", "XX 99"), odometer("o1", "c1", "2026-03-20", 100), odometer("o2", "c1", "2026-03-21", 200),
		renewal("n1", "c1", "oil", "2026-01-01"), renewal("n2", "c1", "oil", "2026-03-21"), round("r1", "c1", "2026-03-20"), round("r2", "c1", "2026-03-21"),
		// An id that another kind has too is withdrawn only where it is meant.
		odometer("n1", "c1", "2026-03-19", 90))
	seq := func() int64 {
		return ask(t, s, func(r shop.Reader) (int64, error) { return r.CarSeq(ctx, "c1") })
	}
	last := seq()
	facts := []shop.Fact{withdrawal("w4", "c1", shop.OfRenewal, "n1"), withdrawal("w3", "c1", shop.OfOdometer, "o2"),
		withdrawal("w2", "c1", shop.OfRound, "r2"), withdrawal("w1", "c1", shop.OfRound, "r2")}
	for _, f := range facts {
		put(t, s, f)
		if now := seq(); now <= last {
			t.Errorf("after %+v the seq is %d, before it was %d", *f.Withdrawal, now, last)
		} else {
			last = now
		}
	}
	want(t, "Renewals", ask(t, s, func(r shop.Reader) ([]shop.RenewalFact, error) { return r.Renewals(ctx, "c1") }),
		[]shop.RenewalFact{*renewal("n2", "c1", "oil", "2026-03-21").Renewal})
	want(t, "Odometer", ask(t, s, func(r shop.Reader) ([]shop.OdometerFact, error) { return r.Odometer(ctx, "c1") }),
		[]shop.OdometerFact{*odometer("n1", "c1", "2026-03-19", 90).Odometer, *odometer("o1", "c1", "2026-03-20", 100).Odometer})
	first := *round("r1", "c1", "2026-03-20").Round
	want(t, "Rounds", ask(t, s, func(r shop.Reader) ([]shop.RoundFact, error) { return r.Rounds(ctx, "c1") }), []shop.RoundFact{first})
	gone := *round("r2", "c1", "2026-03-21").Round
	gone.Withdrawn = true
	want(t, "Round", ask(t, s, func(r shop.Reader) (shop.RoundFact, error) { return r.Round(ctx, "r2") }), gone)
	want(t, "Withdrawals", ask(t, s, func(r shop.Reader) ([]shop.WithdrawalFact, error) { return r.Withdrawals(ctx, "c1") }),
		[]shop.WithdrawalFact{*facts[0].Withdrawal, *facts[1].Withdrawal, *facts[2].Withdrawal, *facts[3].Withdrawal})
	rows, _ := list(t, s, shop.CarFilter{Text: "ab12cd"})
	want(t, "the car", rows, []shop.CarRow{{Car: *car("v1", "c1", "AB-12 CD").Car, LastRound: &first}})
	for day, n := range map[string]int{"2026-03-20": 1, "2026-03-21": 0} {
		_, found := list(t, s, shop.CarFilter{Day: day})
		want(t, "cars of "+day, found, n)
	}
	before := export(t, s)
	for name, f := range map[string]shop.Fact{
		"a renewal that is not there": withdrawal("w9", "c1", shop.OfRenewal, "n9"),
		"a renewal of another car":    withdrawal("w9", "c2", shop.OfRenewal, "n2"),
		"another kind's id":           withdrawal("w9", "c1", shop.OfRound, "n2"),
		"a withdrawal":                withdrawal("w9", "c1", shop.OfRenewal, "w4"),
	} {
		_, err := tryPut(s, f)
		wantError(t, name, err, shop.ErrNotFound)
	}
	_, err := tryPut(s, withdrawal("w9", "c1", "reading", "m1"))
	wantInvalid(t, "a kind that has its own way", err, "what")
	want(t, "the export", export(t, s), before)
}
