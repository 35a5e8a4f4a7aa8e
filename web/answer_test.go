package web

import (
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"witnessmark/core/estimate"
	"witnessmark/shop"
)

func TestOwnerAnswers(t *testing.T) {
	b := newBench(t, "metric")
	e := b.estimated("E-1", 1)
	link := b.linked("E-1")
	page := b.page(link).Body.String()
	wants(t, page, "Renew the front brake pads", "Must not be put off.", "dangerous", "2.1 mm are left.", askWarning, "178.50", "Paid once for several", "Wheels off", "660.45", "20 April 2026")
	lacks(t, page, "Nothing is stored yet, and", `href="/right"`, "This report says")
	if n := strings.Count(page, `value="put-off"`); n != 2 {
		t.Errorf("%d items can be put off", n)
	}
	form := b.answers(link)
	w := b.follow(link, form)
	if w.Code != http.StatusOK || b.decisions() != 0 {
		t.Fatalf("checked: %d, %d decisions", w.Code, b.decisions())
	}
	// (150 + 30 for the wheels off) x 1.19
	wants(t, w.Body.String(), "Check your answers", "214.20", "until 1 October 2026", "Sign: yes to 214.20", `name="answer-2" value="put-off"`, `name="until-2" value="2026-10-01"`)
	form.Set("step", "sign")
	w = b.submit(link, form)
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != link+"?did=stored" {
		t.Fatalf("signed: %d %s", w.Code, w.Header().Get("Location"))
	}
	receipt := b.page(link + "?did=stored").Body.String()
	wants(t, receipt, "Thank you. Your answers are stored.", "Alma Brook", "214.20", "until 1 October 2026", estimate.Digest(e), "192.0.2.1")
	lacks(t, receipt, "<form", "This report says", "This is not what was answered.")
	own := b.page("/estimates/E-1/offer").Body.String()
	wants(t, own, "answered on", "Alma Brook", "192.0.2.1", estimate.Digest(e), "214.20")
}

// TestReceiptOfWhatWasAltered: an answer that was to another text than the one that is kept says so, to the owner and to the workshop.
func TestReceiptOfWhatWasAltered(t *testing.T) {
	b := newBench(t, "metric")
	b.estimated("E-1", 1)
	link := b.linked("E-1")
	_, all, err := b.shop.OffersOf(t.Context(), "E-1")
	b.must(err)
	offer := all[0].Offer
	body, err := json.Marshal(shop.Decision{How: shop.BySign, Name: "Alma Brook", Digest: strings.Repeat("0", 64), Form: "f",
		Answers: []estimate.Answer{{Item: "pads", Answer: estimate.Accept}, {Item: "discs", Answer: estimate.Accept}, {Item: "coolant", Answer: estimate.Accept}}})
	b.must(err)
	rec := shop.Record{ID: "d-1", Kind: shop.KindDecision, CarID: offer.CarID, Ref: offer.ID, Once: "decision/" + offer.ID, Body: body}
	b.must(b.store.Update(t.Context(), func(w shop.Writer) error { _, err := w.Put(t.Context(), shop.Fact{Record: &rec}); return err }))
	for _, path := range []string{link, "/estimates/E-1/offer"} {
		wants(t, b.page(path).Body.String(), "This is not what was answered.", strings.Repeat("0", 64))
	}
}

func TestOwnerChangesAnswersBeforeSigning(t *testing.T) {
	b := newBench(t, "metric")
	b.estimated("E-1", 1)
	link := b.linked("E-1")
	form := b.answers(link)
	form.Set("step", "back")
	form.Set("km-2", "210 000")
	w := b.follow(link, form)
	if w.Code != http.StatusOK {
		t.Fatal(w.Code)
	}
	wants(t, w.Body.String(), `name="form-id" value="`+form.Get("form-id"), `value="210 000"`, `value="2026-10-01"`, `name="answer-1" value="accept" checked`, `name="answer-2" value="put-off" checked`, `name="answer-3" value="decline" checked`)
}

// follow sends a form and opens the page to which it leads.
func (b *bench) follow(path string, form url.Values) *httptest.ResponseRecorder {
	b.t.Helper()
	w := b.submit(path, form)
	if w.Code != http.StatusSeeOther {
		b.t.Fatalf("%s: %d", path, w.Code)
	}
	return b.page(w.Header().Get("Location"))
}

func TestCheckPageTakesNoBadAnswers(t *testing.T) {
	b := newBench(t, "metric")
	b.estimated("E-1", 1)
	link := b.linked("E-1")
	w := b.page(link + "?check=1&answer-1=put-off&answer-2=accept&name=Mallory")
	if w.Code != http.StatusUnprocessableEntity {
		t.Error(w.Code)
	}
	wants(t, w.Body.String(), "must not be put off", "Renew the coolant has no answer yet")
	lacks(t, w.Body.String(), "Mallory")
}

