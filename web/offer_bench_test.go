package web

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/shop"
)

const askWarning = "The front pads are below the limit: a hard stop may fail."

// estimated saves a version of an estimate of three items on the bench's car, as the builder does.
func (b *bench) estimated(number string, version int) estimate.Estimate {
	b.t.Helper()
	euro, _ := money.Known("EUR")
	line := func(id string, price money.Amount) []estimate.Line {
		return []estimate.Line{{ID: id, Kind: estimate.Labour, Name: "Labour " + id, Milli: 1500, Unit: "h", Price: price, Tax: "full"}}
	}
	e := estimate.Estimate{Number: number, Version: version, Owner: "Alma Brook", VisitOn: "2026-04-02", ValidUntil: "2026-04-20",
		Terms: estimate.Terms{Currency: euro, Taxes: []estimate.Tax{{ID: "full", Name: "VAT", Rate: 190_000}}},
		Items: []estimate.Item{
			{ID: "pads", Job: "renew-pads", At: "F", Name: "Renew the front brake pads", Why: "2.1 mm are left.", Wait: "Stopping takes longer.", Must: true, Category: "dangerous", Warning: askWarning, Lines: line("l1", 10_000)},
			{ID: "discs", Job: "renew-discs", At: "R", Name: "Renew the rear brake discs", Lines: line("l2", 20_000)},
			{ID: "coolant", Job: "renew-coolant", Name: "Renew the coolant", Lines: line("l3", 5_000)},
		},
		Shared: []estimate.Shared{{Setup: "wheels-off", Name: "Wheels off", Lines: line("l4", 2_000), Items: []string{"pads", "discs"}}}}
	body, err := json.Marshal(shop.EstimateDraft{Estimate: e, Did: "made"})
	b.must(err)
	rec := shop.Record{ID: b.shop.NewID(), Kind: shop.KindEstimate, CarID: b.car, Once: fmt.Sprintf("estimate/%s/%d", number, version), Body: body}
	ctx := context.Background()
	b.must(b.store.Update(ctx, func(w shop.Writer) error { _, err := w.Put(ctx, shop.Fact{Record: &rec}); return err }))
	return e
}

// linked makes a link through the pages and gives its path.
func (b *bench) linked(number string) string {
	b.t.Helper()
	page := b.page("/estimates/" + number + "/offer").Body.String()
	w := b.submit("/estimates/"+number+"/offer", url.Values{"offer-id": {hidden(b, page, "offer-id")}, "version": {hidden(b, page, "version")}, "days": {"30"}, "by": {"AB"}})
	if w.Code != http.StatusSeeOther {
		b.t.Fatalf("%d %s", w.Code, w.Body)
	}
	r := httptest.NewRequest("GET", w.Header().Get("Location"), nil)
	for _, c := range w.Result().Cookies() {
		if c.Name == offerCookie {
			r.AddCookie(c)
		}
	}
	m := regexp.MustCompile(`value="http://[^/"]*(/y/[a-z2-9]{26})"`).FindStringSubmatch(b.send(r).Body.String())
	if m == nil {
		b.t.Fatal("the page shows no link")
	}
	return m[1]
}

// hidden gives the value of a hidden field of a page.
func hidden(b *bench, page, name string) string {
	b.t.Helper()
	m := regexp.MustCompile(`name="` + name + `" value="([^"]*)"`).FindStringSubmatch(page)
	if m == nil {
		b.t.Fatalf("no field %s", name)
	}
	return m[1]
}

// answers are a form's values that accept the pads, put the discs off and decline the coolant.
func (b *bench) answers(link string) url.Values {
	b.t.Helper()
	page := b.page(link).Body.String()
	return url.Values{"form-id": {hidden(b, page, "form-id")}, "digest": {hidden(b, page, "digest")}, "name": {"Alma Brook"}, "step": {"check"},
		"answer-1": {"accept"}, "answer-2": {"put-off"}, "until-2": {"2026-10-01"}, "km-2": {""}, "answer-3": {"decline"}}
}

// decisions counts the answers that are kept.
func (b *bench) decisions() (n int) {
	b.t.Helper()
	ctx := context.Background()
	b.must(b.store.View(ctx, func(r shop.Reader) error {
		list, err := r.Records(ctx, shop.RecordFilter{Kind: shop.KindDecision})
		n = len(list)
		return err
	}))
	return n
}
