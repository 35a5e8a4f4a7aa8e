package web

import (
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/shop"
)

// sendForm sends a form to a path.
func (b *bench) sendForm(path string, form url.Values) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return b.send(r)
}

// withDraft makes a workshop that charges, and an estimate with one item of its own and one line.
func withDraft(t *testing.T) (*bench, string) {
	t.Helper()
	b := newBench(t, "metric")
	eur, _ := money.Known("EUR")
	terms := shop.Terms{Estimate: estimate.Terms{Currency: eur, Taxes: []estimate.Tax{{ID: "n", Name: "Tax", Rate: 200_000}}},
		HourRate: 8400, LabourTax: "n", PartsTax: "n", ValidDays: 30, VisitMinutes: 480}
	if err := b.shop.SaveTerms(t.Context(), "terms-1", "ab", terms); err != nil {
		t.Fatal(err)
	}
	w := b.sendForm("/cars/"+b.car+"/estimates", url.Values{"id": {"make-1"}, "visit": {"2026-04-02"}})
	if w.Code != http.StatusSeeOther {
		t.Fatalf("make: %d %s", w.Code, w.Body)
	}
	path, _, _ := strings.Cut(w.Header().Get("Location"), "?")
	number := strings.TrimPrefix(path, "/estimates/")
	for _, step := range []struct {
		path string
		form url.Values
	}{
		{"/item", url.Values{"id": {"own"}, "name": {"Wash the car"}}},
		{"/line", url.Values{"id": {"soap"}, "block": {"own"}, "kind": {"part"}, "name": {"Soap"}, "quantity": {"2"}, "unit": {"piece"}, "price": {"3.50"}, "tax": {"n"}}},
	} {
		d, err := b.shop.Draft(t.Context(), number)
		if err != nil {
			t.Fatal(err)
		}
		step.form.Set("base", versionOf(d))
		if w := b.sendForm(path+step.path, step.form); w.Code != http.StatusSeeOther {
			t.Fatalf("%s: %d %s", step.path, w.Code, w.Body)
		}
	}
	return b, path
}

func versionOf(d shop.Kept[shop.EstimateDraft]) string {
	return money.Milli(d.Said.Estimate.Version * 1000).String()
}

var soap = url.Values{"line": {"soap"}, "kind": {"part"}, "name": {"Soap"}, "quantity": {"4"}, "unit": {"piece"}, "price": {"3.50"}, "tax": {"n"}}

// with gives a form with some fields changed.
func with(v url.Values, pairs ...string) url.Values {
	out := url.Values{}
	for k, x := range v {
		out[k] = x
	}
	for i := 0; i < len(pairs); i += 2 {
		out.Set(pairs[i], pairs[i+1])
	}
	return out
}

func TestDraftPages(t *testing.T) {
	b, path := withDraft(t)
	for _, p := range []string{"/cars/" + b.car + "/estimates", path, path + "/line?line=soap", path + "/line?block=own", path + "/item", path + "/item?item=own", path + "/head", path + "/prices", path + "/history"} {
		if w := b.page(p); w.Code != 200 || !strings.Contains(w.Body.String(), "</html>") {
			t.Errorf("%s: %d", p, w.Code)
		}
	}
	body := b.page(path).Body.String()
	for _, want := range []string{"Wash the car", "Soap", "7.00", "Undo the last change", "To pay"} {
		if !strings.Contains(body, want) {
			t.Errorf("%q is missing", want)
		}
	}
	wants(t, body, "prices are missing")
	lacks(t, body, "Put it before the owner")
	for _, p := range []string{"/estimates/none", path + "/line?line=none", path + "/line?block=none", path + "/item?item=none", "/cars/none/estimates", path + "/estimate.pdf"} {
		if w := b.page(p); w.Code != 404 {
			t.Errorf("%s: %d", p, w.Code)
		}
	}
}

// TestDraftGetChangesNothing: looking at every page leaves the version as it is.
func TestDraftGetChangesNothing(t *testing.T) {
	b, path := withDraft(t)
	number := strings.TrimPrefix(path, "/estimates/")
	before, err := b.shop.DraftVersions(t.Context(), number)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []string{path, path + "/line?line=soap&do=remove&base=" + versionOf(before[len(before)-1]), path + "/item?item=own&do=remove", path + "/history", path + "/prices", path + "/head?discount=50"} {
		b.page(p)
	}
	if after, err := b.shop.DraftVersions(t.Context(), number); err != nil || len(after) != len(before) {
		t.Errorf("%d versions after %d, %v", len(after), len(before), err)
	}
	if w := b.page(path + "/undo"); w.Code != http.StatusMethodNotAllowed {
		t.Errorf("undo by GET: %d", w.Code)
	}
}

// TestDraftLineForm: a bad entry keeps what was typed beside its problem; a good one is stored once.
func TestDraftLineForm(t *testing.T) {
	b, path := withDraft(t)
	d, _ := b.shop.Draft(t.Context(), strings.TrimPrefix(path, "/estimates/"))
	base := versionOf(d)
	w := b.sendForm(path+"/line", with(soap, "id", "f1", "base", base, "price", "3.505"))
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `value="3.505"`) || !strings.Contains(w.Body.String(), `id="f-price-error"`) {
		t.Errorf("a bad price: %d", w.Code)
	}
	for range 2 {
		if w := b.sendForm(path+"/line", with(soap, "id", "f1", "base", base)); w.Code != http.StatusSeeOther {
			t.Errorf("%d", w.Code)
		}
	}
	now, _ := b.shop.Draft(t.Context(), strings.TrimPrefix(path, "/estimates/"))
	if now.Said.Estimate.Version != d.Said.Estimate.Version+1 {
		t.Errorf("version %d after %d", now.Said.Estimate.Version, d.Said.Estimate.Version)
	}
}