func TestOwnerAnswersBadly(t *testing.T) {
	b := newBench(t, "metric")
	b.estimated("E-1", 1)
	link := b.linked("E-1")
	form := b.answers(link)
	form.Set("answer-1", "decline")
	form.Set("until-2", "2026-03-01")
	form.Set("km-2", "soon")
	form.Del("answer-3")
	w := b.submit(link, form)
	if w.Code != http.StatusUnprocessableEntity {
		t.Fatal(w.Code)
	}
	wants(t, w.Body.String(), "Please look again", `href="#f-warned-1"`, `id="f-warned-1"`, "Read the warning and tick it", `href="#f-until-2"`, "a day that lies ahead", `href="#f-km-2"`, "soon", `href="#f-answer-3"`,
		"nothing that you typed is lost", `value="2026-03-01"`, `value="decline" checked`)
	form = b.answers(link)
	form.Set("step", "sign")
	form.Set("name", " ")
	w = b.submit(link, form)
	if w.Code != http.StatusUnprocessableEntity {
		t.Fatal(w.Code)
	}
	wants(t, w.Body.String(), "Check your answers", "Type your name", `href="#f-name"`, `name="until-2" value="2026-10-01"`)
	form.Set("answer-1", "put-off")
	w = b.submit(link, form)
	wants(t, w.Body.String(), "must not be put off: accept or decline it")
	if w.Code != http.StatusUnprocessableEntity || b.decisions() != 0 {
		t.Errorf("%d, %d decisions", w.Code, b.decisions())
	}
}

func TestOwnerDeclinesTheUnsafe(t *testing.T) {
	b := newBench(t, "metric")
	b.estimated("E-1", 1)
	link := b.linked("E-1")
	form := b.answers(link)
	form.Set("answer-1", "decline")
	form.Set("warned-1", "1")
	w := b.follow(link, form)
	wants(t, w.Body.String(), `name="warned-1" value="1"`, "Warning, read and ticked:", "Sign: nothing is done now")
	form.Set("step", "sign")
	if w := b.submit(link, form); w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	wants(t, b.page("/estimates/E-1/offer").Body.String(), askWarning, "must not be put off")
}

func TestAnsweredOnceOnThePage(t *testing.T) {
	b := newBench(t, "metric")
	b.shop = shop.New(shop.Config{Store: b.store, Catalogue: b.shop.Catalogue(), Now: func() time.Time { return benchDay }}) // its clock bears many at once
	b.serve(Config{})
	b.estimated("E-1", 1)
	link := b.linked("E-1")
	form := b.answers(link)
	other := b.answers(link)
	form.Set("step", "sign")
	var all sync.WaitGroup
	places := make([]string, 6)
	for i := range places {
		all.Go(func() { places[i] = b.submit(link, form).Header().Get("Location") })
	}
	all.Wait()
	for _, where := range places {
		if where != link+"?did=stored" {
			t.Errorf("the same form again leads to %q", where)
		}
	}
	other.Set("step", "sign")
	other.Set("answer-3", "accept")
	for _, step := range []string{"sign", "check", "back"} {
		other.Set("step", step)
		if where := b.submit(link, other).Header().Get("Location"); where != link+"?did=already" {
			t.Errorf("another form, %s, leads to %q", step, where)
		}
	}
	wants(t, b.page(link+"?did=already").Body.String(), "was answered before", "214.20")
	if n := b.decisions(); n != 1 {
		t.Errorf("%d decisions", n)
	}
}

func TestLinksThatEnd(t *testing.T) {
	b := newBench(t, "metric")
	b.estimated("E-1", 1)
	link := b.linked("E-1")
	form := b.answers(link)
	form.Set("step", "sign")
	b.estimated("E-1", 2)
	wants(t, b.page("/estimates/E-1/offer").Body.String(), "Version 2 was saved since", "with the owner since")
	newer := b.linked("E-1")
	for _, w := range []*httptest.ResponseRecorder{b.page(link), b.submit(link, form)} {
		if w.Code != http.StatusGone {
			t.Errorf("%d", w.Code)
		}
		wants(t, w.Body.String(), "A newer version of this estimate was made")
		lacks(t, w.Body.String(), "178.50", `href="/right"`)
	}
	old := b.answers(newer)
	old.Set("digest", form.Get("digest"))
	for _, step := range []string{"check", "sign"} {
		old.Set("step", step)
		if w := b.submit(newer, old); w.Code != http.StatusConflict || !strings.Contains(w.Body.String(), "That was another version") {
			t.Errorf("%s: %d", step, w.Code)
		}
	}
	offers, _, err := func() ([]*shop.Offered, int, error) {
		_, all, err := b.shop.OffersOf(context.Background(), "E-1")
		return all, len(all), err
	}()
	b.must(err)
	if w := b.submit("/estimates/E-1/offer/"+offers[1].Offer.ID+"/back", nil); w.Header().Get("Location") != "/estimates/E-1/offer?did=back" {
		t.Errorf("%d %s", w.Code, w.Header().Get("Location"))
	}
	unknown := b.page("/y/" + strings.Repeat("a", 26))
	if w := b.page(newer); w.Code != http.StatusGone || w.Body.String() != unknown.Body.String() {
		t.Errorf("a link that was taken back and one that never existed differ: %d, %d", w.Code, unknown.Code)
	}
	wants(t, b.page("/estimates/E-1/offer?did=back").Body.String(), "taken back on", "replaced by a newer offer")
	if n := b.decisions(); n != 0 {
		t.Errorf("%d decisions", n)
	}
}

