package shop_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/shop"
)

// warning is what is shown beside the item that must not be put off.
const warning = "The front pads are below the limit: stopping takes longer, and a hard stop may fail."

// asked is an estimate of four items: pads that must not be put off and discs behind share the wheels off, coolant and a cabin filter.
func asked(number string, version int) estimate.Estimate {
	euro, _ := money.Known("EUR")
	line := func(id string, price money.Amount) estimate.Line {
		return estimate.Line{ID: id, Kind: estimate.Labour, Name: "Labour " + id, Milli: 1000, Unit: "h", Price: price, Tax: "full"}
	}
	return estimate.Estimate{Number: number, Version: version, Workshop: []string{"Bench"}, Car: []string{"Estate 2.0 petrol"}, Owner: "Alma Brook", VisitOn: "2026-04-02", ValidUntil: "2026-04-20",
		Terms: estimate.Terms{Currency: euro, Taxes: []estimate.Tax{{ID: "full", Name: "VAT", Rate: 190_000}}},
		Items: []estimate.Item{
			{ID: "pads", Job: "renew-pads", At: "F", Name: "Renew the front brake pads", Must: true, Category: "dangerous", Warning: warning, Lines: []estimate.Line{line("l1", 10_000)}},
			{ID: "discs", Job: "renew-discs", At: "R", Name: "Renew the rear brake discs", Why: "They are near their limit.", Wait: "The next pads wear faster.", Lines: []estimate.Line{line("l2", 20_000)}},
			{ID: "coolant", Job: "renew-coolant", Name: "Renew the coolant", Lines: []estimate.Line{line("l3", 5_000)}},
			{ID: "filter", Job: "renew-cabin-filter", Name: "Renew the cabin filter", Lines: []estimate.Line{line("l4", 2_500)}},
		},
		Shared: []estimate.Shared{{Setup: "wheels-off", Name: "Wheels off", Lines: []estimate.Line{line("l5", 3_000)}, Items: []string{"pads", "discs"}}}}
}

// drawUp saves a version of an estimate as the builder does.
func (b *bench) drawUp(t testing.TB, carID string, e estimate.Estimate) {
	t.Helper()
	body, err := json.Marshal(shop.EstimateDraft{Estimate: e, Did: "made"})
	if err != nil {
		t.Fatal(err)
	}
	rec := shop.Record{ID: b.id(), Kind: shop.KindEstimate, CarID: carID, Once: fmt.Sprintf("estimate/%s/%d", e.Number, e.Version), Body: body, By: "ab", ReceivedAt: b.now.UnixMilli()}
	b.putFact(t, shop.Fact{Record: &rec})
}

func (b *bench) putFact(t testing.TB, f shop.Fact) {
	t.Helper()
	if err := b.store.Update(ctx, func(w shop.Writer) error { _, err := w.Put(ctx, f); return err }); err != nil {
		t.Fatal(err)
	}
}

// offer puts the latest version before the owner.
func (b *bench) offer(t testing.TB, number string) string {
	t.Helper()
	token, err := b.Offer(ctx, shop.OfferInput{Number: number, ID: b.id(), By: "ab"})
	if err != nil {
		t.Fatal(err)
	}
	return token
}

// accepting is an answer that accepts the pads, puts the discs off, declines the coolant and accepts the filter.
func accepting(form string, e estimate.Estimate) shop.DecideInput {
	return shop.DecideInput{Form: form, Digest: estimate.Digest(e), Name: "Alma Brook", Address: "192.0.2.7", Agent: "Phone", Answers: []shop.AnswerInput{
		{Item: "pads", Answer: "accept"}, {Item: "discs", Answer: "put-off", UntilOn: "2026-10-01", UntilKm: "190000"}, {Item: "coolant", Answer: "decline"}, {Item: "filter", Answer: "accept"}}}
}

// kinds counts the records of a kind.
func (b *bench) kinds(t testing.TB, kind string) int {
	t.Helper()
	n := 0
	if err := b.store.View(ctx, func(r shop.Reader) error {
		list, err := r.Records(ctx, shop.RecordFilter{Kind: kind})
		n = len(list)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return n
}

// offered is a workshop with one estimate before its owner.
func offeredBench(t testing.TB) (b *bench, car shop.CarVersion, token string) {
	b = newBench(t)
	car = b.car(t, nil)
	b.drawUp(t, car.CarID, asked("E-1", 1))
	return b, car, b.offer(t, "E-1")
}
