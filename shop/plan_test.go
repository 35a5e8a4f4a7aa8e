package shop_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/internal/simulate"
	"witnessmark/shop"
)

// TestPlanOfInventedCars: every want of invented cars stands at one visit or is named as unplaced, what must be done stands at the
// first, nothing stands before the day until which it was put off or after its last, and the plan is proven.
func TestPlanOfInventedCars(t *testing.T) {
	b, _ := fleet(t, simulate.Options{Seed: 11, Cars: 6, Years: 4})
	for _, id := range b.cars(t) {
		wants, err := b.Wants(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		p, err := b.Plan(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		if !p.Proven {
			t.Errorf("%s: not proven, gap %g", id, p.Gap)
		}
		places := placesOf(t, p)
		for _, w := range wants {
			key := w.Job
			if w.At != "" {
				key += "@" + w.At
			}
			if places[key] != 1 {
				t.Errorf("%s: %s stands %d times", id, key, places[key])
			}
		}
		if len(places) != len(wants) {
			t.Errorf("%s: %d places of %d wants", id, len(places), len(wants))
		}
	}
}

// TestPlanWithinBudget: a budget bounds what the owner pays at each visit and is written as it was typed; what it is too small for is named
// with its price, and no amount, however large, and no currency's digits keep a plan from being made.
func TestPlanWithinBudget(t *testing.T) {
	b, _ := fleet(t, simulate.Options{Seed: 11, Cars: 2, Years: 3})
	terms := euros()
	terms.VisitCost = 3000
	if err := b.SaveTerms(ctx, b.id(), "ab", terms); err != nil {
		t.Fatal(err)
	}
	car := b.cars(t)[0]
	within := func(budget money.Amount) *shop.CarPlan {
		t.Helper()
		p, err := b.PlanWithin(ctx, car, budget)
		if err != nil {
			t.Fatalf("within %d: %v", budget, err)
		}
		for _, v := range p.Visits {
			if budget > 0 && v.Cost > budget {
				t.Errorf("within %d: %s costs %d", budget, v.Name, v.Cost)
			}
		}
		return p
	}
	free := within(0)
	if p := within(money.Most); len(p.Visits) != len(free.Visits) {
		t.Errorf("%d visits with the largest budget, %d without one", len(p.Visits), len(free.Visits))
	}
	small := within(100)
	if len(small.Visits) != 0 || len(small.Unplaced) == 0 {
		t.Fatalf("1 euro is enough for %d visits", len(small.Visits))
	}
	for _, u := range small.Unplaced {
		if !strings.Contains(u.Reason, "leave at most 1.00\u00a0EUR") {
			t.Errorf("%q", u.Reason)
		}
	}
	// What an estimate is made of is the plan within the same budget, not the one without.
	budget := money.Amount(0)
	for _, v := range free.Visits[:1] {
		budget = v.Cost / 2
	}
	some := within(budget)
	if len(some.Visits) == 0 {
		t.Fatalf("%d is enough for nothing", budget)
	}
	number, err := b.MakeDraftWithin(ctx, car, b.id(), "ab", some.Visits[0].On, budget)
	if err != nil {
		t.Fatal(err)
	}
	d, err := b.Draft(ctx, number)
	if err != nil {
		t.Fatal(err)
	}
	if total, err := estimate.Total(d.Said.Estimate, nil); err != nil || total.ToPay != some.Visits[0].Cost {
		t.Errorf("the estimate of the first visit within %d asks %d, the plan %d (%v)", budget, total.ToPay, some.Visits[0].Cost, err)
	}
	idr, _ := money.Known("IDR")
	terms.Estimate.Currency = idr
	terms.HourRate, terms.VisitCost = 9_000_000_000, 1_000_000_000
	if err := b.SaveTerms(ctx, b.id(), "ab", terms); err != nil {
		t.Fatal(err)
	}
	if p := within(0); len(p.Visits) == 0 {
		t.Error("no plan in a currency with large amounts")
	}
	within(5_000_000_000_000)
}

// placesOf counts where each want stands, and holds each against its days.
func placesOf(t *testing.T, p *shop.CarPlan) map[string]int {
	t.Helper()
	out := map[string]int{}
	for _, v := range p.Visits {
		for _, w := range v.Wants {
			out[w.Key]++
			if w.Must && v.On != p.Today {
				t.Errorf("%s must be done and stands on %s", w.Key, v.On)
			}
			if w.HardOn != "" && v.On > max(w.HardOn, p.Today) || v.On < w.NotBefore {
				t.Errorf("%s stands on %s, last day %s, not before %s", w.Key, v.On, w.HardOn, w.NotBefore)
			}
			if w.Here == "" && !slices.ContainsFunc(v.Wants, func(o shop.PlannedWant) bool { return o.Key != w.Key }) && v.In {
				t.Errorf("%s says nothing of why it stands on %s", w.Key, v.On)
			}
		}
	}
	for _, w := range p.Unplaced {
		out[w.Key]++
	}
	return out
}

// BenchmarkPlan plans one invented car from facts that are in memory. Budget: 200 ms, so that its page answers within half a second.
func BenchmarkPlan(b *testing.B) {
	shop, _ := fleet(b, simulate.Options{Seed: 11, Cars: 3, Years: 4})
	id := shop.cars(b)[0]
	if _, err := shop.Plan(ctx, id); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := shop.Plan(ctx, id); err != nil {
			b.Fatal(err)
		}
	}
}

// Nothing that a form sends is stored which an import of the workshop's export would refuse.
func TestNothingIsStoredThatAnImportRefuses(t *testing.T) {
	b := newBench(t)
	car := b.car(t, nil).CarID
	long := strings.Repeat("x", 5000)
	for _, key := range []string{"", "@F", long} {
		if err := b.Place(ctx, b.id(), car, "ab", key, ""); !errors.Is(err, shop.ErrNotFound) {
			t.Errorf("placed %.20q: %v", key, err)
		}
	}
	for _, due := range []string{" ", long} {
		var bad shop.Invalid
		if err := b.Settle(ctx, b.id(), car, due, "done", "ab", false); !errors.As(err, &bad) {
			t.Errorf("settled %.20q: %v", due, err)
		}
	}
	if n := b.kinds(t, shop.KindPlaced) + b.kinds(t, shop.KindSettled); n != 0 {
		t.Errorf("%d records", n)
	}
}

// TestWhyOfWhatWasNotMeasuredSince: what is foreseen of a part that was renewed and not measured since has its reason in words, too.
func TestWhyOfWhatWasNotMeasuredSince(t *testing.T) {
	b, _ := fleet(t, simulate.Options{Seed: 11, Cars: 6, Years: 4})
	foreseen := 0
	for _, id := range b.cars(t) {
		for _, corner := range []string{"FL", "FR", "RL", "RR"} {
			if err := b.AddRenewal(ctx, shop.RenewalInput{ID: b.id(), CarID: id, Item: "tyres", At: corner, On: b.now.Format("2006-01-02"), By: "ab"}); err != nil {
				t.Fatal(err)
			}
		}
		wants, err := b.Wants(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range wants {
			if strings.HasSuffix(strings.TrimSpace(w.Why), ":") {
				t.Errorf("%s: %s at %q: %q", id, w.Job, w.At, w.Why)
			}
			if w.Job == "renew-tyre" && w.From == shop.FromOutlook {
				foreseen++
			}
		}
	}
	if foreseen == 0 {
		t.Error("no new tyre is foreseen to wear out, so nothing was looked at")
	}
}
