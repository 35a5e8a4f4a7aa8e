package storetest

import (
	"context"
	"encoding/json"
	"math"
	"testing"

	"witnessmark/shop"
)

func testEveryKind(t *testing.T, open func(*testing.T) shop.Store) {
	ctx := context.Background()
	s, f := open(t), everyKind()
	put(t, s, f...)
	want(t, "the export", export(t, s), f)
	r1 := *f[3].Round
	r1.EndedAt = f[6].RoundEnd.ReceivedAt
	want(t, "Car", ask(t, s, func(r shop.Reader) (shop.CarVersion, error) { return r.Car(ctx, "c1") }), *f[0].Car)
	want(t, "Odometer", ask(t, s, func(r shop.Reader) ([]shop.OdometerFact, error) { return r.Odometer(ctx, "c1") }), []shop.OdometerFact{*f[1].Odometer})
	want(t, "Renewals", ask(t, s, func(r shop.Reader) ([]shop.RenewalFact, error) { return r.Renewals(ctx, "c1") }), []shop.RenewalFact(nil)) // it is withdrawn
	want(t, "Withdrawals", ask(t, s, func(r shop.Reader) ([]shop.WithdrawalFact, error) { return r.Withdrawals(ctx, "c1") }), []shop.WithdrawalFact{*f[13].Withdrawal})
	want(t, "Round", ask(t, s, func(r shop.Reader) (shop.RoundFact, error) { return r.Round(ctx, "r1") }), r1)
	want(t, "Rounds", ask(t, s, func(r shop.Reader) ([]shop.RoundFact, error) { return r.Rounds(ctx, "c1") }), []shop.RoundFact{r1})
	want(t, "Readings", ask(t, s, func(r shop.Reader) ([]shop.ReadingFact, error) { return r.Readings(ctx, "r1") }), []shop.ReadingFact{*f[4].Reading})
	want(t, "History", ask(t, s, func(r shop.Reader) ([]shop.ReadingFact, error) { return r.History(ctx, "c1") }), []shop.ReadingFact{*f[4].Reading})
	want(t, "Photo", ask(t, s, func(r shop.Reader) (shop.PhotoFact, error) { return r.Photo(ctx, "aa") }), *f[5].Photo)
	want(t, "Classes", ask(t, s, func(r shop.Reader) (shop.ClassesFact, error) { return r.Classes(ctx) }), *f[9].Classes)
	want(t, "Told", ask(t, s, func(r shop.Reader) ([]shop.ToldFact, error) { return r.Told(ctx, "r1") }), []shop.ToldFact{*f[10].Told})
	want(t, "Looks", ask(t, s, func(r shop.Reader) ([]shop.LookFact, error) { return r.Looks(ctx, "r1") }), []shop.LookFact{*f[11].Look})
	want(t, "Confirmed", ask(t, s, func(r shop.Reader) ([]shop.ConfirmedFact, error) { return r.Confirmed(ctx) }), []shop.ConfirmedFact{*f[12].Confirmed})
	want(t, "Record", ask(t, s, func(r shop.Reader) (shop.Record, error) { return r.Record(ctx, "d1") }), *f[14].Record)
	rows, n := list(t, s, shop.CarFilter{})
	want(t, "Cars", rows, []shop.CarRow{{Car: *f[0].Car, LastRound: &r1}})
	want(t, "the number of cars", n, 1)
}

func testNothingThere(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	single := map[string]func(shop.Reader) error{
		"Car":     func(r shop.Reader) error { _, err := r.Car(ctx, "x"); return err },
		"Round":   func(r shop.Reader) error { _, err := r.Round(ctx, "x"); return err },
		"Photo":   func(r shop.Reader) error { _, err := r.Photo(ctx, "x"); return err },
		"Share":   func(r shop.Reader) error { _, err := r.Share(ctx, "x"); return err },
		"Classes": func(r shop.Reader) error { _, err := r.Classes(ctx); return err },
		"Record":  func(r shop.Reader) error { _, err := r.Record(ctx, "x"); return err },
	}
	for name, f := range single {
		wantError(t, name, s.View(ctx, f), shop.ErrNotFound)
	}
	lists := map[string]func(shop.Reader) (int, error){
		"CarVersions": func(r shop.Reader) (int, error) { l, err := r.CarVersions(ctx, "x"); return len(l), err },
		"Cars":        func(r shop.Reader) (int, error) { l, n, err := r.Cars(ctx, shop.CarFilter{}); return len(l) + n, err },
		"Odometer":    func(r shop.Reader) (int, error) { l, err := r.Odometer(ctx, "x"); return len(l), err },
		"Renewals":    func(r shop.Reader) (int, error) { l, err := r.Renewals(ctx, "x"); return len(l), err },
		"Withdrawals": func(r shop.Reader) (int, error) { l, err := r.Withdrawals(ctx, "x"); return len(l), err },
		"Rounds":      func(r shop.Reader) (int, error) { l, err := r.Rounds(ctx, "x"); return len(l), err },
		"Readings":    func(r shop.Reader) (int, error) { l, err := r.Readings(ctx, "x"); return len(l), err },
		"History":     func(r shop.Reader) (int, error) { l, err := r.History(ctx, "x"); return len(l), err },
		"Photos":      func(r shop.Reader) (int, error) { l, err := r.Photos(ctx, "x"); return len(l), err },
		"CarIDs":      func(r shop.Reader) (int, error) { l, err := r.CarIDs(ctx, "", 9); return len(l), err },
		"CarSeq":      func(r shop.Reader) (int, error) { n, err := r.CarSeq(ctx, "x"); return int(n), err },
		"LastSeq":     func(r shop.Reader) (int, error) { n, err := r.LastSeq(ctx); return int(n), err },
		"new":         func(r shop.Reader) (int, error) { return r.ReadingsSince(ctx, 0) },
		"Told":        func(r shop.Reader) (int, error) { l, err := r.Told(ctx, "x"); return len(l), err },
		"Looks":       func(r shop.Reader) (int, error) { l, err := r.Looks(ctx, "x"); return len(l), err },
		"Confirmed":   func(r shop.Reader) (int, error) { l, err := r.Confirmed(ctx); return len(l), err },
		"their seq":   func(r shop.Reader) (int, error) { n, err := r.ConfirmedSeq(ctx); return int(n), err },
		"Records":     func(r shop.Reader) (int, error) { l, err := r.Records(ctx, shop.RecordFilter{}); return len(l), err },
		"Shares":      func(r shop.Reader) (int, error) { l, err := r.Shares(ctx, "x"); return len(l), err },
	}
	for name, f := range lists {
		want(t, name, ask(t, s, f), 0)
	}
	want(t, "the export", len(export(t, s)), 0)
}

