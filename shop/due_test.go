package shop_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/internal/simulate"
	"witnessmark/shop"
)

// dues gives a car's lines of a kind.
func (b *bench) dues(t testing.TB, carID, kind string) []shop.DueLine {
	t.Helper()
	all, err := b.CarDue(ctx, carID)
	if err != nil {
		t.Fatal(err)
	}
	return slices.DeleteFunc(all, func(l shop.DueLine) bool { return l.Kind != kind })
}

// dealing stores a record as another program would have.
func (b *bench) dealing(t testing.TB, id, kind, carID, ref string, body any) {
	t.Helper()
	data, err := json.Marshal(body)
	if err != nil {
		t.Fatal(err)
	}
	err = b.store.Update(ctx, func(w shop.Writer) error {
		_, err := w.Put(ctx, shop.Fact{Record: &shop.Record{ID: id, Kind: kind, CarID: carID, Ref: ref, Body: data, ReceivedAt: b.now.UnixMilli()}})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// answered makes an estimate with one item, offers it and answers it.
func (b *bench) answered(t testing.TB, carID, job, at string, a estimate.Answer) (decision string) {
	t.Helper()
	n := b.id()
	draft, offer := b.id(), b.id()
	decision = b.id()
	e := estimate.Estimate{Number: n, Version: 1, VisitOn: "2026-04-02", ValidUntil: "2026-04-20", Owner: "Alma Brook",
		Terms: estimate.Terms{Currency: money.Currency{Code: "EUR", Exponent: 2}, Taxes: []estimate.Tax{{ID: "vat", Name: "VAT", Rate: 190_000}}, Round: 1},
		Items: []estimate.Item{{ID: "i1", Job: job, At: at, Name: "Renew the brake fluid", Why: "It was opaque.",
			Lines: []estimate.Line{{ID: "l1", Kind: estimate.Labour, Name: "Labour", Milli: 500, Unit: "h", Price: 8000, Tax: "vat"}}}}}
	b.dealing(t, draft, shop.KindEstimate, carID, "", shop.EstimateDraft{Estimate: e, Did: "made"})
	b.dealing(t, offer, shop.KindOffer, carID, draft, shop.Offer{TokenHash: strings.Repeat("a", 64), Digest: strings.Repeat("b", 64), ExpiresAt: b.now.UnixMilli() + 1})
	a.Item = "i1"
	b.dealing(t, decision, shop.KindDecision, carID, offer, shop.Decision{How: shop.BySign, Name: "Alma Brook", Digest: strings.Repeat("b", 64), Answers: []estimate.Answer{a}})
	return decision
}

func TestNextLookIsDue(t *testing.T) {
	b := newBench(t)
	car := b.car(t, nil).CarID
	if got := b.dues(t, car, shop.DueLook); len(got) != 0 {
		t.Errorf("a car without a round is due for a look: %+v", got)
	}
	b.round(t, car)
	got := b.dues(t, car, shop.DueLook)
	// 2026-03-21 and 183 days.
	if len(got) != 1 || got[0].On != "2026-09-20" || got[0].What != "Seasonal check" {
		t.Fatalf("%+v", got)
	}
	b.now = b.now.AddDate(4, 0, 0)
	if got, _ := b.CarDue(ctx, car); len(got) != 0 {
		t.Errorf("a car not seen for years: %+v", got)
	}
}

// found is a car whose brake fluid was found opaque.
func found(t *testing.T) (*bench, string, shop.RoundFact) {
	t.Helper()
	b := newBench(t)
	car := b.car(t, nil).CarID
	r := b.round(t, car)
	b.see(t, r.ID, "brake-fluid-look", "", "opaque")
	l := b.dues(t, car, shop.DueFinding)
	if len(l) != 1 || l[0].On != "2026-03-21" || l[0].RoundID != r.ID || !strings.Contains(l[0].Tell, "21 March 2026. It was past its limit then: have it done now. If you wait") ||
		strings.Contains(l[0].Tell, "visit") {
		t.Fatalf("%+v", l)
	}
	return b, car, r
}

// gone checks that nothing that was found is left on the list.
func (b *bench) gone(t *testing.T, car string) {
	t.Helper()
	if l := b.dues(t, car, shop.DueFinding); len(l) != 0 {
		t.Errorf("still there: %+v", l)
	}
}

func TestFindingIsDueUntilSomethingHappens(t *testing.T) {
	t.Run("renewed", func(t *testing.T) {
		b, car, _ := found(t)
		if err := b.AddRenewal(ctx, shop.RenewalInput{ID: b.id(), CarID: car, Item: "brake-fluid", On: "2026-03-21", Km: "182400"}); err != nil {
			t.Fatal(err)
		}
		b.gone(t, car)
	})
	t.Run("looked at again", func(t *testing.T) {
		b, car, _ := found(t)
		b.now = b.now.AddDate(0, 0, 1)
		r := b.round(t, car)
		b.see(t, r.ID, "brake-fluid-look", "", "clear-pale")
		b.gone(t, car)
	})
	t.Run("another round that looked elsewhere", func(t *testing.T) {
		b, car, _ := found(t)
		b.now = b.now.AddDate(0, 0, 1)
		b.see(t, b.round(t, car).ID, "coolant-level", "", "in-band")
		if l := b.dues(t, car, shop.DueFinding); len(l) != 1 {
			t.Errorf("%+v", l)
		}
	})
	t.Run("settled and put back", func(t *testing.T) {
		b, car, _ := found(t)
		l := b.dues(t, car, shop.DueFinding)[0]
		id := b.id()
		for range 2 { // a double click
			if err := b.Settle(ctx, id, car, l.ID, "done elsewhere", "ab", false); err != nil {
				t.Fatal(err)
			}
		}
		b.gone(t, car)
		if err := b.DuePass(ctx); err != nil {
			t.Fatal(err)
		}
		list, err := b.Due(ctx, shop.DueFilter{Settled: true})
		if err != nil || len(list.Rows) != 1 || list.Rows[0].Settled.Said.Why != "done elsewhere" {
			t.Fatalf("%+v, %v", list, err)
		}
		if err := b.Settle(ctx, b.id(), car, l.ID, "", "ab", true); err != nil {
			t.Fatal(err)
		}
		if back := b.dues(t, car, shop.DueFinding); len(back) != 1 || back[0].ID != l.ID {
			t.Errorf("%+v", back)
		}
	})
}

func TestFindingIsDueUntilItIsAnswered(t *testing.T) {
	job := ""
	for _, answer := range []string{estimate.Accept, estimate.Decline, estimate.PutOff} {
		t.Run("answered: "+answer, func(t *testing.T) {
			b, car, r := found(t)
			j, err := b.Findings(ctx, r.ID)
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range j.Result.Findings {
				if f.Point.ID == "brake-fluid-look" {
					job = f.Jobs[0]
				}
			}
			b.answered(t, car, "another-job", "", estimate.Answer{Answer: answer, UntilOn: "2026-05-02"})
			if l := b.dues(t, car, shop.DueFinding); len(l) != 1 {
				t.Fatalf("an answer about something else: %+v", l)
			}
			b.answered(t, car, job, "", estimate.Answer{Answer: answer, UntilOn: "2026-05-02"})
			b.gone(t, car)
		})
	}
}

func TestVisitAndPutOffComeBack(t *testing.T) {
	b := newBench(t)
	car := b.car(t, nil).CarID
	b.round(t, car) // 171 200 km on 2025-09-12, 182 400 km on 2026-03-21: about 59 km a day
	visit := b.answered(t, car, "a", "", estimate.Answer{Answer: estimate.Accept})
	day := b.answered(t, car, "b", "", estimate.Answer{Answer: estimate.PutOff, UntilOn: "2026-05-02"})
	far := b.answered(t, car, "c", "", estimate.Answer{Answer: estimate.PutOff, UntilKm: 186000})
	both := b.answered(t, car, "d", "", estimate.Answer{Answer: estimate.PutOff, UntilOn: "2026-04-10", UntilKm: 190000})
	if v := b.dues(t, car, shop.DueVisit); len(v) != 1 || v[0].ID != "visit/"+visit || v[0].On != "2026-04-02" {
		t.Errorf("%+v", v)
	}
	by := map[string]shop.DueLine{}
	for _, l := range b.dues(t, car, shop.DuePutOff) {
		by[l.Decision] = l
	}
	if l := by[day]; l.ID != day+"/i1" || l.On != "2026-05-02" || l.From != "" || !strings.Contains(l.Sure, "Certain") {
		t.Errorf("by day: %+v", l)
	}
	// 3600 km at 59 km a day are 61 days: 21 May.
	if l := by[far]; l.On < "2026-05-05" || l.On > "2026-06-10" || !(l.From < l.On && l.On < l.To) || !strings.Contains(l.Sure, "8 of 10") {
		t.Errorf("by distance: %+v", l)
	}
	if l := by[both]; l.On != "2026-04-10" {
		t.Errorf("by both: %+v", l)
	}
	b.answered(t, car, "b", "", estimate.Answer{Answer: estimate.Accept})
	if l := b.dues(t, car, shop.DuePutOff); len(l) != 2 {
		t.Errorf("one was accepted later, and %d are left: %+v", len(l), l)
	}
}

func TestPutOffIsGoneOnceRenewed(t *testing.T) {
	b := newBench(t)
	car := b.car(t, nil).CarID
	b.round(t, car)
	job := ""
	for id, j := range b.Catalogue().Jobs {
		if slices.Equal(j.Renews, []string{"brake-fluid"}) && (job == "" || id < job) {
			job = id
		}
	}
	if job == "" {
		t.Fatal("no job renews the brake fluid")
	}
	b.answered(t, car, job, "", estimate.Answer{Answer: estimate.PutOff, UntilOn: "2026-05-02"})
	if l := b.dues(t, car, shop.DuePutOff); len(l) != 1 {
		t.Fatalf("%+v", l)
	}
	b.now = b.now.AddDate(0, 0, 3)
	if err := b.AddRenewal(ctx, shop.RenewalInput{ID: b.id(), CarID: car, Item: "brake-fluid", On: "2026-03-24", Km: "182500"}); err != nil {
		t.Fatal(err)
	}
	if l := b.dues(t, car, shop.DuePutOff); len(l) != 0 {
		t.Errorf("%+v", l)
	}
}

// What the background keeps is what a car's own page works out, also after something has changed, and on another day.
func TestListIsWhatEachCarSays(t *testing.T) {
	b, _ := fleet(t, simulate.Options{Seed: 5, Cars: 6, Years: 3})
	if l, err := b.Due(ctx, shop.DueFilter{}); err != nil || l.Ready || len(l.Rows) != 0 {
		t.Fatalf("before the first pass: %+v, %v", l, err)
	}
	check := func() int {
		t.Helper()
		list, err := b.Due(ctx, shop.DueFilter{})
		if err != nil || !list.Ready || list.Done != list.Total || list.Total != 6 {
			t.Fatalf("%d of %d cars, ready %v, %v", list.Done, list.Total, list.Ready, err)
		}
		n := 0
		for _, id := range b.cars(t) {
			want, err := b.CarDue(ctx, id)
			if err != nil {
				t.Fatal(err)
			}
			var got []shop.DueLine
			for _, row := range list.Rows {
				if row.CarID == id {
					got = append(got, row.DueLine)
				}
			}
			if !slices.Equal(got, want) {
				t.Errorf("%s: the list has\n%+v\nand the car\n%+v", id, got, want)
			}
			seen := map[string]bool{}
			for _, l := range want {
				if seen[l.ID] || l.On == "" || l.Sure == "" || l.Why == "" || l.What == "" || l.Tell == "" || strings.Contains(l.Tell+l.Why, "%!") {
					t.Errorf("a poor line: %+v", l)
				}
				seen[l.ID] = true
			}
			n += len(want)
		}
		return n
	}
	if err := b.DuePass(ctx); err != nil {
		t.Fatal(err)
	}
	if n := check(); n < 6 {
		t.Fatalf("only %d lines", n)
	}
	list, _ := b.Due(ctx, shop.DueFilter{})
	l := list.Rows[0]
	if err := b.Settle(ctx, b.id(), l.CarID, l.DueLine.ID, "", "", false); err != nil {
		t.Fatal(err)
	}
	check()
	b.now = b.now.AddDate(0, 0, 1) // on another day the background works all out anew
	if err := b.DuePass(ctx); err != nil {
		t.Fatal(err)
	}
	check()
}

// A line that says the same keeps the moment of its last revision; one that says something else gets a later one.
func TestRevisionNeverGoesBack(t *testing.T) {
	b, _ := fleet(t, simulate.Options{Seed: 5, Cars: 2, Years: 3})
	type said struct {
		text    string
		changed int64
	}
	last := map[string]said{}
	kept := 0
	for range 12 {
		if err := b.DuePass(ctx); err != nil {
			t.Fatal(err)
		}
		for _, id := range b.cars(t) {
			lines, err := b.CarDue(ctx, id)
			if err != nil {
				t.Fatal(err)
			}
			for _, l := range lines {
				text := strings.Join([]string{l.On, l.What, l.Why, l.Sure, l.From, l.To}, "|")
				was, ok := last[l.ID]
				switch {
				case ok && l.Changed < was.changed:
					t.Errorf("%s went back", l.ID)
				case ok && text != was.text && l.Changed == was.changed:
					t.Errorf("%s says something else since the same moment", l.ID)
				case ok && text == was.text && l.Changed == was.changed:
					kept++
				}
				last[l.ID] = said{text, l.Changed}
			}
		}
		b.now = b.now.Add(10 * time.Hour)
	}
	if kept == 0 {
		t.Error("every line got a new revision each time")
	}
}

// What was settled is off the list at once, even when all cars are to be worked out anew, on a new day for one.
func TestSettledIsSeenAtOnce(t *testing.T) {
	b, _ := fleet(t, simulate.Options{Seed: 5, Cars: 9, Years: 2})
	if err := b.DuePass(ctx); err != nil {
		t.Fatal(err)
	}
	b.now = b.now.AddDate(0, 0, 1)
	list, err := b.Due(ctx, shop.DueFilter{})
	if err != nil || len(list.Rows) == 0 {
		t.Fatal(err)
	}
	last := list.Rows[len(list.Rows)-1]
	if err := b.Settle(ctx, b.id(), last.CarID, last.DueLine.ID, "", "", false); err != nil {
		t.Fatal(err)
	}
	off, err := b.Due(ctx, shop.DueFilter{Settled: true})
	if err != nil || len(off.Rows) != 1 || off.Rows[0].DueLine.ID != last.DueLine.ID {
		t.Errorf("%+v, %v", off.Rows, err)
	}
}
