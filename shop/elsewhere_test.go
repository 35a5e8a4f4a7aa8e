package shop_test

import (
	"strings"
	"testing"

	"witnessmark/core/estimate"
	"witnessmark/shop"
)

// heldElsewhere gives what other estimates hold of the estimate that a decision answered, and the sheet of its work.
func (b *bench) heldElsewhere(t *testing.T, decision string) ([]shop.Elsewhere, *shop.WorkSheet) {
	t.Helper()
	w, err := b.WorkSheet(ctx, decision)
	if err != nil {
		t.Fatal(err)
	}
	list, err := b.Elsewhere(ctx, w.Draft)
	if err != nil {
		t.Fatal(err)
	}
	return list, w
}

// TestAgreedTwice follows one job that an owner agreed to on two estimates: each tells of the other, the close-out of one shows on the
// other's sheet, and what was not done twice does not come back.
func TestAgreedTwice(t *testing.T) {
	b := newBench(t)
	car := b.car(t, nil).CarID
	r := b.worn(t, car)
	one := b.agreed(t, car, r.ID, "pads", "wash")
	if list, _ := b.heldElsewhere(t, one); len(list) != 0 {
		t.Fatalf("with one estimate: %+v", list)
	}
	two := b.agreed(t, car, r.ID, "pads", "fluid")
	first, sheet := b.heldElsewhere(t, one)
	n := sheet.Draft.Said.Estimate.Number
	if len(first) != 2 || first[0].Item != "pads" || first[0].Place != 1 || first[0].DecisionID != two || first[0].DoneOn != "" || first[1].Item != "fluid" {
		t.Fatalf("the first estimate is told %+v", first)
	}
	if x := sheet.States[0].Elsewhere; len(x) != 1 || x[0].DecisionID != two || len(sheet.States[1].Elsewhere) != 0 {
		t.Errorf("the first sheet: %+v", sheet.States)
	}
	in := b.closing(one, "pads")
	in.Items = []shop.ItemInput{in.Items[0], in.Items[2]}
	if err := b.CloseOut(ctx, in); err != nil {
		t.Fatal(err)
	}
	second, sheet := b.heldElsewhere(t, two)
	if len(second) != 1 || second[0].Number != n || second[0].DoneOn != "2026-03-21" || len(sheet.States[0].Elsewhere) != 1 {
		t.Fatalf("the second estimate is told %+v", second)
	}
	in = b.closing(two, "fluid")
	in.Items = in.Items[:2]
	if err := b.CloseOut(ctx, in); err != nil {
		t.Fatal(err)
	}
	if list, _ := b.wants(t, car); wantOf(list, "renew-pads", "F") != nil {
		t.Errorf("pads that were fitted on the other estimate come back: %+v", list)
	}
	if l := b.dues(t, car, shop.DueNotDone); len(l) != 1 || l[0].What != "=Wash the car" {
		t.Errorf("due as not done: %+v", l)
	}
	// What was done before an estimate was made is another time's work.
	if list, _ := b.heldElsewhere(t, b.agreed(t, car, r.ID, "pads")); len(list) != 0 {
		t.Errorf("a later estimate is told %+v", list)
	}
}

// A later answer to the same estimate takes its work back, and an answer that accepts nothing holds nothing.
func TestTakenBackIsNotElsewhere(t *testing.T) {
	b := newBench(t)
	car := b.car(t, nil).CarID
	r := b.worn(t, car)
	b.agreed(t, car, r.ID)
	one := b.agreed(t, car, r.ID, "pads")
	list, sheet := b.heldElsewhere(t, b.agreed(t, car, r.ID, "pads"))
	if len(list) != 1 || list[0].DecisionID != one {
		t.Fatalf("%+v", list)
	}
	again := sheet.Decision.Said
	again.Answers = []estimate.Answer{{Item: "pads", Answer: estimate.Decline}, {Item: "fluid", Answer: estimate.Decline}, {Item: "wash", Answer: estimate.Decline}}
	offer := b.put(t, shop.KindOffer, car, sheet.Draft.ID, shop.Offer{TokenHash: strings.Repeat("c", 64), Digest: again.Digest, ExpiresAt: 1})
	b.put(t, shop.KindDecision, car, offer, again)
	if list, _ := b.heldElsewhere(t, one); len(list) != 0 {
		t.Errorf("taken back, and still told: %+v", list)
	}
}

// TestCoveredIsLeftOut: what agreed work does on its way is not planned again, comes on no new estimate, and is told where an estimate
// has it already.
func TestCoveredIsLeftOut(t *testing.T) {
	b := newBench(t)
	car := b.car(t, nil).CarID
	b.priced(t)
	b.worn(t, car)
	before, err := b.MakeDraft(ctx, car, b.id(), "ab", "2026-03-21")
	if err != nil || len(b.draft(t, before).Items) == 0 || b.draft(t, before).Items[0].ID != "renew-pads@F" {
		t.Fatalf("%+v, %v", b.draft(t, before).Items, err)
	}
	b.answered(t, car, "renew-discs", "F", estimate.Answer{Answer: estimate.Accept})
	d, err := b.Draft(ctx, before)
	if err != nil {
		t.Fatal(err)
	}
	list, err := b.Elsewhere(ctx, d)
	if err != nil || len(list) != 1 || list[0].Item != "renew-pads@F" || list[0].Place != 1 {
		t.Fatalf("%+v, %v", list, err)
	}
	after, err := b.MakeDraft(ctx, car, b.id(), "ab", "2026-03-21")
	if err != nil {
		t.Fatal(err)
	}
	for _, it := range b.draft(t, after).Items {
		if it.ID == "renew-pads@F" {
			t.Error("pads that the agreed discs renew are on the new estimate")
		}
	}
}