func testPutAgain(t *testing.T, open func(*testing.T) shop.Store) {
	s, f := open(t), everyKind()
	put(t, s, f...)
	for i, again := range append(everyKind(), later(f)...) {
		created, err := tryPut(s, again)
		if created || err != nil {
			t.Errorf("fact %d put again: created %v, error %v", i, created, err)
		}
	}
	want(t, "the export", export(t, s), f)
}

func testConflict(t *testing.T, open func(*testing.T) shop.Store) {
	s, f := open(t), everyKind()
	put(t, s, f...)
	for _, other := range altered(f) {
		created, err := tryPut(s, other)
		wantError(t, "an id used for something else", err, shop.ErrConflict)
		want(t, "created", created, false)
	}
	_, err := tryPut(s, share("s2", "r1", "tt"))
	wantError(t, "a token used for another link", err, shop.ErrConflict)
	want(t, "the export", export(t, s), f)
}

func testMissingReference(t *testing.T, open func(*testing.T) shop.Store) {
	s := open(t)
	put(t, s, car("v1", "c1", "AB-12 CD"), car("v2", "c2", "XX 99"), round("r1", "c1", "2026-03-21"))
	before := export(t, s)
	for name, f := range map[string]shop.Fact{
		"odometer of no car":     odometer("o1", "c9", "2026-03-21", 1),
		"renewal of no car":      renewal("n1", "c9", "oil", "2026-03-21"),
		"round of no car":        round("r2", "c9", "2026-03-21"),
		"end of no round":        roundEnd("e1", "r9", 1),
		"reading of no round":    reading("m1", "r9", "c1", "pads", 4),
		"reading of another car": reading("m1", "r1", "c2", "pads", 4),
		"reading of no car":      reading("m1", "r1", "", "pads", 4),
		"photo of no round":      photo("p1", "r9", "aa", false),
		"link to no round":       share("s1", "r9", "tt"),
		"end of no link":         shareEnd("z1", "s9"),
		"told at no round":       told("t1", "r9", "c1", ""),
		"told of another car":    told("t1", "r1", "c2", ""),
		"withdrawn, never told":  told("t1", "r1", "c1", "t9"),
		"look at no round":       look("l1", "r9", "c1", "sign", ""),
		"look at another car":    look("l1", "r1", "c2", "sign", ""),
		"cause of no round":      confirmed("f1", "r9", "c1", ""),
		"cause of another car":   confirmed("f1", "r1", "c2", ""),
		"withdrawn, no cause":    confirmed("f1", "r1", "c1", "f9"),
	} {
		created, err := tryPut(s, f)
		wantError(t, name, err, shop.ErrNotFound)
		want(t, name, created, false)
	}
	want(t, "the export", export(t, s), before)
}

func testInvalid(t *testing.T, open func(*testing.T) shop.Store) {
	s := open(t)
	put(t, s, everyKind()...)
	before := export(t, s)
	tooMany := everyKind()[0]
	tooMany.Round = everyKind()[3].Round
	plate, nul := car("v2", "c2", "\xff"), car("v2", "c2", "A\x00B")
	deep := car("v2", "c2", "A")
	deep.Car.Specs["oil"] = shop.SpecEntry{Text: "\xfe"}
	words := classes("k2", 9)
	words.Classes.Fitted = json.RawMessage("[\"\xff\"]")
	sign := told("t2", "r1", "c1", "")
	sign.Told.Signs = []string{"coolant-low", "\xff"}
	nan := reading("m2", "r1", "c1", "pads", math.NaN())
	for _, c := range []struct {
		name  string
		fact  shop.Fact
		field string
	}{
		{"nothing", shop.Fact{}, "fact"}, {"two kinds", tooMany, "fact"}, {"no id", car("", "c2", "A"), "id"},
		{"no car id", car("v2", "", "A"), "car"}, {"bad text", plate, "plate"}, {"nul", nul, "plate"},
		{"bad text inside", deep, "text"}, {"no number", nan, "values"}, {"bad text in JSON", words, "fitted"}, {"bad text in a list", sign, "signs"},
		{"infinite", odometer("o2", "c1", "2026-03-21", math.Inf(1)), "km"}, {"end without its moment", roundEnd("e2", "r1", 0), "received_at"},
	} {
		_, err := tryPut(s, c.fact)
		wantInvalid(t, c.name, err, c.field)
	}
	want(t, "the export", export(t, s), before)
}
