package shop_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"witnessmark/core/estimate"
	"witnessmark/shop"
)

// noting notes things on the work of a close-out that is prepared.
type noting struct {
	*bench
	t        *testing.T
	decision string
}

func (n *noting) sheet() *shop.WorkSheet {
	n.t.Helper()
	w, err := n.WorkSheet(ctx, n.decision)
	if err != nil {
		n.t.Fatal(err)
	}
	return w
}

func (n *noting) note(in shop.WorkInput) error {
	if in.ID == "" {
		in.ID = n.id()
	}
	in.DecisionID, in.By = n.decision, "ab"
	return n.NoteWork(ctx, in)
}

func (n *noting) must(in shop.WorkInput) {
	n.t.Helper()
	if err := n.note(in); err != nil {
		n.t.Fatal(err)
	}
}

// TestWorkNotes ticks a step, takes the tick back, notes that an item can't be done, the time and a part; nothing is noted after the close-out.
func TestWorkNotes(t *testing.T) {
	b := newBench(t)
	in := b.closingOf(t)
	n := &noting{b, t, in.DecisionID}
	w := n.sheet()
	lifts := 0
	for _, l := range w.Lines {
		if l.Step == "begin/on-the-lift" {
			lifts++
		}
	}
	if lifts != 1 || w.Steps != len(w.Lines) || w.Ticked != 0 || w.Lines[len(w.Lines)-1].Item != "wash" {
		t.Fatalf("the car goes up %d times; %d of %d lines", lifts, w.Ticked, w.Steps)
	}
	tick := shop.WorkInput{ID: "tick", Item: "pads", Step: "1", What: shop.WorkDone}
	n.must(tick)
	n.must(tick)
	if w = n.sheet(); w.Ticked != 1 || !w.Begun() {
		t.Errorf("ticked %d", w.Ticked)
	}
	n.must(shop.WorkInput{Item: "pads", Step: "1", What: shop.WorkOpen})
	if w = n.sheet(); w.Ticked != 0 {
		t.Errorf("taken back: ticked %d", w.Ticked)
	}
	n.must(shop.WorkInput{Item: "fluid", What: shop.WorkCannot, Note: "no fluid in stock"})
	n.must(shop.WorkInput{Item: "wash", What: shop.WorkMinutes, Minutes: "0:20"})
	n.must(shop.WorkInput{Item: "wash", What: shop.WorkDone})
	n.must(shop.WorkInput{Step: "line/b", What: shop.WorkPart, Number: "P 77", Batch: "7", Amount: "1"})
	w = n.sheet()
	if w.States[1].Cannot != "no fluid in stock" || w.States[2].Minutes != 20 || !w.States[2].Done || w.Parts[0].Fitted == nil || w.Parts[0].Fitted.Batch != "7" {
		t.Errorf("states %+v, parts %+v", w.States, w.Parts)
	}
	for _, l := range w.Lines {
		if l.Off != (l.Item == "fluid" || l.Step == "begin/rear-wheels-off" || l.Step == "undo/rear-wheels-off") {
			t.Errorf("%s %s %s: off is %v", l.Kind, l.Item, l.Step, l.Off)
		}
	}
	for field, bad := range map[string]shop.WorkInput{
		"work":    {Item: "pads", Step: "77", What: shop.WorkDone},
		"note":    {Item: "pads", What: shop.WorkCannot},
		"minutes": {Item: "pads", What: shop.WorkMinutes, Minutes: "soon"},
		"amount":  {Step: "line/b", What: shop.WorkPart, Amount: "-1"},
	} {
		var inv shop.Invalid
		if err := n.note(bad); !errors.As(err, &inv) || inv[0].Field != field {
			t.Errorf("%+v: %v", bad, err)
		}
	}
	var tooMuch shop.Invalid
	if err := n.note(shop.WorkInput{Step: "line/b", What: shop.WorkPart, Amount: "100001"}); !errors.As(err, &tooMuch) || tooMuch[0].Field != "amount" {
		t.Errorf("more of a part than an estimate's line can hold: %v", err)
	}
	if err := b.CloseOut(ctx, in); err != nil {
		t.Fatal(err)
	}
	if err := n.note(shop.WorkInput{Item: "pads", What: shop.WorkDone}); err == nil || !strings.Contains(err.Error(), "closed out") {
		t.Errorf("after the close-out: %v", err)
	}
}

