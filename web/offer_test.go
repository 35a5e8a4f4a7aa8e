package web

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
)

func TestLinkIsShownOnce(t *testing.T) {
	b := newBench(t, "metric")
	b.estimated("E-1", 1)
	wants(t, b.page("/estimates/E-1").Body.String(), `href="/estimates/E-1/offer">Put it before the owner`)
	page := b.page("/estimates/E-1/offer").Body.String()
	wants(t, page, "It was not put before the owner yet", "Make the link for version 1")
	form := url.Values{"offer-id": {hidden(b, page, "offer-id")}, "version": {"1"}, "days": {"30"}}
	w := b.submit("/estimates/E-1/offer", form)
	if c := w.Result().Cookies(); w.Code != http.StatusSeeOther || len(c) != 1 || !c[0].HttpOnly || c[0].SameSite != http.SameSiteStrictMode || c[0].Path != "/estimates/E-1/offer" {
		t.Fatalf("%d %v", w.Code, c)
	}
	r := httptest.NewRequest("GET", "/estimates/E-1/offer", nil)
	r.AddCookie(w.Result().Cookies()[0])
	shown := b.send(r)
	wants(t, shown.Body.String(), "The link is made", "/y/"+w.Result().Cookies()[0].Value, "Opening it answers nothing")
	if c := shown.Result().Cookies(); len(c) != 1 || c[0].MaxAge >= 0 {
		t.Errorf("the cookie stays: %v", c)
	}
	lacks(t, b.page("/estimates/E-1/offer").Body.String(), "/y/")
	if w := b.submit("/estimates/E-1/offer", form); w.Code != http.StatusSeeOther || len(w.Result().Cookies()) != 0 || w.Header().Get("Location") != "/estimates/E-1/offer?did=no-link" {
		t.Errorf("pressed twice: %d", w.Code)
	}
	if page := b.page("/estimates/E-1/offer").Body.String(); strings.Contains(page, "Earlier") {
		t.Error("pressed twice, a second offer was made")
	}
	form.Set("days", "0")
	if w := b.submit("/estimates/E-1/offer", form); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("no days: %d", w.Code)
	}
	for _, path := range []string{"/estimates/E-9/offer", "/estimates/E-9/spoken"} {
		if w := b.page(path); w.Code != http.StatusNotFound {
			t.Errorf("%s: %d", path, w.Code)
		}
	}
}

func TestSpokenAnswer(t *testing.T) {
	b := newBench(t, "metric")
	b.estimated("E-1", 1)
	page := b.page("/estimates/E-1/spoken").Body.String()
	wants(t, page, "Write down a spoken answer", "I read this warning to the owner", `value="Alma Brook"`)
	form := url.Values{"form-id": {hidden(b, page, "form-id")}, "digest": {hidden(b, page, "digest")}, "version": {"1"}, "after": {""}, "who": {"Alma Brook, by telephone"}, "said": {"soon"}, "by": {""},
		"answer-1": {"accept"}, "answer-2": {"decline"}, "step": {"total"}}
	w := b.submit("/estimates/E-1/spoken", form)
	wants(t, w.Body.String(), "Total of what is accepted", "214.20", `value="soon"`)
	form.Set("step", "store")
	w = b.submit("/estimates/E-1/spoken", form)
	if w.Code != http.StatusUnprocessableEntity {
		t.Fatal(w.Code)
	}
	wants(t, w.Body.String(), `href="#f-said"`, `href="#f-by"`, `href="#f-answer-3"`, `value="decline" checked`)
	form.Set("said", b.shop.Now().Format("2006-01-02T15:04"))
	form.Set("by", "AB")
	form.Set("answer-3", "accept")
	stale := b.page("/estimates/E-1/spoken").Body.String()
	for range 2 {
		if w := b.submit("/estimates/E-1/spoken", form); w.Header().Get("Location") != "/estimates/E-1/offer?did=spoken" {
			t.Fatalf("%d %s", w.Code, w.Header().Get("Location"))
		}
	}
	own := b.page("/estimates/E-1/offer?did=spoken").Body.String()
	wants(t, own, "The spoken answer is stored.", "Answered by", "Alma Brook, by telephone", "by AB")
	form.Set("form-id", hidden(b, stale, "form-id"))
	if w := b.submit("/estimates/E-1/spoken", form); w.Header().Get("Location") != "/estimates/E-1/offer?did=already" {
		t.Errorf("a form from before the answer: %d %s", w.Code, w.Header().Get("Location"))
	}
	if n := b.decisions(); n != 1 {
		t.Errorf("%d decisions", n)
	}
	wants(t, b.page("/estimates/E-1/spoken").Body.String(), "There is an answer already")
}

// TestReceiptAfterASpokenAnswer: an answer that a later one stands in for does not say that it still counts.
func TestReceiptAfterASpokenAnswer(t *testing.T) {
	b := newBench(t, "metric")
	b.estimated("E-1", 1)
	link := b.linked("E-1")
	signed := b.answers(link)
	signed.Set("step", "sign")
	b.submit(link, signed)
	lacks(t, b.page(link).Body.String(), "answered again afterwards")
	page := b.page("/estimates/E-1/spoken").Body.String()
	form := url.Values{"step": {"store"}, "version": {"1"}, "who": {"Alma Brook"}, "by": {"AB"}, "said": {b.shop.Now().Format("2006-01-02T15:04")}, "answer-1": {"accept"}, "answer-2": {"accept"}, "answer-3": {"accept"}}
	for _, name := range []string{"form-id", "digest", "after"} {
		form.Set(name, hidden(b, page, name))
	}
	if w := b.submit("/estimates/E-1/spoken", form); w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	receipt := b.page(link).Body.String()
	wants(t, receipt, "answered again afterwards, by word of mouth", "does not count any more")
	lacks(t, receipt, "stands until")
}
