package web

import (
	"net/http"
	"strings"
	"testing"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/shop"
)

// The work sheet and its close-out say amounts and times as people do, with their units, and a tick that can't be taken back says no more
// than that it is done.
func TestWorkInWords(t *testing.T) {
	b := newBench(t, "metric")
	eur, _ := money.Known("EUR")
	e := estimate.Estimate{Number: "E-8", Version: 1, VisitOn: "2026-03-21", ValidUntil: "2026-04-21", Terms: estimate.Terms{Currency: eur, Taxes: []estimate.Tax{{ID: "n", Name: "Tax", Rate: 200_000}}},
		Items: []estimate.Item{
			{ID: "front", Job: "renew-dampers", At: "F", Name: "Renew the dampers, front axle", Lines: []estimate.Line{{ID: "a", Kind: estimate.Part, Name: "Damper", Milli: 2000, Unit: "piece", Price: 100, Tax: "n"}}},
			{ID: "rear", Job: "renew-dampers", At: "R", Name: "Renew the dampers, rear axle", Lines: []estimate.Line{{ID: "b", Kind: estimate.Fluid, Name: "Grease", Milli: 500, Unit: "L", Price: 100, Tax: "n"}}}}}
	b.deal("draft", shop.KindEstimate, "", shop.EstimateDraft{Estimate: e, RoundID: b.round})
	b.deal("offer", shop.KindOffer, "draft", shop.Offer{TokenHash: strings.Repeat("a", 64), Digest: estimate.Digest(e), ExpiresAt: benchDay.UnixMilli() + 1e6})
	path := workPath(b.deal("yes", shop.KindDecision, "offer", shop.Decision{How: shop.BySpoken, Name: "Alma Brook", Digest: estimate.Digest(e),
		Answers: []estimate.Answer{{Item: "front", Answer: estimate.Accept}, {Item: "rear", Answer: estimate.Accept}}}))
	page := b.page(path).Body.String()
	wants(t, page, "2\u00a0pieces, to renew the dampers, front axle", "to renew the dampers, front axle; renew the dampers, rear axle")
	b.note(path, map[string]string{"id": "n1", "item": "front", "step": "0", "what": "done"})
	wants(t, b.page("/bay").Body.String(), "<h2>In work</h2><ul")
	b.note(path, map[string]string{"id": "n2", "item": "front", "step": "0", "what": "open"})
	wants(t, b.page("/bay").Body.String(), "No car is in work.")
	b.note(path, map[string]string{"id": "n3", "item": "front", "step": "0", "what": "done"})
	b.note(path, map[string]string{"id": "n4", "item": "front", "what": "minutes", "minutes": "1"})
	b.note(path, map[string]string{"id": "n5", "step": "line/a", "what": "part", "amount": "1,5", "number": strings.Repeat("ш", 80)})
	page = b.page(path).Body.String()
	wants(t, page, "one minute taken", "1.5\u00a0pieces", "press to take back")
	b.note(path, map[string]string{"id": "n6", "item": "front", "what": "cannot", "note": strings.Repeat("ш", 1500)})
	b.note(path, map[string]string{"id": "n7", "item": "rear", "what": "cannot", "note": "no part"})
	page = b.page(path).Body.String()
	if strings.Contains(page, "press to take back") || strings.Contains(page, "0 of 0") {
		t.Error("a step that is off can't be taken back, and nothing is 0 of 0")
	}
	wants(t, page, "Nothing of it can be done")
	wants(t, b.page("/bay").Body.String(), "nothing of it can be done")
	form := fieldsOf(b.page(path + "/close").Body.String())
	form.Set("by", "ab")
	form.Set("on", "2026-03-21")
	form.Set("km", "196 200")
	form.Set("done|front", "done")
	form.Set("fit|line/a", "1")
	form.Set("done|rear", "not")
	form.Set("why|rear", "")
	w := b.submit(path+"/close", form)
	wants(t, w.Body.String(), "Renew the dampers, rear axle: say why it was not done.")
	form.Set("why|rear", "no part")
	if w = b.submit(path+"/close", form); w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	wants(t, b.page(path+"/done").Body.String(), "Damper, 1.5\u00a0pieces", "done in one minute", "not charged; it comes back")
	if page = b.page(path).Body.String(); strings.Contains(page, "press to take back") {
		t.Error("nothing is taken back on the sheet of closed-out work")
	}
}

// note sends a note from the work sheet, which has to be taken.
func (b *bench) note(path string, fields map[string]string) {
	b.t.Helper()
	form := map[string][]string{"by": {"ab"}}
	for k, v := range fields {
		form[k] = []string{v}
	}
	if w := b.submit(path+"/notes", form); w.Code != http.StatusSeeOther {
		b.t.Fatalf("%v: %d %s", fields, w.Code, w.Body)
	}
}
