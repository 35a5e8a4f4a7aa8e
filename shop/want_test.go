package shop_test

import (
	"encoding/json"
	"errors"
	"slices"
	"strconv"
	"strings"
	"testing"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// wants lists what a car asks for, by doing.
func (b *bench) wants(t testing.TB, carID string) (list []shop.Want, by map[string]shop.Want) {
	t.Helper()
	list, err := b.Wants(ctx, carID)
	if err != nil {
		t.Fatal(err)
	}
	by = map[string]shop.Want{}
	for _, w := range list {
		key := w.Job + "@" + w.At
		if _, twice := by[key]; twice {
			t.Errorf("%s is wanted twice", key)
		}
		by[key] = w
	}
	return list, by
}

// measure records one figure.
func (b *bench) measure(t testing.TB, roundID, point, at, name, text string) {
	t.Helper()
	err := b.Record(ctx, []shop.ReadingInput{{ID: b.id(), RoundID: roundID, Point: point, At: at, Numbers: map[string]string{name: text}, By: "ab", Confirmed: true}})
	if err != nil {
		t.Fatal(err)
	}
}

// keep stores a record as another part of the workshop would.
func (b *bench) keep(t testing.TB, kind, carID, ref string, body any) string {
	t.Helper()
	data, err := json.Marshal(body)
	if err != nil {
		t.Fatal(err)
	}
	id := b.id()
	err = b.store.Update(ctx, func(w shop.Writer) error {
		_, err := w.Put(ctx, shop.Fact{Record: &shop.Record{ID: id, Kind: kind, CarID: carID, Ref: ref, Body: data, By: "ab", ReceivedAt: b.now.UnixMilli()}})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return id
}

// agree makes an estimate of one item, offers it and answers it.
func (b *bench) agree(t testing.TB, carID string, it estimate.Item, a estimate.Answer) (decision string) {
	t.Helper()
	draft := b.keep(t, shop.KindEstimate, carID, "", shop.EstimateDraft{Estimate: estimate.Estimate{Number: "1", Version: 1, Items: []estimate.Item{it}}})
	offer := b.keep(t, shop.KindOffer, carID, draft, shop.Offer{TokenHash: "x", Digest: "x"})
	return b.keep(t, shop.KindDecision, carID, offer, shop.Decision{How: shop.BySpoken, Name: "Alma Brook", Answers: []estimate.Answer{a}})
}

// worn is a car with pads past their mark in front, one of them down to the steel.
func worn(t testing.TB, last string) (*bench, shop.CarVersion, shop.RoundFact) {
	b := newBench(t)
	c := b.car(t, nil)
	r := b.round(t, c.CarID)
	b.measure(t, r.ID, "pad-thickness", "FL/outer", "mm", "1.5")
	b.measure(t, r.ID, "pad-thickness", "FR/inner", "mm", last)
	return b, c, r
}

func TestUnsafeMustBeDoneAndStandsOnce(t *testing.T) {
	b, c, r := worn(t, "0.5")
	list, by := b.wants(t, c.CarID)
	w, ok := by["renew-pads@F"]
	if !ok || list[0].Job != w.Job {
		t.Fatalf("the pads don't come first: %+v", list)
	}
	if !w.Must || w.HardOn != "2026-03-21" || w.Verdict != verdict.Unsafe || w.From != shop.FromFinding || w.RoundID != r.ID || w.Category == "" || w.Wait == "" {
		t.Errorf("%+v", w)
	}
	for _, at := range []string{"ront right", "ront left"} {
		if !strings.Contains(w.Why, at) {
			t.Errorf("the reason does not name %s: %q", at, w.Why)
		}
	}
	p, err := b.Plan(ctx, c.CarID)
	if err != nil || len(p.Visits) == 0 || p.Visits[0].On != "2026-03-21" || p.TermsSet {
		t.Fatalf("%+v %v", p, err)
	}
	// What must not wait can't be put on a later day, and nothing of the attempt is kept.
	err = b.Place(ctx, b.id(), c.CarID, "ab", "renew-pads@F", "2026-04-01")
	if bad := (shop.Invalid)(nil); !errors.As(err, &bad) || bad[0].Field != "on" {
		t.Errorf("put off all the same: %v", err)
	}
	if p, err = b.Plan(ctx, c.CarID); err != nil || p.Visits[0].Wants[0].Pinned {
		t.Errorf("%+v %v", p, err)
	}
}

func TestDoneSinceIsGone(t *testing.T) {
	b, c, r := worn(t, "1.4")
	b.see(t, r.ID, "wiper-arms", "1", "bent-or-weak")
	_, by := b.wants(t, c.CarID)
	if w := by["renew-pads@F"]; w.Must || w.HardOn != "2026-04-20" || w.Verdict != verdict.Overdue {
		t.Fatalf("%+v", w)
	}
	var arm shop.Want
	for _, w := range by {
		if strings.Contains(w.Why, "iper arm") {
			arm = w
		}
	}
	if arm.Job == "" {
		t.Fatalf("the bent arm asks for nothing: %+v", by)
	}
	// A renewal answers the pads, a close-out the arm, which nothing renews.
	if err := b.AddRenewal(ctx, shop.RenewalInput{ID: b.id(), CarID: c.CarID, Item: "pads", At: "F", On: "2026-03-21", Km: "182400", By: "ab"}); err != nil {
		t.Fatal(err)
	}
	d := b.agree(t, c.CarID, estimate.Item{ID: "i", Job: arm.Job, At: arm.At, Name: arm.Name}, estimate.Answer{Item: "i", Answer: estimate.Accept})
	b.keep(t, shop.KindCloseOut, c.CarID, d, shop.CloseOut{On: "2026-03-21", Km: 182400, Items: []shop.ItemDone{{Item: "i", Done: true}},
		Follows: []shop.Follow{{ID: "f", Say: "Look at the arm again.", On: "2026-04-10"}}})
	_, by = b.wants(t, c.CarID)
	if w, ok := by["renew-pads@F"]; ok && w.From == shop.FromFinding {
		t.Errorf("renewed since and asked for: %+v", w)
	}
	if w, ok := by[arm.Job+"@"+arm.At]; ok {
		t.Errorf("done since and asked for: %+v", w)
	}
	if !slices.ContainsFunc(keys(by), func(k string) bool {
		return strings.HasPrefix(k, "look:") && by[k].From == shop.FromFollowUp && by[k].DueOn == "2026-04-10"
	}) {
		t.Errorf("the look that the work calls for is missing: %v", keys(by))
	}
}

func keys[V any](m map[string]V) (out []string) {
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

func TestPutOffNotBeforeItsDay(t *testing.T) {
	b, c, _ := worn(t, "1.4")
	d := b.agree(t, c.CarID, estimate.Item{ID: "i", Job: "renew-pads", At: "F", Name: "Renew the brake pads"}, estimate.Answer{Item: "i", Answer: estimate.PutOff, UntilOn: "2026-08-15"})
	_, by := b.wants(t, c.CarID)
	w := by["renew-pads@F"]
	if w.NotBefore != "2026-08-15" || w.HardOn != "" || !slices.Equal(w.Dues, []string{d + "/i"}) {
		t.Errorf("%+v", w)
	}
	p, err := b.Plan(ctx, c.CarID)
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range p.Visits {
		for _, x := range v.Wants {
			if x.Key == "renew-pads@F" && v.On < "2026-08-15" {
				t.Errorf("put off and planned on %s", v.On)
			}
		}
	}
	// Settled, it is a finding again.
	b.keep(t, shop.KindSettled, c.CarID, "", shop.Settled{Due: d + "/i", Why: "asked again"})
	if _, by = b.wants(t, c.CarID); by["renew-pads@F"].NotBefore != "" || by["renew-pads@F"].HardOn != "2026-04-20" {
		t.Errorf("settled: %+v", by["renew-pads@F"])
	}
}

func TestPlacedByHandAndLetGo(t *testing.T) {
	b, c, _ := worn(t, "1.4")
	m, err := b.PlanMove(ctx, c.CarID, "renew-pads@F", "2026-04-01", 0)
	if err != nil || !m.Fits || m.More <= 0 || !strings.Contains(m.Words[0], "more than the plan") {
		t.Fatalf("%+v %v", m, err)
	}
	id := b.id()
	for range 2 { // a form sent twice
		if err := b.Place(ctx, id, c.CarID, "ab", "renew-pads@F", "2026-04-01"); err != nil {
			t.Fatal(err)
		}
	}
	at := func() (on string, pinned bool) {
		p, err := b.Plan(ctx, c.CarID)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range p.Visits {
			for _, w := range v.Wants {
				if w.Key == "renew-pads@F" {
					return v.On, w.Pinned
				}
			}
		}
		return "", false
	}
	if on, pinned := at(); on != "2026-04-01" || !pinned {
		t.Errorf("placed by hand, it stands on %q, pinned %v", on, pinned)
	}
	if err := b.Place(ctx, b.id(), c.CarID, "ab", "renew-pads@F", ""); err != nil {
		t.Fatal(err)
	}
	if on, pinned := at(); on != "2026-03-21" || pinned {
		t.Errorf("let go, it stands on %q, pinned %v", on, pinned)
	}
	for _, on := range []string{"2026-03-20", "2029-01-01", "tomorrow"} {
		if err := b.Place(ctx, b.id(), c.CarID, "ab", "renew-pads@F", on); !errors.As(err, new(shop.Invalid)) {
			t.Errorf("placed on %s: %v", on, err)
		}
	}
	if err := b.Place(ctx, b.id(), c.CarID, "ab", "no-such-job", "2026-04-01"); !errors.Is(err, shop.ErrNotFound) {
		t.Errorf("what is not wanted: %v", err)
	}
}

// TestWhyHere: the words of why a job stands where it stands, in a workshop without terms. Minutes are the catalogue's: on the lift 8,
// front wheels off 14.
func TestWhyHere(t *testing.T) {
	b, c, r := worn(t, "0.5")
	for _, at := range []string{"FL", "FR"} {
		b.see(t, r.ID, "brake-hoses", at, "cracked-or-pitted")
	}
	p, err := b.Plan(ctx, c.CarID)
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]string{}
	for _, v := range p.Visits {
		for _, w := range v.Wants {
			got[w.Key] = w.Here
		}
	}
	for key, want := range map[string]string{
		"renew-pads@F":        "It must not wait. With renew the brake hoses of the axle, front axle: shares on the lift and front wheels off, saves 22 minutes.",
		"renew-brake-hoses@F": "It must be done by 20 April 2026. With renew the brake pads of the axle, front axle: shares on the lift and front wheels off, saves 22 minutes. The next best is spring check, 1 April 2026, which weighs 109 minutes of labour more.",
	} {
		if got[key] != want {
			t.Errorf("%s: %q, not %q", key, got[key], want)
		}
	}
}

// TestPlanInMoney: with terms, a visit costs what its estimate comes to, moves are told in the workshop's currency, and a bound on a
// visit's money moves what may wait.
func TestPlanInMoney(t *testing.T) {
	b, c, r := worn(t, "0.5")
	for _, at := range []string{"FL", "FR"} {
		b.see(t, r.ID, "brake-hoses", at, "chafed-or-surface-rust")
	}
	eur, _ := money.Known("EUR")
	terms := shop.Terms{Estimate: estimate.Terms{Currency: eur, Taxes: []estimate.Tax{{ID: "tax", Name: "Tax", Rate: 190_000}}}, LabourTax: "tax", PartsTax: "tax",
		HourRate: 90_00, VisitCost: 40_00, VisitMinutes: 480, ValidDays: 14, RemindDays: 21}
	if err := b.SaveTerms(ctx, b.id(), "ab", terms); err != nil {
		t.Fatal(err)
	}
	p, err := b.Plan(ctx, c.CarID)
	if err != nil || !p.TermsSet || len(p.Visits) == 0 {
		t.Fatalf("%+v %v", p, err)
	}
	number, err := b.MakeDraft(ctx, c.CarID, b.id(), "ab", p.Visits[0].On)
	if err != nil {
		t.Fatal(err)
	}
	d, err := b.Draft(ctx, number)
	if err != nil {
		t.Fatal(err)
	}
	sum, err := estimate.Total(d.Said.Estimate, nil)
	if err != nil || sum.ToPay != p.Visits[0].Cost || sum.ToPay < money.Amount(p.Visits[0].Minutes)*150 { // 90.00 an hour are 1.50 a minute
		t.Errorf("the visit costs %d, its estimate %d, %v", p.Visits[0].Cost, sum.ToPay, err)
	}
	m, err := b.PlanMove(ctx, c.CarID, "renew-brake-hoses@F", "2026-04-01", 0)
	if err != nil || !m.Fits || !strings.Contains(m.Words[0], "EUR") {
		t.Errorf("%+v %v", m, err)
	}
	first := p.Visits[0]
	bound, err := b.PlanWithin(ctx, c.CarID, first.Cost-1)
	if err != nil || len(bound.Visits) == 0 || bound.Visits[0].Cost >= first.Cost || len(bound.Visits[0].Wants) >= len(first.Wants) || !bound.Visits[0].Wants[0].Must {
		t.Errorf("within %d: %+v %v", first.Cost-1, bound, err)
	}
	// Less than what must not wait costs: it is named, not left out in silence.
	none, err := b.PlanWithin(ctx, c.CarID, 1)
	if err != nil || len(none.Unplaced) == 0 || none.Unplaced[0].Reason == "" {
		t.Errorf("within nothing: %+v %v", none, err)
	}
}

// TestOnlyOneHasNoNumber: a counted part that the car has once is named without a number, in the plan, the report and the due list; of two
// each has its own.
func TestOnlyOneHasNoNumber(t *testing.T) {
	for count, names := range map[string][]string{"1": {"Renew the air filter"}, "2": {"Renew the air filter, no. 1", "Renew the air filter, no. 2"}} {
		b := newBench(t)
		c := b.car(t, func(in *shop.CarInput) { in.Facets["air-filter-count"] = count })
		r := b.round(t, c.CarID)
		for i := range names {
			b.see(t, r.ID, "air-filter", strconv.Itoa(i+1), "loaded")
		}
		list, _ := b.wants(t, c.CarID)
		for i, name := range names {
			w := wantOf(list, "renew-air-filter", strconv.Itoa(i+1))
			if w == nil || w.Name != name || strings.Contains(w.Why, "o. 1") != (count == "2" && i == 0) {
				t.Errorf("%s filters: %+v", count, w)
			}
		}
		page, err := b.CarPage(ctx, c.CarID)
		if err != nil {
			t.Fatal(err)
		}
		for _, it := range page.Items {
			if it.Point.ID == "air-filter" && (it.Where == "") != (count == "1") {
				t.Errorf("%s filters: %q", count, it.Where)
			}
		}
	}
}