// counted is a store that counts its writing transactions.
type counted struct {
	shop.Store
	writes int
}

func (c *counted) Update(ctx context.Context, f func(shop.Writer) error) error {
	c.writes++
	return c.Store.Update(ctx, f)
}

// TestOpeningAnswersNothing opens every page of a link as previews and scanners do. Nothing is written by it.
func TestOpeningAnswersNothing(t *testing.T) {
	b := newBench(t, "metric")
	b.estimated("E-1", 1)
	link := b.linked("E-1")
	signed := b.answers(link)
	signed.Set("step", "sign")
	c := &counted{Store: b.store}
	b.shop = shop.New(shop.Config{Store: c, Catalogue: b.shop.Catalogue(), Now: func() time.Time { return benchDay }})
	b.serve(Config{EstimatePDF: func(w io.Writer, e estimate.Estimate) error {
		_, err := io.WriteString(w, "%PDF-1.7 "+e.Number)
		return err
	}})
	s := &server{}
	var paths []string
	for _, rt := range s.offerRoutes() {
		if method, pattern, _ := strings.Cut(rt.pattern, " "); method == "GET" {
			paths = append(paths, strings.NewReplacer("{number}", "E-1", "/y/{token}", link).Replace(pattern))
		}
	}
	if len(paths) != 4 {
		t.Errorf("%d pages", len(paths))
	}
	for _, path := range append(paths, link+"?"+signed.Encode(), link+"?check=1&"+signed.Encode(), link+"?step=sign&did=stored") {
		for _, method := range []string{"GET", "HEAD"} {
			r := httptest.NewRequest(method, path, nil)
			r.Header.Set("User-Agent", "LinkPreview/1.0")
			if w := b.send(r); w.Code != http.StatusOK {
				t.Errorf("%s %s: %d", method, path, w.Code)
			}
		}
	}
	for _, method := range []string{"PUT", "PATCH", "DELETE", "OPTIONS"} {
		if w := b.send(httptest.NewRequest(method, link, strings.NewReader(signed.Encode()))); w.Code != http.StatusMethodNotAllowed {
			t.Errorf("%s: %d", method, w.Code)
		}
	}
	if w := b.submit(link, url.Values{}); w.Code == http.StatusSeeOther {
		t.Errorf("an empty form: %d", w.Code)
	}
	r := httptest.NewRequest("POST", link, strings.NewReader(signed.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Sec-Fetch-Site", "cross-site")
	if w := b.send(r); w.Code != http.StatusForbidden {
		t.Errorf("from another site: %d", w.Code)
	}
	if c.writes != 0 || b.decisions() != 0 {
		t.Errorf("%d writes, %d decisions", c.writes, b.decisions())
	}
	if w := b.submit(link, signed); w.Code != http.StatusSeeOther || c.writes != 1 {
		t.Errorf("signed: %d, %d writes", w.Code, c.writes)
	}
	if w := b.page(link + "/estimate.pdf"); w.Code != http.StatusOK || w.Header().Get("Content-Type") != "application/pdf" {
		t.Errorf("the paper: %d %v", w.Code, w.Header())
	}
}

func TestAnswerHeaders(t *testing.T) {
	b := newBench(t, "metric")
	b.estimated("E-1", 1)
	link := b.linked("E-1")
	for _, path := range []string{link, "/y/nonesuch", link + "/estimate.pdf"} {
		h := b.page(path).Header()
		for name, want := range map[string]string{"X-Robots-Tag": "noindex, nofollow", "Referrer-Policy": "same-origin", "Cache-Control": "no-store"} {
			if h.Get(name) != want {
				t.Errorf("%s: %s is %q", path, name, h.Get(name))
			}
		}
	}
	page := b.page(link).Body.String()
	wants(t, page, `<meta name="robots" content="noindex, nofollow">`)
	lacks(t, page, `href="http`, `src="http`)
	wants(t, b.page("/robots.txt").Body.String(), "Disallow: /y/")
	r := httptest.NewRequest("POST", "/", nil)
	r.RemoteAddr = "[2001:db8::1]:4711"
	if got := networkAddress(r); got != "2001:db8::1" {
		t.Errorf("%q", got)
	}
	r.Header.Set("X-Forwarded-For", "203.0.113.5")
	if got := networkAddress(r); got != "2001:db8::1, said to be for 203.0.113.5" {
		t.Errorf("%q", got)
	}
}
