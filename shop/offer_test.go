package shop_test

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"witnessmark/core/estimate"
	"witnessmark/shop"
)

func TestOffer(t *testing.T) {
	b, _, token := offeredBench(t)
	o, err := b.OpenOffer(ctx, token)
	if err != nil {
		t.Fatal(err)
	}
	if o.Standing != shop.OfferOpen || o.Offer.Said.Digest != estimate.Digest(asked("E-1", 1)) || o.Km != 171_200 {
		t.Errorf("%s, digest %s, %v km", o.Standing, o.Offer.Said.Digest, o.Km)
	}
	if kept, _ := json.Marshal(o.Offer.Record); strings.Contains(string(kept), token) {
		t.Error("the token is kept")
	}
	all, err := o.Totals()
	if err != nil || all.Gross != 48_195 { // (100 + 200 + 50 + 25 + 30) x 1.19
		t.Errorf("%v %v", all.Gross, err)
	}
	if _, err := b.OpenOffer(ctx, strings.Repeat("a", 26)); !errors.Is(err, shop.ErrGone) {
		t.Errorf("a guess: %v", err)
	}
}

func TestWhatIsNotReadyIsNotOffered(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*estimate.Estimate)
		says   string
	}{
		"open price": {func(e *estimate.Estimate) { e.Items[1].Lines[0].Open = true }, "price is missing"},
		"no item":    {func(e *estimate.Estimate) { e.Items, e.Shared = nil, nil }, "nothing to ask"},
		"past":       {func(e *estimate.Estimate) { e.ValidUntil = "2026-03-20" }, "has passed"},
	} {
		b := newBench(t)
		e := asked("E-1", 1)
		c.change(&e)
		b.drawUp(t, b.car(t, nil).CarID, e)
		_, err := b.Offer(ctx, shop.OfferInput{Number: "E-1", ID: b.id()})
		var inv shop.Invalid
		if !errors.As(err, &inv) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
		if n := b.kinds(t, shop.KindOffer); n != 0 {
			t.Errorf("%s: %d offers", name, n)
		}
	}
}

func TestOfferForms(t *testing.T) {
	b := newBench(t)
	b.drawUp(t, b.car(t, nil).CarID, asked("E-1", 1))
	in := shop.OfferInput{Number: "E-1", Version: 1, ID: b.id()}
	if _, err := b.Offer(ctx, in); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Offer(ctx, in); !errors.Is(err, shop.ErrConflict) {
		t.Errorf("sent twice: %v", err)
	}
	in.ID, in.Version = b.id(), 2
	if _, err := b.Offer(ctx, in); !errors.Is(err, shop.ErrConflict) {
		t.Errorf("another version: %v", err)
	}
	if _, err := b.Offer(ctx, shop.OfferInput{Number: "E-9", ID: b.id()}); !errors.Is(err, shop.ErrNotFound) {
		t.Errorf("no such estimate: %v", err)
	}
	if n := b.kinds(t, shop.KindOffer); n != 1 {
		t.Errorf("%d offers", n)
	}
}

func TestOfferLives(t *testing.T) {
	b, _, token := offeredBench(t)
	standing := func() string {
		t.Helper()
		o, err := b.OpenOffer(ctx, token)
		if errors.Is(err, shop.ErrGone) {
			return "gone"
		}
		if err != nil {
			t.Fatal(err)
		}
		return o.Standing
	}
	for _, c := range []struct{ at, want string }{
		{"2026-04-20T08:59:59Z", shop.OfferOpen}, {"2026-04-20T09:00:00Z", "gone"}, // the link lives 30 days from 21 March, 9:00
	} {
		b.now, _ = time.Parse(time.RFC3339, c.at)
		if got := standing(); got != c.want {
			t.Errorf("at %s it is %s, not %s", c.at, got, c.want)
		}
	}
	b.now = time.Date(2026, 3, 21, 10, 0, 0, 0, time.UTC)
	token, err := b.Offer(ctx, shop.OfferInput{Number: "E-1", ID: b.id(), Days: 90})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ at, want string }{{"2026-04-20T23:59:59Z", shop.OfferOpen}, {"2026-04-21T00:00:00Z", shop.OfferPast}} {
		b.now, _ = time.Parse(time.RFC3339, c.at)
		if got := standing(); got != c.want {
			t.Errorf("at %s it is %s, not %s", c.at, got, c.want)
		}
	}
	if _, err := b.Decide(ctx, token, accepting("f", asked("E-1", 1))); !errors.Is(err, shop.ErrPast) {
		t.Errorf("answered after the last day: %v", err)
	}
	if n := b.kinds(t, shop.KindDecision); n != 0 {
		t.Errorf("%d decisions", n)
	}
}

