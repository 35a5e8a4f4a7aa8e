package shop_test

import (
	"bytes"
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"

	"witnessmark/core/estimate"
	"witnessmark/shop"
)

// carSight is all that pages show of a car, its work and what was learned, to hold one moment against another.
type carSight struct {
	Page    *shop.CarPage
	Outlook string
	Dues    string
	Wants   []shop.Want
	Row     []shop.CarRow
	Causes  []shop.ConfirmedFact
	NotDone []shop.NotDoneLine
	Follows []shop.FollowLine
	Begun   bool
	Ticked  int
}

func (b *bench) carSight(t testing.TB, decision string) carSight {
	t.Helper()
	w, err := b.WorkSheet(ctx, decision)
	if err != nil {
		t.Fatal(err)
	}
	var out carSight
	out.Begun, out.Ticked = w.Begun(), w.Ticked
	if out.Page, err = b.CarPage(ctx, w.Car.CarID); err != nil {
		t.Fatal(err)
	}
	o, err := b.Outlook(ctx, w.Car.CarID)
	if err != nil {
		t.Fatal(err)
	}
	for i := range o.Outlook.Items {
		it := &o.Outlook.Items[i]
		out.Outlook += it.Point.ID + it.At + it.Since.From + it.Reach.Mid.String() + "\n"
	}
	lines, err := b.CarDue(ctx, w.Car.CarID)
	if err != nil {
		t.Fatal(err)
	}
	out.Dues = string(jsonOf(t, lines))
	out.Wants, _ = b.wants(t, w.Car.CarID)
	if out.Row, _, err = b.FindCars(ctx, shop.CarFilter{}); err != nil {
		t.Fatal(err)
	}
	err = b.store.View(ctx, func(r shop.Reader) (err error) {
		if out.NotDone, err = b.NotDone(ctx, r, w.Car.CarID); err != nil {
			return err
		}
		out.Follows, err = b.FollowUps(ctx, r, w.Car.CarID)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if id := w.Draft.Said.RoundID; id != "" {
		c, err := b.Causes(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		out.Causes = c.Confirmed
	}
	return out
}

// closed prepares a car with closed-out work: of pads with first readings and of a coolant leak whose cause was found.
func (b *bench) closed(t testing.TB) (shop.CloseOutInput, carSight) {
	t.Helper()
	c := b.car(t, nil)
	r := b.worn(t, c.CarID)
	b.see(t, r.ID, "coolant-level", "", "below")
	b.see(t, r.ID, "coolant-traces", "", "old-stain")
	in := b.closing(b.agreed(t, c.CarID, r.ID, all...), "pads", "wash")
	in.Readings = padReadings("11.5")
	in.Causes = []shop.ConfirmInput{{Complaint: "coolant-loss", Cause: "hose-leaks"}}
	if err := b.NoteWork(ctx, shop.WorkInput{ID: b.id(), DecisionID: in.DecisionID, Item: "pads", Step: "1", What: shop.WorkDone}); err != nil {
		t.Fatal(err)
	}
	before := b.carSight(t, in.DecisionID)
	if err := b.CloseOut(ctx, in); err != nil {
		t.Fatal(err)
	}
	return in, before
}

func (b *bench) back(in shop.CloseOutInput) shop.CloseBackInput {
	return shop.CloseBackInput{ID: b.id(), DecisionID: in.DecisionID, CloseOutID: in.ID, Why: " the wrong  sheet ", By: "cd"}
}

// TestCloseOutTakenBack: after a close-out was taken back everything is as it was before, but that it is on record; the work is open with
// its ticks, and can be closed out and taken back again and again.
func TestCloseOutTakenBack(t *testing.T) {
	b := newBench(t)
	in, before := b.closed(t)
	closed := b.carSight(t, in.DecisionID)
	for name, same := range map[string]bool{"outlook": closed.Outlook == before.Outlook, "due lines": closed.Dues == before.Dues, "causes": len(closed.Causes) == 0, "looks": len(closed.Follows) == 0,
		"what was not done": len(closed.NotDone) == 0, "the list of cars": reflect.DeepEqual(closed.Row, before.Row)} {
		if same {
			t.Errorf("the close-out moved nothing: %s", name)
		}
	}
	token, _, err := b.Share(ctx, in.ID+"-baseline", b.id(), "ab", 0)
	if err != nil {
		t.Fatal(err)
	}
	back := b.back(in)
	for range 2 { // a double click
		if err := b.TakeBackCloseOut(ctx, back); err != nil {
			t.Fatal(err)
		}
	}
	if n := b.kinds(t, shop.KindCloseOutEnd); n != 1 {
		t.Errorf("taken back %d times", n)
	}
	if now := b.carSight(t, in.DecisionID); !reflect.DeepEqual(now, before) {
		t.Errorf("before:\n%s\nafter:\n%s", jsonOf(t, before), jsonOf(t, now))
	}
	o, err := b.WorkOrder(ctx, in.DecisionID)
	if err != nil || o.Close != nil || len(o.Back) != 1 || o.Back[0].End.Said.Why != "the wrong sheet" || o.Back[0].End.By != "cd" || o.Back[0].Close.ID != in.ID {
		t.Fatalf("%+v, %v", o, err)
	}
	b.checkWithdrawnRound(t, in.ID+"-baseline", token)
	if err := b.TakeBackCloseOut(ctx, b.back(in)); !errors.Is(err, shop.ErrConflict) {
		t.Errorf("taken back by somebody else too: %v", err)
	}
	if err := b.CloseOut(ctx, in); err != nil || b.kinds(t, shop.KindCloseOut) != 1 {
		t.Errorf("the form of the close-out sent again: %v", err)
	}
	for again := 1; again < 3; again++ {
		in.ID = b.id()
		if err := b.CloseOut(ctx, in); err != nil {
			t.Fatal(err)
		}
		o, _ := b.WorkOrder(ctx, in.DecisionID)
		if o.Close == nil || o.Close.Said.Again != again || o.Close.Once != shop.CloseOutOnce(in.DecisionID, again) {
			t.Fatalf("closed out again: %+v", o.Close)
		}
		if now := b.carSight(t, in.DecisionID); now.Outlook != closed.Outlook {
			t.Errorf("closed out again:\n%s\nexpected\n%s", now.Outlook, closed.Outlook)
		}
		if err := b.TakeBackCloseOut(ctx, back); err != nil || b.kinds(t, shop.KindCloseOutEnd) != again {
			t.Errorf("the first form again: %v", err)
		}
		if err := b.TakeBackCloseOut(ctx, b.back(in)); err != nil {
			t.Fatal(err)
		}
		if now := b.carSight(t, in.DecisionID); !reflect.DeepEqual(now, before) {
			t.Errorf("taken back %d times: %s", again+1, jsonOf(t, now))
		}
	}
}

// checkWithdrawnRound wants a round that nobody can read or write any more, and whose link opens nothing.
func (b *bench) checkWithdrawnRound(t *testing.T, id, token string) {
	t.Helper()
	old := b.facts(t)
	_, err1 := b.Round(ctx, id)
	_, err2 := b.Findings(ctx, id)
	err3 := b.Record(ctx, []shop.ReadingInput{{ID: b.id(), RoundID: id, Point: "pad-thickness", At: "FL/inner", Numbers: map[string]string{"mm": "9"}}})
	err4 := b.Tell(ctx, shop.TellInput{ID: b.id(), RoundID: id, Words: "it squeals"})
	_, _, err5 := b.Share(ctx, id, b.id(), "ab", 0)
	_, err6 := b.AddPhoto(ctx, shop.PhotoInput{ID: b.id(), RoundID: id, Point: "pad-thickness", JPEG: []byte("a picture")})
	for i, err := range []error{err1, err2, err3, err4, err5, err6} {
		if !errors.Is(err, shop.ErrWithdrawn) || !errors.Is(err, shop.ErrNotFound) {
			t.Errorf("%d: %v", i+1, err)
		}
	}
	if _, _, err := b.OpenShare(ctx, token); !errors.Is(err, shop.ErrGone) {
		t.Errorf("its link: %v", err)
	}
	if now := b.facts(t); !slices.Equal(now, old) {
		t.Error("something was stored")
	}
}

// TestCloseOutTakenBackLater takes back a close-out without readings half a year later: what a later round read stays, and the distance of
// that day is gone.
func TestCloseOutTakenBackLater(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil)
	in := b.closing(b.agreed(t, c.CarID, "", "pads"), "pads")
	in.Items, in.Km = in.Items[:1], "199000"
	if err := b.CloseOut(ctx, in); err != nil {
		t.Fatal(err)
	}
	b.now = b.now.AddDate(0, 6, 0)
	r, err := b.StartRound(ctx, shop.RoundInput{ID: b.id(), CarID: c.CarID, Depth: "full", Km: "199500", By: "ab"})
	if err != nil {
		t.Fatal(err)
	}
	b.measure(t, r.ID, "pad-thickness", "FL/inner", "mm", "9")
	if err := b.AddRenewal(ctx, shop.RenewalInput{ID: b.id(), CarID: c.CarID, Item: "pads", At: "F", On: "2026-08-01"}); err != nil {
		t.Fatal(err)
	}
	if err := b.TakeBackCloseOut(ctx, b.back(in)); err != nil {
		t.Fatal(err)
	}
	p, err := b.CarPage(ctx, c.CarID)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Renewals) != 1 || p.Renewals[0].On != "2026-08-01" || len(p.Rounds) != 1 || len(p.Items) != 1 {
		t.Errorf("renewals %+v, rounds %+v, items %d", p.Renewals, p.Rounds, len(p.Items))
	}
	if slices.ContainsFunc(p.Odometer, func(o shop.OdometerFact) bool { return o.Km == 199_000 }) {
		t.Errorf("odometer %+v", p.Odometer)
	}
}

// TestCloseOutTakeBackRefuses sends what can't be; nothing of it stays.
func TestCloseOutTakeBackRefuses(t *testing.T) {
	b := newBench(t)
	in, _ := b.closed(t)
	other := b.car(t, nil)
	foreign := b.agreed(t, other.CarID, "", all...)
	for name, c := range map[string]struct {
		change func(*shop.CloseBackInput)
		field  string
		is     error
	}{
		"no reason":                {func(x *shop.CloseBackInput) { x.Why = " \n" }, "why", nil},
		"too long a reason":        {func(x *shop.CloseBackInput) { x.Why = strings.Repeat("x", 301) }, "why", nil},
		"work that is open":        {func(x *shop.CloseBackInput) { x.DecisionID = foreign }, "", shop.ErrConflict},
		"another work's close-out": {func(x *shop.CloseBackInput) { x.CloseOutID = "another" }, "", shop.ErrConflict},
		"no work":                  {func(x *shop.CloseBackInput) { x.DecisionID = "nothing" }, "", shop.ErrNotFound},
		"an id that is used":       {func(x *shop.CloseBackInput) { x.ID = in.ID }, "", shop.ErrConflict},
	} {
		back, old := b.back(in), b.facts(t)
		c.change(&back)
		err := b.TakeBackCloseOut(ctx, back)
		var inv shop.Invalid
		if c.is != nil && !errors.Is(err, c.is) || c.is == nil && (!errors.As(err, &inv) || inv[0].Field != c.field) {
			t.Errorf("%s: %v", name, err)
		}
		if !slices.Equal(b.facts(t), old) {
			t.Errorf("%s: something was stored", name)
		}
	}
}

// TestCloseOutHeld: what the owner has agreed to again since holds a close-out, until a later answer to that estimate takes its place.
func TestCloseOutHeld(t *testing.T) {
	b := newBench(t)
	in, _ := b.closed(t)
	o, err := b.WorkOrder(ctx, in.DecisionID)
	if err != nil {
		t.Fatal(err)
	}
	answer := func(a string, number string) {
		t.Helper()
		e := estimate.Estimate{Number: number, Items: []estimate.Item{{ID: "i", Job: "renew-brake-fluid", Name: "Renew the brake fluid"}}}
		draft := b.put(t, shop.KindEstimate, o.Car.CarID, "", shop.EstimateDraft{Estimate: e})
		offer := b.put(t, shop.KindOffer, o.Car.CarID, draft, shop.Offer{TokenHash: strings.Repeat("b", 64), Digest: estimate.Digest(e), ExpiresAt: 1})
		b.put(t, shop.KindDecision, o.Car.CarID, offer, shop.Decision{How: shop.BySpoken, Name: "Alma Brook", SaidOn: "2026-03-21 09:00", Digest: estimate.Digest(e),
			Answers: []estimate.Answer{{Item: "i", Answer: a}}})
	}
	held := func() string {
		t.Helper()
		words, err := b.CloseOutHeld(ctx, o)
		if err != nil {
			t.Fatal(err)
		}
		return words
	}
	answer(estimate.PutOff, "E-77")
	if words := held(); words != "" {
		t.Errorf("put off: %s", words)
	}
	answer(estimate.Accept, "E-78")
	if words := held(); !strings.Contains(words, "“Brake fluid” again since, on estimate E-78") {
		t.Errorf("agreed again: %q", words)
	}
	var inv shop.Invalid
	if err := b.TakeBackCloseOut(ctx, b.back(in)); !errors.As(err, &inv) || inv[0].Field != "back" || inv[0].Text != held() {
		t.Errorf("%v", err)
	}
	answer(estimate.Decline, "E-78")
	if words := held(); words != "" {
		t.Errorf("declined after all: %s", words)
	}
	if err := b.TakeBackCloseOut(ctx, b.back(in)); err != nil {
		t.Error(err)
	}
}

// TestTakenBackTravels exports a close-out that was taken back and made again; another workshop reads the same of it. A key that the
// close-out's count does not give is refused.
func TestTakenBackTravels(t *testing.T) {
	b, car, token := offeredBench(t)
	id, err := b.Decide(ctx, token, accepting("f", asked("E-1", 1)))
	if err != nil {
		t.Fatal(err)
	}
	in := shop.CloseOutInput{ID: b.id(), DecisionID: id, On: "2026-03-21", Km: "182500", By: "ab", Readings: padReadings("11.5")}
	for _, it := range []string{"pads", "filter"} {
		in.Items = append(in.Items, shop.ItemInput{Item: it, Outcome: shop.ItemWasDone})
	}
	if err := b.CloseOut(ctx, in); err != nil {
		t.Fatal(err)
	}
	if err := b.TakeBackCloseOut(ctx, b.back(in)); err != nil {
		t.Fatal(err)
	}
	in.ID, in.Km = b.id(), "182600"
	if err := b.CloseOut(ctx, in); err != nil {
		t.Fatal(err)
	}
	text := export(t, b)
	fresh := newBench(t)
	if _, err := fresh.Import(ctx, bytes.NewReader(text)); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(export(t, fresh), text) {
		t.Error("the second export differs")
	}
	for _, x := range []*bench{b, fresh} {
		p, err := x.CarPage(ctx, car.CarID)
		if err != nil || len(p.Rounds) != 1 || p.NowKm != 182_600 || len(p.Renewals) != 2 {
			t.Errorf("%+v, %v", p, err)
		}
	}
	forged := strings.Replace(string(text), `"once":"closeout/`+id+`/1"`, `"once":"closeout/`+id+`/2"`, 1)
	if forged == string(text) {
		t.Fatal("nothing was forged")
	}
	if _, err := newBench(t).Import(ctx, strings.NewReader(forged)); err == nil || !strings.Contains(err.Error(), "key of close-out") {
		t.Errorf("a forged key: %v", err)
	}
}

// TestRenewalTakenBack takes a renewal back that was entered by hand: the clock runs on as if it had never been, and another stays.
func TestRenewalTakenBack(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil)
	add := func(on string) string {
		id := b.id()
		if err := b.AddRenewal(ctx, shop.RenewalInput{ID: id, CarID: c.CarID, Item: "engine-oil", On: on, Km: "171200"}); err != nil {
			t.Fatal(err)
		}
		return id
	}
	add("2025-09-12")
	outlook := func() string { o, _ := b.Outlook(ctx, c.CarID); return string(jsonOf(t, o.Outlook.Items)) }
	before := outlook()
	slip := add("2026-03-01")
	if outlook() == before {
		t.Fatal("the renewal moved nothing")
	}
	for range 2 {
		if err := b.WithdrawRenewal(ctx, b.id(), c.CarID, slip, "ab"); err != nil {
			t.Fatal(err)
		}
	}
	p, err := b.CarPage(ctx, c.CarID)
	if err != nil || len(p.Renewals) != 1 || p.Renewals[0].On != "2025-09-12" || outlook() != before {
		t.Errorf("%+v, %v", p.Renewals, err)
	}
	old := b.facts(t)
	for _, id := range []string{"nothing", c.CarID} {
		if err := b.WithdrawRenewal(ctx, b.id(), c.CarID, id, "ab"); !errors.Is(err, shop.ErrNotFound) {
			t.Errorf("%s: %v", id, err)
		}
	}
	if err := b.WithdrawRenewal(ctx, b.id(), b.car(t, nil).CarID, p.Renewals[0].ID, "ab"); !errors.Is(err, shop.ErrNotFound) {
		t.Errorf("of another car: %v", err)
	}
	if now := b.facts(t); len(now) != len(old)+2 { // the other car and its odometer
		t.Errorf("%d facts became %d", len(old), len(now))
	}
}
