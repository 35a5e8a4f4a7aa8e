package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"witnessmark/shop"
)

// closeAll closes the work of agree out.
func (b *bench) closeAll(path, id string) {
	b.t.Helper()
	form := fieldsOf(b.page(path + "/close").Body.String())
	for name, value := range map[string]string{"id": id, "on": "2026-03-21", "km": "196 200", "by": "ab", "done|pads": "done", "done|wash": "done", "num|pad-thickness|FL/outer|mm": "11.5"} {
		form.Set(name, value)
	}
	if w := b.submit(path+"/close", form); w.Code != http.StatusSeeOther {
		b.t.Fatalf("%d %s", w.Code, w.Body)
	}
}

// TestWorkBack closes work out, takes that back with a mistake and then without, twice, and closes it out again; a stale form of the first
// close-out takes back nothing.
func TestWorkBack(t *testing.T) {
	b := newBench(t, "metric")
	path := workPath(b.agree())
	wants(t, b.page(path+"/close").Body.String(), "It can be taken back afterwards")
	b.closeAll(path, "first")
	done := b.page(path + "/done").Body.String()
	wants(t, done, "Take the close-out back", "It all stays on record", "the first readings")
	form := fieldsOf(done[strings.Index(done, "action=\""+path+"/back\""):])
	if w := b.page(path + "/back"); w.Code != http.StatusMethodNotAllowed {
		t.Errorf("looking at it: %d", w.Code)
	}
	form.Set("why", " ")
	w := b.submit(path+"/back", form)
	if w.Code != http.StatusUnprocessableEntity {
		t.Fatalf("%d", w.Code)
	}
	wants(t, w.Body.String(), "Say why it is taken back", "href=\"#f-why\"", "closed out")
	form.Set("why", "the wrong <sheet>")
	form.Set("by", "cd")
	for range 2 { // a double click
		if w := b.submit(path+"/back", form); w.Code != http.StatusSeeOther || w.Header().Get("Location") != path+"?did=reopened" {
			t.Fatalf("%d %s", w.Code, w.Body)
		}
	}
	wants(t, b.page(path+"?did=reopened").Body.String(), "The close-out is taken back", "was taken back on", "by cd: <bdi>the wrong &lt;sheet&gt;</bdi>", "Close out the work")
	wants(t, b.page("/bay").Body.String(), "Front brake pads · Wash the car")
	if w := b.page(path + "/done"); w.Code != http.StatusSeeOther || w.Header().Get("Location") != path {
		t.Errorf("%d", w.Code)
	}
	car := b.page("/cars/" + b.car).Body.String()
	if strings.Contains(car, "Read after work") || strings.Contains(car, "estimate E-7") || strings.Contains(car, "196\u00a0200") {
		t.Error("the car's page shows what was taken back")
	}
	w = b.page("/rounds/first-baseline/findings")
	if w.Code != http.StatusNotFound {
		t.Errorf("%d", w.Code)
	}
	wants(t, w.Body.String(), "These readings were taken back")
	b.closeAll(path, "second")
	wants(t, b.page(path+"/done").Body.String(), "was taken back on", "Take the close-out back")
	form.Set("id", "stale")
	w = b.submit(path+"/back", form)
	if w.Code != http.StatusConflict {
		t.Errorf("a stale form: %d", w.Code)
	}
	wants(t, w.Body.String(), "taken back already")
	wants(t, b.page(path+"/done").Body.String(), "closed out")
}

// TestRenewalBack takes a renewal back that was entered by hand, twice, and one that is not there.
func TestRenewalBack(t *testing.T) {
	b := newBench(t, "metric")
	path := "/cars/" + b.car
	add := url.Values{"renewal-id": {"slip"}, "renewal-item": {"pads"}, "renewal-at": {"F"}, "renewal-on": {"2026-03-20"}, "renewal-note": {"the wrong car"}}
	if w := b.submit(path+"/renewals", add); w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	wants(t, b.page(path).Body.String(), "the wrong car", `<option value="slip">Pads, front axle, 20 March 2026: the wrong car</option>`)
	for range 2 { // a double click
		w := b.submit(path+"/renewals/back", url.Values{"renewal": {"slip"}})
		if w.Code != http.StatusSeeOther || w.Header().Get("Location") != path+"?saved=renewal-back#renewed" {
			t.Fatalf("%d %s", w.Code, w.Body)
		}
	}
	page := b.page(path + "?saved=renewal-back").Body.String()
	wants(t, page, "The renewal is taken back")
	if strings.Contains(page, "the wrong car") {
		t.Error("it still stands there")
	}
	for form, code := range map[string]int{"nothing": http.StatusNotFound, "": http.StatusBadRequest} {
		if w := b.submit(path+"/renewals/back", url.Values{"renewal": {form}}); w.Code != code {
			t.Errorf("%q: %d", form, w.Code)
		}
	}
}

