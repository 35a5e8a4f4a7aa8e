package storetest

import (
	"context"
	"testing"

	"witnessmark/shop"
)

// testWithdrawn: what was told and confirmed stays and comes back in order of arrival with its withdrawal; a withdrawal can't be
// withdrawn, nor that of another round; the newest order of arrival moves with every confirmed cause.
func testWithdrawn(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	put(t, s, car("v1", "c1", "AB-12 CD"), round("r1", "c1", "2026-03-21"), round("r2", "c1", "2026-09-21"))
	seq := func() int64 {
		return ask(t, s, func(r shop.Reader) (int64, error) { return r.ConfirmedSeq(ctx) })
	}
	last := seq()
	for _, f := range []shop.Fact{told("t9", "r1", "c1", ""), confirmed("f9", "r1", "c1", ""), confirmed("f1", "r2", "c1", ""),
		told("t1", "r1", "c1", "t9"), confirmed("f0", "r1", "c1", "f9")} {
		put(t, s, f)
		if now := seq(); f.Confirmed != nil != (now > last) {
			t.Errorf("after %+v the seq is %d, before it was %d", f, now, last)
		} else {
			last = now
		}
	}
	put(t, s, look("l2", "r1", "c1", "sign", ""), look("l1", "r1", "c1", "sign", "there"))
	want(t, "told", ask(t, s, func(r shop.Reader) ([]shop.ToldFact, error) { return r.Told(ctx, "r1") }),
		[]shop.ToldFact{*told("t9", "r1", "c1", "").Told, *told("t1", "r1", "c1", "t9").Told})
	want(t, "looks", ids(ask(t, s, func(r shop.Reader) ([]shop.LookFact, error) { return r.Looks(ctx, "r1") }),
		func(f shop.LookFact) string { return f.ID }), []string{"l2", "l1"})
	want(t, "confirmed", ids(ask(t, s, func(r shop.Reader) ([]shop.ConfirmedFact, error) { return r.Confirmed(ctx) }),
		func(f shop.ConfirmedFact) string { return f.ID }), []string{"f9", "f1", "f0"})
	before := export(t, s)
	for name, f := range map[string]shop.Fact{
		"a withdrawal withdrawn":       told("t2", "r1", "c1", "t1"),
		"withdrawn at another round":   told("t2", "r2", "c1", "t9"),
		"a withdrawn cause's own undo": confirmed("f2", "r1", "c1", "f0"),
		"a cause of another round":     confirmed("f2", "r1", "c1", "f1"),
	} {
		_, err := tryPut(s, f)
		wantError(t, name, err, shop.ErrNotFound)
	}
	want(t, "the export", export(t, s), before)
}
