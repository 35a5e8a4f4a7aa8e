package shop_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"witnessmark/core/estimate"
	"witnessmark/shop"
)

func TestDecide(t *testing.T) {
	b, _, token := offeredBench(t)
	in := accepting("form-1", asked("E-1", 1))
	in.Name, in.Agent = "  Alma \n Brook ", strings.Repeat("x", 5000)
	id, err := b.Decide(ctx, token, in)
	if err != nil {
		t.Fatal(err)
	}
	o, err := b.OpenOffer(ctx, token)
	if err != nil || o.Standing != shop.OfferAnswered {
		t.Fatalf("%+v %v", o, err)
	}
	d := o.Decision.Said
	want := []estimate.Answer{{Item: "pads", Answer: "accept"}, {Item: "discs", Answer: "put-off", UntilOn: "2026-10-01", UntilKm: 190_000}, {Item: "coolant", Answer: "decline"}, {Item: "filter", Answer: "accept"}}
	if o.Decision.ID != id || d.How != shop.BySign || d.Name != "Alma Brook" || d.Address != "192.0.2.7" || len(d.Agent) != 300 || !slices.Equal(d.Answers, want) {
		t.Errorf("%+v", d)
	}
	if d.Digest != o.Offer.Said.Digest || d.Digest != estimate.Digest(o.Estimate()) {
		t.Errorf("digests %s, %s", d.Digest, o.Offer.Said.Digest)
	}
	sum, err := o.Totals()
	if err != nil || sum.Gross != 18_445 { // (100 + 25 + 30 for the wheels off) x 1.19
		t.Errorf("%v %v", sum.Gross, err)
	}
}

func TestAnsweredOnce(t *testing.T) {
	b, _, token := offeredBench(t)
	in := accepting("form-1", asked("E-1", 1))
	id, err := b.Decide(ctx, token, in)
	if err != nil {
		t.Fatal(err)
	}
	in.Address, in.Agent = "198.51.100.9", "Another network"
	if again, err := b.Decide(ctx, token, in); err != nil || again != id {
		t.Errorf("the same form again: %v %v", again, err)
	}
	var answered *shop.Answered
	changed := accepting("form-1", asked("E-1", 1))
	changed.Answers[3].Answer = "decline"
	if _, err := b.Decide(ctx, token, changed); !errors.As(err, &answered) || !errors.Is(err, shop.ErrConflict) {
		t.Errorf("the same form with other answers: %v", err)
	}
	other := accepting("form-2", asked("E-1", 1))
	other.Answers[0] = shop.AnswerInput{Item: "pads"} // what it says doesn't matter any more
	if _, err := b.Decide(ctx, token, other); !errors.As(err, &answered) {
		t.Fatalf("another form: %v", err)
	}
	if got := answered.Offered.Decision.Said; got.Answers[3].Answer != estimate.Accept || got.Address != "192.0.2.7" {
		t.Errorf("it is told %+v", got)
	}
	if n := b.kinds(t, shop.KindDecision); n != 1 {
		t.Errorf("%d decisions", n)
	}
}

// TestTwoAtOnce sends two different forms and the same one many times at once: one answer is kept, and each is told the truth.
func TestTwoAtOnce(t *testing.T) {
	b, _, token := offeredBench(t)
	const each = 8
	errs := make([]error, 2*each)
	var all sync.WaitGroup
	for i := range errs {
		all.Go(func() {
			in := accepting(fmt.Sprint("form-", i%2), asked("E-1", 1))
			in.Address = fmt.Sprint("192.0.2.", i)
			_, errs[i] = b.Decide(ctx, token, in)
		})
	}
	all.Wait()
	ok := [2]int{}
	for i, err := range errs {
		var answered *shop.Answered
		switch {
		case err == nil:
			ok[i%2]++
		case !errors.As(err, &answered):
			t.Errorf("%d: %v", i, err)
		}
	}
	if n := b.kinds(t, shop.KindDecision); n != 1 || max(ok[0], ok[1]) != each || min(ok[0], ok[1]) != 0 {
		t.Errorf("%d decisions, successes %v", n, ok)
	}
}