// TestTicksKept: the owner answers the estimate again while the car is in the bay. What was ticked and fitted of what is still agreed stays;
// what was declined is gone with its notes, and an item that now asks for something else begins anew.
func TestTicksKept(t *testing.T) {
	b := newBench(t)
	car := b.car(t, nil)
	n := &noting{b, t, b.agreed(t, car.CarID, "", all...)}
	first := n.sheet()
	n.must(shop.WorkInput{Item: "pads", Step: "1", What: shop.WorkDone})
	n.must(shop.WorkInput{Step: "begin/on-the-lift", What: shop.WorkDone})
	n.must(shop.WorkInput{Step: "line/b", What: shop.WorkPart, Batch: "7"})
	n.must(shop.WorkInput{Step: "line/d", What: shop.WorkPart, Batch: "8"})
	n.must(shop.WorkInput{Item: "pads", What: shop.WorkMinutes, Minutes: "20"})
	n.must(shop.WorkInput{Item: "fluid", What: shop.WorkCannot, Note: "no fluid in stock"})
	n.must(shop.WorkInput{Item: "wash", What: shop.WorkDone})

	again := func(change func(*estimate.Estimate), accept ...string) {
		t.Helper()
		e := first.Draft.Said.Estimate
		e.Items = slices.Clone(e.Items)
		change(&e)
		e.Version++
		d := shop.Decision{How: shop.BySpoken, Name: "Alma Brook", Digest: estimate.Digest(e)}
		for _, it := range e.Items {
			a := estimate.Answer{Item: it.ID, Answer: estimate.Decline}
			if slices.Contains(accept, it.ID) {
				a.Answer = estimate.Accept
			}
			d.Answers = append(d.Answers, a)
		}
		draft := b.put(t, shop.KindEstimate, car.CarID, "", shop.EstimateDraft{Estimate: e})
		offer := b.put(t, shop.KindOffer, car.CarID, draft, shop.Offer{TokenHash: strings.Repeat("b", 64), Digest: d.Digest, ExpiresAt: b.now.UnixMilli()})
		n.decision = b.put(t, shop.KindDecision, car.CarID, offer, d)
	}
	again(func(*estimate.Estimate) {}, "pads", "wash")
	w := n.sheet()
	if !w.Begun() || w.Ticked != 2 || w.States[0].Minutes != 20 || w.States[0].Ticked != 1 || !w.States[1].Done || w.Parts[0].Fitted == nil || w.Parts[0].Fitted.Batch != "7" {
		t.Errorf("ticked %d, states %+v, parts %+v", w.Ticked, w.States, w.Parts)
	}
	for _, note := range w.Notes {
		if note.Said.Item == "fluid" || note.Said.Part != nil && note.Said.Part.Line == "d" {
			t.Errorf("a note of what was declined: %+v", note.Said)
		}
	}
	n.must(shop.WorkInput{Item: "pads", Step: "1", What: shop.WorkOpen})
	if w = n.sheet(); w.Ticked != 1 {
		t.Errorf("taken back under the new answer: %d ticked", w.Ticked)
	}
	// The fluid is agreed after all, and the wash became something else.
	again(func(e *estimate.Estimate) { e.Items[2].Job, e.Items[2].Name = "renew-cabin-filter", "Cabin filter" }, all...)
	w = n.sheet()
	if w.States[1].Cannot != "no fluid in stock" || w.Item("wash").Job != "renew-cabin-filter" || w.States[2].Done || w.States[0].Ticked != 0 || w.States[0].Minutes != 20 {
		t.Errorf("states %+v", w.States)
	}
	again(func(e *estimate.Estimate) { e.Items = e.Items[2:] }, "wash")
	for _, note := range n.sheet().Notes {
		if note.Said.Item != "" && note.Said.Item != "wash" || note.Said.Part != nil {
			t.Errorf("a note of what was taken out: %+v", note.Said)
		}
	}
}
