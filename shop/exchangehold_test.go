package shop_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"witnessmark/core/estimate"
	"witnessmark/shop"
)

// dealt is a workshop in which an owner has answered an estimate of two items, with its export.
func dealt(t testing.TB) (estimate.Estimate, string) {
	t.Helper()
	b := newBench(t)
	car := b.car(t, nil).CarID
	b.priced(t)
	b.worn(t, car)
	number, err := b.MakeDraft(ctx, car, b.id(), "ab", "2026-03-21")
	if err != nil {
		t.Fatal(err)
	}
	b.saved(t, number, 1, shop.ItemChange{Name: "Wash the car"})
	e := b.draft(t, number)
	wash := e.Items[len(e.Items)-1].ID
	b.saved(t, number, 2, shop.LineChange{Block: wash, Kind: estimate.Part, Name: "Soap", Quantity: "1", Unit: "piece", Price: "3", Tax: e.Terms.Taxes[0].ID})
	e = b.draft(t, number)
	version := 3
	for l := range estimate.Lines(&e) {
		if l.Open {
			b.saved(t, number, version, shop.LineChange{Line: l.ID, Kind: l.Kind, Name: l.Name, Quantity: "1", Unit: l.Unit, Price: "40", Tax: l.Tax})
			version++
		}
	}
	e = b.draft(t, number)
	token, err := b.Offer(ctx, shop.OfferInput{Number: number, ID: b.id(), By: "ab"})
	if err != nil {
		t.Fatal(err)
	}
	in := shop.DecideInput{Form: b.id(), Digest: estimate.Digest(e), Name: "Alma Brook"}
	for _, it := range e.Items {
		in.Answers = append(in.Answers, shop.AnswerInput{Item: it.ID, Answer: estimate.Accept})
	}
	in.Answers[len(in.Answers)-1] = shop.AnswerInput{Item: wash, Answer: estimate.PutOff, UntilOn: "2026-06-01"}
	if _, err := b.Decide(ctx, token, in); err != nil {
		t.Fatal(err)
	}
	return e, string(export(t, b))
}

// changed gives an export in which the body of the one record of a kind is another.
func changed[T any](t *testing.T, text, kind string, change func(*T)) (string, string) {
	t.Helper()
	lines := strings.SplitAfter(text, "\n")
	for i, l := range lines {
		var f shop.Fact
		if json.Unmarshal([]byte(l), &f) != nil || f.Record == nil || f.Record.Kind != kind {
			continue
		}
		var body T
		if err := json.Unmarshal(f.Record.Body, &body); err != nil {
			t.Fatal(err)
		}
		change(&body)
		f.Record.Body = jsonOf(t, body)
		lines[i] = string(jsonOf(t, f)) + "\n"
		return strings.Join(lines, ""), f.Record.ID
	}
	t.Fatalf("no %s in the export", kind)
	return "", ""
}

// TestImportHoldsDecisions: a decision is held against the estimate that it answers, item by item, and a file in which one does not hold
// leaves nothing behind.
func TestImportHoldsDecisions(t *testing.T) {
	e, text := dealt(t)
	fresh := newBench(t)
	if _, err := fresh.Import(ctx, strings.NewReader(text)); err != nil {
		t.Fatal(err)
	}
	if again := export(t, fresh); !bytes.Equal(again, []byte(text)) {
		t.Fatal("the export differs from what was imported")
	}
	other := strings.Repeat("0", 64)
	wash := e.Items[len(e.Items)-1]
	expected := fmt.Sprintf("expected one answer to each item of estimate %s, version %d: %q", e.Number, e.Version, e.Items[0].ID)
	for name, tc := range map[string]struct {
		change func(*shop.Decision)
		want   []string
	}{
		"an item that is not there": {func(d *shop.Decision) { d.Answers[0].Item = "nothing" }, []string{`body.answers: item "nothing": there is no such item`, `item "renew-pads@F":`, "has no answer yet", expected}},
		"an item too many": {func(d *shop.Decision) {
			d.Answers = append(d.Answers, estimate.Answer{Item: "extra", Answer: estimate.Accept})
		}, []string{`item "extra": there is no such item`, expected}},
		"an item missing": {func(d *shop.Decision) { d.Answers = d.Answers[:1] }, []string{fmt.Sprintf("item %q: Wash the car has no answer yet", wash.ID), expected}},
		"an item twice":   {func(d *shop.Decision) { d.Answers = append(d.Answers, d.Answers[0]) }, []string{"is answered more than once"}},
		"until no day":    {func(d *shop.Decision) { d.Answers[1].UntilOn = "spring" }, []string{`"spring" is no day`}},
		"another answer":  {func(d *shop.Decision) { d.Answers[0].Answer = "perhaps" }, []string{"expected accept, decline or put-off"}},
		"another digest":  {func(d *shop.Decision) { d.Digest = other }, []string{fmt.Sprintf("body.digest is %q; expected %q", other, estimate.Digest(e))}},
	} {
		in, id := changed(t, text, shop.KindDecision, tc.change)
		refused(t, name, in, append(tc.want, fmt.Sprintf("record %q: ", id))...)
	}
	in, id := changed(t, text, shop.KindOffer, func(o *shop.Offer) { o.Digest = other })
	refused(t, "an offer's digest", in, fmt.Sprintf("record %q: body.digest is %q; expected %q", id, other, estimate.Digest(e)))
}

// TestImportHoldsWhateverTheOrder: records may stand in any order in which each stands after what it refers to; before it, it is refused.
func TestImportHoldsWhateverTheOrder(t *testing.T) {
	_, text := dealt(t)
	lines := strings.SplitAfter(strings.TrimSuffix(text, "\n"), "\n")
	last := len(lines) - 1
	lines[last] += "\n"
	if !strings.Contains(lines[last], `"kind":"decision"`) {
		t.Fatalf("the last line is %s", lines[last])
	}
	// The earlier versions of the estimate, which nothing refers to, behind the answer.
	var early, late []string
	for _, l := range lines {
		if strings.Contains(l, `"version":1,`) && strings.Contains(l, `"kind":"estimate"`) {
			late = append(late, l)
		} else {
			early = append(early, l)
		}
	}
	if len(late) != 1 {
		t.Fatalf("%d first versions", len(late))
	}
	if _, err := newBench(t).Import(ctx, strings.NewReader(strings.Join(append(early, late...), ""))); err != nil {
		t.Error(err)
	}
	before := append([]string{lines[0], lines[1], lines[last]}, lines[2:last]...)
	refused(t, "an answer before its offer", strings.Join(before, ""), "line 3: ", "not found")
}

// refused imports a file that must be refused with some words and leave nothing.
func refused(t *testing.T, name, in string, want ...string) {
	t.Helper()
	b := newBench(t)
	empty := export(t, b)
	_, err := b.Import(ctx, strings.NewReader(in))
	if err == nil {
		t.Errorf("%s: it is taken", name)
		return
	}
	for _, w := range want {
		if !strings.Contains(err.Error(), w) {
			t.Errorf("%s: got %v, want %q", name, err, w)
		}
	}
	if !bytes.Equal(export(t, b), empty) {
		t.Errorf("%s: something was left behind", name)
	}
}