// TestClosedOutEstimate: an estimate whose work is closed out says so instead of asking to be put before the owner, and a form or link of
// before is refused; once the close-out is taken back it can be asked again.
func TestClosedOutEstimate(t *testing.T) {
	b := newBench(t, "metric")
	b.estimated("E-1", 1)
	link := b.linked("E-1")
	signed := b.answers(link)
	signed.Set("step", "sign")
	b.submit(link, signed)
	pages := []string{"/estimates/E-1", "/estimates/E-1/offer"}
	for _, page := range pages {
		lacks(t, b.page(page).Body.String(), "closed out")
	}
	offers := b.page(pages[1]).Body.String()
	decision, _, _ := strings.Cut(offers[strings.Index(offers, `href="/bay/`)+len(`href="/bay/`):], `"`)
	spoken := b.page("/estimates/E-1/spoken").Body.String()
	b.deal("done", shop.KindCloseOut, decision, shop.CloseOut{On: "2026-03-21", Km: 196200, Items: []shop.ItemDone{{Item: "pads", Done: true}}})
	for _, page := range pages {
		body := b.page(page).Body.String()
		wants(t, body, "closed out", `href="/bay/`+decision+`/done"`)
		lacks(t, body, "Put it before the owner", "Ask the owner again", "Make the link", "needs a new yes")
	}
	if w := b.page("/estimates/E-1/spoken"); w.Code != http.StatusSeeOther || w.Header().Get("Location") != pages[1] {
		t.Errorf("%d", w.Code)
	}
	form := url.Values{"step": {"store"}, "version": {"1"}, "who": {"Alma Brook"}, "by": {"AB"}, "said": {b.shop.Now().Format("2006-01-02T15:04")}, "answer-1": {"accept"}, "answer-2": {"accept"}, "answer-3": {"accept"}}
	for _, name := range []string{"form-id", "digest", "after"} {
		form.Set(name, hidden(b, spoken, name))
	}
	for path, form := range map[string]url.Values{pages[1]: {"days": {"30"}, "version": {"1"}, "offer-id": {"again"}}, "/estimates/E-1/spoken": form} {
		w := b.submit(path, form)
		if w.Code != http.StatusConflict {
			t.Errorf("%s: %d", path, w.Code)
		}
		wants(t, w.Body.String(), "The work is closed out", "Nothing was stored")
	}
	if w := b.submit("/bay/"+decision+"/back", url.Values{"id": {"back"}, "closeout": {"done"}, "why": {"the wrong sheet"}}); w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	wants(t, b.page(pages[1]).Body.String(), "Ask the owner again")
	if w := b.submit(pages[1], url.Values{"days": {"30"}, "version": {"1"}, "offer-id": {"again"}}); w.Code != http.StatusSeeOther {
		t.Errorf("%d", w.Code)
	}
}

// TestOdometerChanged: a lower odometer at the close-out and at the start of a round asks what was changed, keeps what is typed, and is
// stored once it is said and confirmed.
func TestOdometerChanged(t *testing.T) {
	b := newBench(t, "metric")
	path := workPath(b.agree())
	closing := fieldsOf(b.page(path + "/close").Body.String())
	for name, value := range map[string]string{"on": "2026-03-21", "km": "700", "by": "ab", "done|pads": "done", "done|wash": "done"} {
		closing.Set(name, value)
	}
	round := url.Values{"round-id": {"r9"}, "round-depth": {"full"}, "round-on": {"2026-03-21"}, "round-km": {"650"}}
	lacks(t, b.page(path+"/close").Body.String(), "If the meter was changed")
	for _, x := range []struct {
		to, note string
		form     url.Values
	}{{path + "/close", "km-note", closing}, {"/cars/" + b.car + "/rounds", "round-km-note", round}} {
		km := strings.TrimSuffix(x.note, "-note")
		right := x.form.Get(km)
		x.form.Set(km, "far")
		lacks(t, b.submit(x.to, x.form).Body.String(), "If the meter was changed")
		x.form.Set(km, right)
		w := b.submit(x.to, x.form)
		if w.Code != http.StatusUnprocessableEntity {
			t.Fatalf("%s: %d", x.to, w.Code)
		}
		wants(t, w.Body.String(), "state that the meter was changed", "If the meter was changed", `name="`+x.note+`"`)
		x.form.Set(x.note, "new <dial>")
		w = b.submit(x.to, x.form)
		wants(t, w.Body.String(), `value="new &lt;dial&gt;"`, "Yes, this is right")
		x.form.Set("confirmed", "1")
		if w = b.submit(x.to, x.form); w.Code != http.StatusSeeOther {
			t.Errorf("%s: %d %s", x.to, w.Code, w.Body)
		}
	}
	wants(t, b.page("/cars/"+b.car).Body.String(), "700\u00a0km", "650\u00a0km", "new &lt;dial&gt;")
}