func TestBadAnswers(t *testing.T) {
	set := func(i int, a shop.AnswerInput) func(*shop.DecideInput) {
		return func(in *shop.DecideInput) { a.Item = in.Answers[i].Item; in.Answers[i] = a }
	}
	for name, c := range map[string]struct {
		change func(*shop.DecideInput)
		fields string
	}{
		"no name":              {func(in *shop.DecideInput) { in.Name = " \u202e\t" }, "name"},
		"a name unseen":        {func(in *shop.DecideInput) { in.Name = "\u200b\u3164" }, "name"},
		"no answer":            {func(in *shop.DecideInput) { in.Answers = in.Answers[:2] }, "answer-3 answer-4"},
		"must, put off":        {set(0, shop.AnswerInput{Answer: "put-off", UntilOn: "2026-10-01"}), "answer-1"},
		"must, not ticked":     {set(0, shop.AnswerInput{Answer: "decline"}), "warned-1"},
		"unknown answer":       {set(1, shop.AnswerInput{Answer: "perhaps"}), "answer-2"},
		"until never":          {set(1, shop.AnswerInput{Answer: "put-off"}), "until-2"},
		"until today":          {set(1, shop.AnswerInput{Answer: "put-off", UntilOn: "2026-03-21"}), "until-2"},
		"until no day":         {set(1, shop.AnswerInput{Answer: "put-off", UntilOn: "1 October"}), "until-2"},
		"until far ahead":      {set(1, shop.AnswerInput{Answer: "put-off", UntilOn: "2029-03-22"}), "until-2"},
		"until driven already": {set(1, shop.AnswerInput{Answer: "put-off", UntilKm: "171200"}), "km-2"},
		"until no distance":    {set(1, shop.AnswerInput{Answer: "put-off", UntilKm: "far"}), "km-2"},
		"until the moon":       {set(1, shop.AnswerInput{Answer: "put-off", UntilKm: "1e300"}), "km-2"},
		"until everything":     {set(1, shop.AnswerInput{Answer: "put-off", UntilOn: "x", UntilKm: "9999999"}), "until-2 km-2"},
		"several": {func(in *shop.DecideInput) {
			in.Name = ""
			in.Answers[0] = shop.AnswerInput{Item: "pads", Answer: "decline"}
		}, "warned-1 name"},
	} {
		b, _, token := offeredBench(t)
		in := accepting("f", asked("E-1", 1))
		c.change(&in)
		_, err := b.Decide(ctx, token, in)
		var inv shop.Invalid
		if !errors.As(err, &inv) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		var fields []string
		for _, f := range inv {
			fields = append(fields, f.Field)
		}
		if got := strings.Join(fields, " "); got != c.fields {
			t.Errorf("%s: problems at %s, expected at %s", name, got, c.fields)
		}
		if n := b.kinds(t, shop.KindDecision); n != 0 {
			t.Errorf("%s: %d decisions", name, n)
		}
		if _, err := b.Decide(ctx, token, accepting("f", asked("E-1", 1))); err != nil {
			t.Errorf("%s: mended and sent again: %v", name, err)
		}
	}
}

func TestUnsafeDeclinedKeepsTheWords(t *testing.T) {
	b, car, token := offeredBench(t)
	in := accepting("f", asked("E-1", 1))
	in.Answers[0] = shop.AnswerInput{Item: "pads", Answer: "decline", Warned: true}
	if _, err := b.Decide(ctx, token, in); err != nil {
		t.Fatal(err)
	}
	o, _ := b.OpenOffer(ctx, token)
	if got := o.Decision.Said.Answers[0].Warned; got != warning {
		t.Errorf("kept: %q", got)
	}
	lines := b.left(t, b.DeclinedLines, car.CarID)
	if len(lines) != 2 || lines[0].Warned != warning || !lines[0].Item.Must || lines[1].Warned != "" || !lines[0].Declined || !lines[0].Kept {
		t.Errorf("%+v", lines)
	}
}

func TestChangedTextIsRefused(t *testing.T) {
	b, _, token := offeredBench(t)
	e := asked("E-1", 1)
	e.Items[3].Lines[0].Price--
	if _, err := b.Decide(ctx, token, accepting("f", e)); !errors.Is(err, shop.ErrNotShown) {
		t.Errorf("%v", err)
	}
	if n := b.kinds(t, shop.KindDecision); n != 0 {
		t.Errorf("%d decisions", n)
	}
}

// TestKeysFollowFromBodies: an import can't bring in a second answer to an offer, or a version that its number doesn't find.
func TestKeysFollowFromBodies(t *testing.T) {
	b, _, token := offeredBench(t)
	if _, err := b.Decide(ctx, token, accepting("form-1", asked("E-1", 1))); err != nil {
		t.Fatal(err)
	}
	for _, kind := range []string{shop.KindEstimate, shop.KindOffer, shop.KindDecision} {
		var list []shop.Record
		if err := b.store.View(ctx, func(r shop.Reader) (err error) {
			list, err = r.Records(ctx, shop.RecordFilter{Kind: kind})
			return err
		}); err != nil || len(list) == 0 {
			t.Fatalf("%s: %d, %v", kind, len(list), err)
		}
		rec := list[0]
		if err := (shop.Fact{Record: &rec}).Check(); err != nil {
			t.Errorf("%s as it is kept: %v", kind, err)
		}
		rec.ID, rec.Once = "another", rec.Once+"-2"
		if err := (shop.Fact{Record: &rec}).Check(); err == nil {
			t.Errorf("%s with the key %q is taken", kind, rec.Once)
		}
	}
}