// TestDraftTaken: who comes second is told what changed, keeps what was typed, and can store it on top.
func TestDraftTaken(t *testing.T) {
	b, path := withDraft(t)
	d, _ := b.shop.Draft(t.Context(), strings.TrimPrefix(path, "/estimates/"))
	base := versionOf(d)
	b.sendForm(path+"/head", url.Values{"id": {"h1"}, "base": {base}, "discount": {"10"}, "visit-on": {"2026-04-02"}, "valid-until": {"2026-05-01"}})
	w := b.sendForm(path+"/line", with(soap, "id", "l1", "base", base, "quantity", "9"))
	body := w.Body.String()
	if w.Code != http.StatusConflict || !strings.Contains(body, "Somebody else changed this estimate first") || !strings.Contains(body, "discount on everything") || !strings.Contains(body, `value="9"`) {
		t.Fatalf("%d %s", w.Code, body)
	}
	next := regexp.MustCompile(`name="base" value="(\d+)"`).FindStringSubmatch(body)
	if w := b.sendForm(path+"/line", with(soap, "id", "l1", "base", next[1], "quantity", "9")); w.Code != http.StatusSeeOther {
		t.Errorf("stored on top: %d", w.Code)
	}
	if body := b.page(path).Body.String(); !strings.Contains(body, "28.35") { // 9 x 3.50 less 10 %
		t.Error("one of the two changes is lost")
	}
}

// TestDraftLineGone: who changes a line that somebody else took out is told so, not that the address is wrong.
func TestDraftLineGone(t *testing.T) {
	b, path := withDraft(t)
	number := strings.TrimPrefix(path, "/estimates/")
	d, _ := b.shop.Draft(t.Context(), number)
	base, id := versionOf(d), d.Said.Estimate.Items[0].Lines[0].ID
	b.sendForm(path+"/line", url.Values{"id": {"r1"}, "base": {base}, "line": {id}, "do": {"remove"}})
	w := b.sendForm(path+"/line", with(soap, "id", "r2", "base", base, "line", id))
	if w.Code != http.StatusConflict || !strings.Contains(w.Body.String(), "Somebody else took that out meanwhile") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	now, _ := b.shop.Draft(t.Context(), number)
	if w := b.sendForm(path+"/line", url.Values{"id": {"r3"}, "base": {versionOf(now)}, "block": {now.Said.Estimate.Items[0].ID}, "do": {"remove"}}); w.Code != http.StatusNotFound {
		t.Errorf("a form that takes out no line: %d", w.Code)
	}
}

func TestDraftUndoneOnThePage(t *testing.T) {
	b, path := withDraft(t)
	d, _ := b.shop.Draft(t.Context(), strings.TrimPrefix(path, "/estimates/"))
	if w := b.sendForm(path+"/undo", url.Values{"id": {"u1"}, "base": {versionOf(d)}}); w.Code != http.StatusSeeOther {
		t.Fatalf("%d", w.Code)
	}
	if body := b.page(path).Body.String(); strings.Contains(body, "Soap") {
		t.Error("the line is still there")
	}
	if body := b.page(path + "/history").Body.String(); !strings.Contains(body, "Soap added") || !strings.Contains(body, "Soap taken out") {
		t.Error("the history does not say what happened")
	}
}

func TestDraftWithoutTerms(t *testing.T) {
	b := newBench(t, "metric")
	w := b.sendForm("/cars/"+b.car+"/estimates", url.Values{"id": {"m"}, "visit": {"2026-04-02"}})
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `href="/terms"`) {
		t.Errorf("%d", w.Code)
	}
}

func TestDraftPDF(t *testing.T) {
	b, path := withDraft(t)
	b.serve(Config{EstimatePDF: func(w io.Writer, e estimate.Estimate) error {
		_, err := io.WriteString(w, "%PDF "+e.Number)
		return err
	}})
	w := b.page(path + "/estimate.pdf")
	if w.Code != 200 || w.Header().Get("Content-Type") != "application/pdf" || !strings.HasPrefix(w.Body.String(), "%PDF 2026-") {
		t.Errorf("%d %s", w.Code, w.Header())
	}
}

// TestDraftDaysPassed: a day of the visit or a last day that lies behind is said where the estimate is built and where it is offered.
func TestDraftDaysPassed(t *testing.T) {
	b, path := withDraft(t)
	for _, page := range []string{path, path + "/offer"} {
		lacks(t, b.page(page).Body.String(), "has passed", "Set another day")
	}
	number := strings.TrimPrefix(path, "/estimates/")
	d, err := b.shop.Draft(t.Context(), number)
	if err != nil {
		t.Fatal(err)
	}
	if w := b.sendForm(path+"/head", url.Values{"id": {"days-1"}, "base": {versionOf(d)}, "visit-on": {"2025-04-02"}, "valid-until": {"2026-01-31"}}); w.Code != http.StatusSeeOther {
		t.Fatalf("head: %d %s", w.Code, w.Body)
	}
	for _, page := range []string{path, path + "/offer"} {
		wants(t, b.page(page).Body.String(), "The day of the visit, 2 April 2025, has passed.", "The last day on which it can be accepted, 31 January 2026, has passed.", `href="`+path+`/head">Set another day`)
	}
	wants(t, b.page(path+"/history").Body.String(), "day of the visit: 2 April 2025 instead of 2 April 2026")
}
