package web

import (
	"encoding/csv"
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"time"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/shop"
)

// agree puts an estimate for front pads and a typed item before the owner, who accepts both, and gives the decision's id.
func (b *bench) agree() string {
	b.t.Helper()
	eur, _ := money.Known("EUR")
	e := estimate.Estimate{Number: "E-7", Version: 2, VisitOn: "2026-03-21", ValidUntil: "2026-04-21", Terms: estimate.Terms{Currency: eur, Taxes: []estimate.Tax{{ID: "n", Name: "Tax", Rate: 200_000}}},
		Items: []estimate.Item{
			{ID: "pads", Job: "renew-pads", At: "F", Name: "Front brake pads", Lines: []estimate.Line{{ID: "a", Kind: estimate.Labour, Name: "Work", Milli: 1000, Unit: "h", Price: 8000, Tax: "n"},
				{ID: "b", Kind: estimate.Part, Name: "Pad set", Milli: 1000, Unit: "set", Price: 5990, Tax: "n"}}},
			{ID: "wash", Name: "Wash the car", Lines: []estimate.Line{{ID: "e", Kind: estimate.Labour, Name: "Work", Milli: 250, Unit: "h", Price: 8000, Tax: "n"}}}}}
	b.deal("draft", shop.KindEstimate, "", shop.EstimateDraft{Estimate: e, RoundID: b.round})
	b.deal("offer", shop.KindOffer, "draft", shop.Offer{TokenHash: strings.Repeat("a", 64), Digest: estimate.Digest(e), ExpiresAt: benchDay.Add(time.Hour).UnixMilli()})
	return b.deal("yes", shop.KindDecision, "offer", shop.Decision{How: shop.BySpoken, Name: "Alma Brook", Digest: estimate.Digest(e),
		Answers: []estimate.Answer{{Item: "pads", Answer: estimate.Accept}, {Item: "wash", Answer: estimate.Accept}}})
}

// deal stores a record of the car's dealings and gives its id.
func (b *bench) deal(id, kind, ref string, body any) string {
	b.t.Helper()
	data, err := json.Marshal(body)
	if err != nil {
		b.t.Fatal(err)
	}
	rec := shop.Record{ID: id, Kind: kind, CarID: b.car, Ref: ref, Body: data, ReceivedAt: benchDay.UnixMilli()}
	if err := b.store.Update(b.t.Context(), func(w shop.Writer) error { _, err := w.Put(b.t.Context(), shop.Fact{Record: &rec}); return err }); err != nil {
		b.t.Fatal(err)
	}
	return id
}

// Work whose estimate was answered again leads to the later answer's, and a form filled in meanwhile is told that it counts no more.
func TestWorkAnsweredAgain(t *testing.T) {
	b := newBench(t, "metric")
	path := workPath(b.agree())
	form := fieldsOf(b.page(path + "/close").Body.String())
	digest := strings.Repeat("b", 64)
	b.deal("offer-2", shop.KindOffer, "draft", shop.Offer{TokenHash: digest, Digest: digest, ExpiresAt: benchDay.Add(time.Hour).UnixMilli()})
	b.deal("yes-2", shop.KindDecision, "offer-2", shop.Decision{How: shop.BySpoken, Name: "Alma Brook", SaidOn: "2026-03-21T10:00", Digest: digest,
		Answers: []estimate.Answer{{Item: "pads", Answer: estimate.Accept}, {Item: "wash", Answer: estimate.Decline}}})
	for _, page := range []string{"", "/close", "/done"} {
		if w := b.page(path + page); w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/bay/yes-2" {
			t.Errorf("%q: %d %s", page, w.Code, w.Header().Get("Location"))
		}
	}
	w := b.submit(path+"/close", form)
	if w.Code != http.StatusConflict {
		t.Errorf("%d", w.Code)
	}
	wants(t, w.Body.String(), "The owner answered this estimate again", "nothing of this form was stored")
	if w := b.page("/bay/nothing"); w.Code != http.StatusNotFound {
		t.Errorf("%d", w.Code)
	}
}