func TestNewerOfferEndsTheOlder(t *testing.T) {
	b, car, first := offeredBench(t)
	b.drawUp(t, car.CarID, asked("E-1", 2))
	if o, err := b.OpenOffer(ctx, first); err != nil || o.Standing != shop.OfferOpen {
		t.Fatalf("a version that is only saved ends nothing: %v %v", o, err)
	}
	second := b.offer(t, "E-1")
	o, err := b.OpenOffer(ctx, first)
	if err != nil || o.Standing != shop.OfferReplaced || !o.Later {
		t.Fatalf("%+v %v", o, err)
	}
	if _, err := b.Decide(ctx, first, accepting("f", asked("E-1", 1))); !errors.Is(err, shop.ErrReplaced) {
		t.Errorf("the older one answered: %v", err)
	}
	if _, err := b.Decide(ctx, second, accepting("f", asked("E-1", 1))); !errors.Is(err, shop.ErrNotShown) {
		t.Errorf("the old text answered under the new link: %v", err)
	}
	if n := b.kinds(t, shop.KindDecision); n != 0 {
		t.Errorf("%d decisions", n)
	}
	if _, err := b.Decide(ctx, second, accepting("f", asked("E-1", 2))); err != nil {
		t.Error(err)
	}
	b.drawUp(t, car.CarID, asked("E-2", 1))
	b.offer(t, "E-2")
	if o, err := b.OpenOffer(ctx, second); err != nil || o.Later {
		t.Errorf("another estimate replaces nothing: %+v %v", o, err)
	}
}

func TestTakeBack(t *testing.T) {
	b, car, token := offeredBench(t)
	o, err := b.OpenOffer(ctx, token)
	if err != nil {
		t.Fatal(err)
	}
	id := b.id()
	for range 2 {
		if err := b.TakeBack(ctx, o.Offer.ID, id, "ab", "wrong price"); err != nil {
			t.Fatal(err)
		}
	}
	if n := b.kinds(t, shop.KindOfferEnd); n != 1 {
		t.Errorf("%d ends", n)
	}
	if _, err := b.OpenOffer(ctx, token); !errors.Is(err, shop.ErrGone) {
		t.Errorf("opened: %v", err)
	}
	if _, err := b.Decide(ctx, token, accepting("f", asked("E-1", 1))); !errors.Is(err, shop.ErrGone) {
		t.Errorf("answered: %v", err)
	}
	if err := b.TakeBack(ctx, car.ID, b.id(), "ab", ""); !errors.Is(err, shop.ErrNotFound) {
		t.Errorf("no offer: %v", err)
	}
	again := b.offer(t, "E-1")
	if _, err := b.Decide(ctx, again, accepting("f", asked("E-1", 1))); err != nil {
		t.Fatal(err)
	}
	o, _ = b.OpenOffer(ctx, again)
	var answered *shop.Answered
	if err := b.TakeBack(ctx, o.Offer.ID, b.id(), "ab", ""); !errors.As(err, &answered) {
		t.Errorf("an answered one taken back: %v", err)
	}
}

func TestClosedOutIsNotAskedAgain(t *testing.T) {
	b, car, token := offeredBench(t)
	id, err := b.Decide(ctx, token, accepting("f", asked("E-1", 1)))
	if err != nil {
		t.Fatal(err)
	}
	body, _ := json.Marshal(shop.CloseOut{On: "2026-04-02", Items: []shop.ItemDone{}})
	b.putFact(t, shop.Fact{Record: &shop.Record{ID: b.id(), Kind: shop.KindCloseOut, CarID: car.CarID, Ref: id, Body: body}})
	if _, err := b.Offer(ctx, shop.OfferInput{Number: "E-1", ID: b.id()}); !errors.Is(err, shop.ErrWorkedOff) {
		t.Errorf("%v", err)
	}
}

// A newer version that lies before the owner while the work on the older one is closed out can't take its place any more.
func TestCloseOutEndsWhatIsStillAsked(t *testing.T) {
	b, _, token := offeredBench(t)
	first, err := b.Decide(ctx, token, accepting("f", asked("E-1", 1)))
	if err != nil {
		t.Fatal(err)
	}
	b.drawUp(t, b.carOf(t, first), asked("E-1", 2))
	newer := b.offer(t, "E-1")
	in := shop.CloseOutInput{ID: b.id(), DecisionID: first, On: b.now.Format("2006-01-02"), Km: "182500", By: "ab"}
	for _, id := range []string{"pads", "filter"} {
		in.Items = append(in.Items, shop.ItemInput{Item: id, Outcome: shop.ItemWasDone})
	}
	for range 2 { // a double click
		if err := b.CloseOut(ctx, in); err != nil {
			t.Fatal(err)
		}
	}
	if n := b.kinds(t, shop.KindOfferEnd); n != 1 {
		t.Errorf("%d offers ended", n)
	}
	if _, err := b.Decide(ctx, newer, accepting("g", asked("E-1", 2))); !errors.Is(err, shop.ErrGone) {
		t.Errorf("answered after the close-out: %v", err)
	}
	if _, err := b.Summary(ctx, first); err != nil {
		t.Errorf("the invoice's summary: %v", err)
	}
}

// carOf is the car that a record is about.
func (b *bench) carOf(t testing.TB, recordID string) (carID string) {
	t.Helper()
	if err := b.store.View(ctx, func(r shop.Reader) error {
		rec, err := r.Record(ctx, recordID)
		carID = rec.CarID
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return carID
}
