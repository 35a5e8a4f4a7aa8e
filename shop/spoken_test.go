package shop_test

import (
	"errors"
	"testing"
	"time"

	"witnessmark/core/estimate"
	"witnessmark/shop"
)

// spoken is a yes on the telephone at five past nine.
func spoken(form string, e estimate.Estimate) shop.SpeakInput {
	return shop.SpeakInput{Number: e.Number, Version: e.Version, Form: form, By: "ab", Who: "Alma Brook, by telephone", SaidOn: "2026-03-21T09:05", Digest: estimate.Digest(e), Answers: accepting("", e).Answers}
}

func TestSpeak(t *testing.T) {
	b := newBench(t)
	car := b.car(t, nil)
	b.drawUp(t, car.CarID, asked("E-1", 1))
	b.now = b.now.Add(10 * time.Minute)
	in := spoken("form-1", asked("E-1", 1))
	id, err := b.Speak(ctx, in)
	if err != nil {
		t.Fatal(err)
	}
	if again, err := b.Speak(ctx, in); err != nil || again != id {
		t.Errorf("sent twice: %v %v", again, err)
	}
	a, err := b.Agreed(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	if d := a.Decision; d.Said.How != shop.BySpoken || d.Said.SaidOn != "2026-03-21 09:05" || d.By != "ab" || d.Said.Name != "Alma Brook, by telephone" || d.Said.Address != "" {
		t.Errorf("%+v", d)
	}
	if len(a.Accepted) != 2 || a.Accepted[0].ID != "pads" || a.Accepted[1].ID != "filter" {
		t.Errorf("%+v", a.Accepted)
	}
	var answered *shop.Answered
	if _, err := b.Speak(ctx, spoken("form-2", asked("E-1", 1))); !errors.As(err, &answered) {
		t.Errorf("another form that did not know of it: %v", err)
	}
	if d, o := b.kinds(t, shop.KindDecision), b.kinds(t, shop.KindOffer); d != 1 || o != 1 {
		t.Errorf("%d decisions, %d offers", d, o)
	}
	in = spoken("form-3", asked("E-1", 1))
	in.After, in.Answers[3].Answer = id, "decline"
	later, err := b.Speak(ctx, in)
	if err != nil || later == id {
		t.Fatalf("another answer instead of the one that was known: %v %v", later, err)
	}
	if a, err := b.Agreed(ctx, id); err != nil || a.ReplacedBy != later {
		t.Errorf("%+v %v", a, err)
	}
	all, err := b.Agreements(ctx, shop.RecordFilter{})
	if err != nil || len(all) != 1 || all[0].Decision.ID != later || len(all[0].Accepted) != 1 {
		t.Errorf("%+v %v", all, err)
	}
}

func TestSpokenAnswersTheOpenOffer(t *testing.T) {
	b, car, token := offeredBench(t)
	b.now = b.now.Add(10 * time.Minute)
	if _, err := b.Speak(ctx, spoken("form-1", asked("E-1", 1))); err != nil {
		t.Fatal(err)
	}
	if o, err := b.OpenOffer(ctx, token); err != nil || o.Standing != shop.OfferAnswered {
		t.Errorf("%+v %v", o, err)
	}
	var answered *shop.Answered
	if _, err := b.Decide(ctx, token, accepting("f", asked("E-1", 1))); !errors.As(err, &answered) {
		t.Errorf("answered on the page too: %v", err)
	}
	b.drawUp(t, car.CarID, asked("E-2", 1))
	old := b.offer(t, "E-2")
	b.drawUp(t, car.CarID, asked("E-2", 2))
	b.now = b.now.Add(time.Minute)
	in := spoken("form-2", asked("E-2", 2))
	in.SaidOn = b.now.Format("2006-01-02 15:04")
	if _, err := b.Speak(ctx, in); err != nil {
		t.Fatal(err)
	}
	if o, err := b.OpenOffer(ctx, old); err != nil || o.Standing != shop.OfferReplaced {
		t.Errorf("the older version's link: %+v %v", o, err)
	}
}

func TestBadSpoken(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*shop.SpeakInput)
		field  string
	}{
		"nobody":       {func(in *shop.SpeakInput) { in.Who = " " }, "who"},
		"no initials":  {func(in *shop.SpeakInput) { in.By = "" }, "by"},
		"no time":      {func(in *shop.SpeakInput) { in.SaidOn = "this morning" }, "said"},
		"the future":   {func(in *shop.SpeakInput) { in.SaidOn = "2026-03-21 09:11" }, "said"},
		"before it":    {func(in *shop.SpeakInput) { in.SaidOn = "2026-03-21 08:59" }, "said"},
		"not answered": {func(in *shop.SpeakInput) { in.Answers = in.Answers[1:] }, "answer-1"},
	} {
		b := newBench(t)
		b.drawUp(t, b.car(t, nil).CarID, asked("E-1", 1))
		b.now = b.now.Add(10 * time.Minute)
		in := spoken("f", asked("E-1", 1))
		c.change(&in)
		_, err := b.Speak(ctx, in)
		var inv shop.Invalid
		if !errors.As(err, &inv) || len(inv) != 1 || inv[0].Field != c.field {
			t.Errorf("%s: %v", name, err)
		}
		if n := b.kinds(t, shop.KindOffer) + b.kinds(t, shop.KindDecision); n != 0 {
			t.Errorf("%s: %d records left behind", name, n)
		}
	}
}