// TestWorkPath ticks and takes back, closes out with a mistake and then without, and reads the summary.
func TestWorkPath(t *testing.T) {
	b := newBench(t, "metric")
	wants(t, b.page("/bay").Body.String(), "Nothing is agreed that is not closed out")
	path := workPath(b.agree())
	wants(t, b.page("/bay").Body.String(), "Agreed, not begun", "Front brake pads · Wash the car")
	page := b.page(path).Body.String()
	wants(t, page, "0 of ", "from the maker's papers", "never on their hoses", "Pad set", "to front brake pads", "Preparation: On the lift", "not in the agreed price", "class=\"caution\"")
	tick := fieldsOf(page[strings.Index(page, "never on their hoses")-900 : strings.Index(page, "never on their hoses")])
	tick.Set("by", "ab")
	for range 2 { // a double click
		if w := b.submit(path+"/notes", tick); w.Code != http.StatusSeeOther {
			t.Fatalf("%d %s", w.Code, w.Body)
		}
	}
	wants(t, b.page(path).Body.String(), "<b>1 of ", "press to take back")
	wants(t, b.page("/bay").Body.String(), "<h2>In work</h2><ul", "1 of ")
	tick.Set("id", "x1")
	tick.Set("what", "open")
	b.submit(path+"/notes", tick)
	wants(t, b.page(path).Body.String(), "<b>0 of ")
	w := b.submit(path+"/notes", map[string][]string{"id": {"x2"}, "item": {"wash"}, "what": {"cannot"}, "note": {" "}})
	wants(t, w.Body.String(), "Say why it can&#39;t be done")

	form := fieldsOf(b.page(path + "/close").Body.String())
	form.Set("on", "2026-03-21")
	form.Set("km", "196 200")
	form.Set("done|pads", "done")
	form.Set("minutes|pads", "1:15")
	form.Set("fit|line/b", "1")
	form.Set("batch|line/b", "K-9")
	form.Set("num|pad-thickness|FL/outer|mm", "115")
	form.Set("note", "=typed text")
	w = b.submit(path+"/close", form)
	if w.Code != http.StatusUnprocessableEntity {
		t.Fatalf("%d", w.Code)
	}
	wants(t, w.Body.String(), "Wash the car: say whether it was done", "value=\"115\"", "=typed text", "1:15", "value=\"K-9\"", "expected", "href=\"#f-num_pad-thickness_FL_outer_mm\"")
	form.Set("num|pad-thickness|FL/outer|mm", "11.5")
	form.Set("done|wash", "not")
	form.Set("why|wash", "the washer is frozen")
	for range 2 {
		if w = b.submit(path+"/close", form); w.Code != http.StatusSeeOther || w.Header().Get("Location") != path+"/done?did=closed" {
			t.Fatalf("%d %s", w.Code, w.Body)
		}
	}
	wants(t, b.page(path+"/done").Body.String(), "the washer is frozen", "Summary as CSV", "167.88", "What comes next", "batch K-9")
	wants(t, b.page("/bay").Body.String(), "Closed out today", "1 of 2 items done")
	wants(t, b.page("/cars/"+b.car).Body.String(), "Read after work")
	b.checkSummary(path)
	if w := b.page(path + "/close"); w.Code != http.StatusSeeOther {
		t.Errorf("the form after the close-out: %d", w.Code)
	}
	form.Set("id", "another")
	if w := b.submit(path+"/close", form); w.Code != http.StatusConflict {
		t.Errorf("a second close-out: %d", w.Code)
	}
}

// A car in miles is told of looks to come, and how to type its distance, in miles.
func TestCloseOutInMiles(t *testing.T) {
	b := newBench(t, "us")
	page := b.page(workPath(b.agree()) + "/close").Body.String()
	wants(t, page, "After 14 days or after 62\u00a0mi.", "After 186\u00a0mi.")
	wants(t, b.page("/cars/"+b.car).Body.String(), "In miles; write km behind it if it counts km")
}

func (b *bench) checkSummary(path string) {
	b.t.Helper()
	w := b.page(path + "/summary.csv")
	rows, err := csv.NewReader(w.Body).ReadAll()
	if err != nil || len(rows) < 10 || !strings.Contains(w.Header().Get("Content-Disposition"), "summary-E-7.csv") {
		b.t.Errorf("%v %v %v", err, rows, w.Header())
	}
	var m shop.Summary
	if err := json.Unmarshal(b.page(path+"/summary.json").Body.Bytes(), &m); err != nil || m.ToPay != "167.88" || m.CloseOut.Note != "=typed text" {
		b.t.Errorf("%v %+v", err, m)
	}
}
