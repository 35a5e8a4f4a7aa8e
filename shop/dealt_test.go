package shop_test

import (
	"slices"
	"strings"
	"testing"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/shop"
)

// wantOf finds a want by its job and place.
func wantOf(list []shop.Want, job, at string) *shop.Want {
	i := slices.IndexFunc(list, func(w shop.Want) bool { return w.Job == job && w.At == at })
	if i < 0 {
		return nil
	}
	return &list[i]
}

// TestAgreedIsNotPlannedAgain follows worn pads from the finding to the yes and the close-out: once agreed they are not planned again, and
// what could not be done comes back at once, in the plan and on the due list, until the owner answers anew.
func TestAgreedIsNotPlannedAgain(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil)
	r := b.worn(t, c.CarID)
	if list, _ := b.wants(t, c.CarID); wantOf(list, "renew-pads", "F") == nil {
		t.Fatalf("the worn pads are not asked for: %+v", list)
	}
	decision := b.agreed(t, c.CarID, r.ID, all...)
	if list, _ := b.wants(t, c.CarID); wantOf(list, "renew-pads", "F") != nil {
		t.Error("agreed pads are planned again")
	}
	plan, err := b.Plan(ctx, c.CarID)
	if err != nil || !slices.ContainsFunc(plan.Notes, func(n string) bool { return strings.Contains(n, "front brake pads") }) {
		t.Errorf("the plan does not say what is agreed: %q, %v", plan.Notes, err)
	}
	if err := b.CloseOut(ctx, b.closing(decision, "wash")); err != nil {
		t.Fatal(err)
	}
	list, _ := b.wants(t, c.CarID)
	w := wantOf(list, "renew-pads", "F")
	if w == nil || len(w.Dues) != 1 {
		t.Fatalf("pads that could not be fitted are asked for as %+v", w)
	}
	if fluid := wantOf(list, "renew-brake-fluid", ""); fluid == nil || fluid.From != shop.FromPutOff || !strings.Contains(fluid.Why, "could not be done on 21 March 2026: no time left.") {
		t.Errorf("fluid that could not be changed is asked for as %+v", fluid)
	}
	due, err := b.CarDue(ctx, c.CarID)
	if err != nil {
		t.Fatal(err)
	}
	back := 0
	for _, l := range due {
		if l.Kind == shop.DueNotDone {
			back++
		}
		if l.Kind == shop.DueFinding && strings.Contains(l.What, "pads") {
			t.Errorf("the pads stand twice: %+v", l)
		}
	}
	if back != 2 {
		t.Errorf("%d lines of what was not done, expected pads and fluid: %+v", back, due)
	}
	b.agreed(t, c.CarID, r.ID, "pads") // the fluid is declined now
	due, err = b.CarDue(ctx, c.CarID)
	if err != nil || slices.ContainsFunc(due, func(l shop.DueLine) bool { return l.Kind == shop.DueNotDone }) {
		t.Errorf("answered anew, and still due: %+v, %v", due, err)
	}
}

// TestTypedItemComesBack: an item that no job stands for comes back as it was typed, with its lines, when the owner put it off.
func TestTypedItemComesBack(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil)
	b.priced(t)
	r := b.worn(t, c.CarID)
	decision := b.agreed(t, c.CarID, r.ID, "wash")
	if err := b.CloseOut(ctx, b.closing(decision, "pads", "fluid")); err == nil {
		t.Fatal("items that were not agreed are closed out")
	}
	in := b.closing(decision)
	in.Items = slices.DeleteFunc(in.Items, func(it shop.ItemInput) bool { return it.Item != "wash" })
	if err := b.CloseOut(ctx, in); err != nil {
		t.Fatal(err)
	}
	number, err := b.MakeDraft(ctx, c.CarID, b.id(), "ab", "2026-03-21")
	if err != nil {
		t.Fatal(err)
	}
	d, err := b.Draft(ctx, number)
	if err != nil {
		t.Fatal(err)
	}
	for _, it := range d.Said.Estimate.Items {
		if it.ID == "wash" {
			if len(it.Lines) != 1 || it.Lines[0].Price != 8000 || !slices.ContainsFunc(d.Said.Estimate.Terms.Taxes, func(x estimate.Tax) bool { return x.ID == it.Lines[0].Tax }) {
				t.Errorf("came back as %+v", it)
			}
			return
		}
	}
	t.Errorf("the typed item is not on the new estimate: %+v", d.Said.Estimate.Items)
}

// TestTypedItemUnderOtherTerms: a price in another currency, or with tax where prices had none, is never taken over as a number.
func TestTypedItemUnderOtherTerms(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil)
	b.priced(t)
	r := b.worn(t, c.CarID)
	in := b.closing(b.agreed(t, c.CarID, r.ID, "wash"))
	in.Items = slices.DeleteFunc(in.Items, func(it shop.ItemInput) bool { return it.Item != "wash" })
	if err := b.CloseOut(ctx, in); err != nil {
		t.Fatal(err)
	}
	yen, _ := money.Known("JPY")
	for name, change := range map[string]func(*shop.Terms){
		"yen":      func(x *shop.Terms) { x.Estimate.Currency = yen },
		"tax held": func(x *shop.Terms) { x.Estimate.Included = !x.Estimate.Included },
	} {
		terms := euros()
		change(&terms)
		if err := b.SaveTerms(ctx, b.id(), "ab", terms); err != nil {
			t.Fatal(err)
		}
		number, err := b.MakeDraft(ctx, c.CarID, b.id(), "ab", "2026-03-21")
		if err != nil {
			t.Fatal(err)
		}
		e := b.draft(t, number)
		i := slices.IndexFunc(e.Items, func(it estimate.Item) bool { return it.ID == "wash" })
		if i < 0 || !e.Items[i].Lines[0].Open || e.Items[i].Lines[0].Price != 0 {
			t.Errorf("%s: came back as %+v", name, e.Items)
		}
	}
}

// What was put off on one estimate and is agreed on another is work to be done, and not planned again.
func TestPutOffButAgreedElsewhere(t *testing.T) {
	b := newBench(t)
	car := b.car(t, nil).CarID
	b.round(t, car)
	wanted := func() int {
		t.Helper()
		list, err := b.Wants(ctx, car)
		if err != nil {
			t.Fatal(err)
		}
		return len(slices.DeleteFunc(list, func(w shop.Want) bool { return w.Job != "renew-brake-fluid" }))
	}
	agreed := b.answered(t, car, "renew-brake-fluid", "", estimate.Answer{Answer: estimate.Accept})
	b.answered(t, car, "renew-brake-fluid", "", estimate.Answer{Answer: estimate.PutOff, UntilOn: "2026-05-02"})
	if n := wanted(); n != 0 {
		t.Errorf("%d times in the plan though it is agreed", n)
	}
	in := shop.CloseOutInput{ID: b.id(), DecisionID: agreed, On: b.now.Format("2006-01-02"), Km: "182400", By: "ab",
		Items: []shop.ItemInput{{Item: "i1", Outcome: shop.ItemWasNot, WhyNot: "no fluid in stock"}}}
	if err := b.CloseOut(ctx, in); err != nil {
		t.Fatal(err)
	}
	if n := wanted(); n != 1 {
		t.Errorf("%d times in the plan once the work is closed out without it", n)
	}
}
