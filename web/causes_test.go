package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"witnessmark/core/diagnose"
	"witnessmark/core/point"
	"witnessmark/shop"
)

// low takes the readings that ask where the coolant goes, and gives the page of findings.
func (b *bench) low() string {
	b.t.Helper()
	b.take("coolant-level", "", "below", nil)
	b.take("coolant-traces", "", "old-stain", nil)
	return b.page(b.path("/findings")).Body.String()
}

// formAt gives the fields of the first form that is sent to an address.
func (b *bench) formAt(page, action string) url.Values {
	b.t.Helper()
	_, rest, ok := strings.Cut(page, `action="`+action+`"`)
	if !ok {
		b.t.Fatalf("no form for %s", action)
	}
	rest, _, _ = strings.Cut(rest, "</form>")
	return formOf(rest)
}

// goes sends a form and gives where it leads.
func (b *bench) goes(path string, form url.Values) string {
	b.t.Helper()
	w := b.submit(path, form)
	if w.Code != http.StatusSeeOther {
		b.t.Fatalf("%s: %d", path, w.Code)
	}
	return w.Header().Get("Location")
}

// panelOf cuts a panel out of a page.
func panelOf(page, id string) string {
	_, rest, _ := strings.Cut(page, `id="why-`+id+`"`)
	rest, _, _ = strings.Cut(rest, "confirm the cause")
	return rest
}

func TestPanelOnFindings(t *testing.T) {
	b := newBench(t, "metric")
	wants(t, b.page(b.path("/findings")).Body.String(), "What may be behind it", "asks for a cause", "Enter what the owner says")
	page := b.low()
	wants(t, page, `<a href="#why-coolant-loss">Where does the coolant go?</a>`)
	panel := panelOf(page, "coolant-loss")
	wants(t, panel, "Where does the coolant go?", "Coolant hose or union leaks", "Something else", "points, from", "The next look", "costs ", "Add it to the round", "class=\"caution\"", "For it")
	lacks(t, panel, "diagnosis", "NaN", "Inf")
}

// Every look that a panel offers leads, once added, to a page where it is answered; reading it again changes nothing.
func TestLookFromPanel(t *testing.T) {
	b := newBench(t, "metric")
	before := b.low()
	form := b.formAt(panelOf(before, "coolant-loss"), b.path("/looks"))
	for range 2 { // a double click
		if where := b.goes(b.path("/looks"), form); !strings.HasPrefix(where, b.path("/")) || b.page(where).Code != http.StatusOK {
			t.Fatalf("leads to %s", where)
		}
	}
	if n := len(b.view().Looks); n != 1 {
		t.Fatalf("%d looks on the list", n)
	}
	wants(t, b.get("").Body.String(), "Looks that settle a cause", b.view().Looks[0].Sign.Name)
	wants(t, panelOf(b.page(b.path("/findings")).Body.String(), "coolant-loss"), "On the round's list")
	for _, sign := range []string{"none", "tops-up-coolant"} {
		if w := b.submit(b.path("/looks"), url.Values{"sign": {sign}}); w.Code < 400 || w.Code >= 500 {
			t.Errorf("%s: %d", sign, w.Code)
		}
	}
	if n := len(b.view().Looks); n != 1 {
		t.Errorf("%d looks after bad ones", n)
	}
}

func TestLookOfItsOwnPage(t *testing.T) {
	b := newBench(t, "metric")
	b.low()
	where := b.goes(b.path("/looks"), url.Values{"sign": {"traces-at-hose"}, "for": {"coolant-loss"}})
	if where != b.path("/looks/traces-at-hose?for=coolant-loss") {
		t.Fatal(where)
	}
	page := b.page(where).Body.String()
	wants(t, page, "Does it begin at a hose end", "it scalds", "Can't be told", "Take it off")
	form := formOf(page)
	form.Set("answer", "")
	if w := b.submit(b.path("/looks/traces-at-hose"), form); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("no answer: %d", w.Code)
	}
	for _, c := range []struct{ answer, said, list string }{
		{shop.LookThere, "The look is stored", "there"}, {shop.LookNotThere, "The look is stored", "not there"}, {shop.LookOpen, "The look is stored", "can&#39;t be told"},
	} {
		form.Set("answer", c.answer) // the browser had kept the page, with the id that was used
		to := b.goes(b.path("/looks/traces-at-hose"), form)
		if !strings.HasSuffix(to, "#why-coolant-loss") {
			t.Errorf("leads to %s", to)
		}
		wants(t, b.page(strings.Split(to, "#")[0]).Body.String(), c.said)
		wants(t, b.get("").Body.String(), `<span class="said">`+c.list+`</span>`)
	}
	form.Set("answer", shop.LookOff)
	b.goes(b.path("/looks/traces-at-hose"), form)
	if n := len(b.view().Looks); n != 0 {
		t.Errorf("%d looks after it was taken off", n)
	}
	for path, code := range map[string]int{"/looks/none": 404, "/looks/pump-weeps": 404, "/looks/tops-up-coolant": 404} {
		if w := b.get(path); w.Code != code {
			t.Errorf("%s: %d", path, w.Code)
		}
	}
}

func TestToldPage(t *testing.T) {
	b := newBench(t, "metric")
	page := b.get("/told").Body.String()
	form := formOf(page)
	lacks(t, page, "What it means")
	form.Set("do", "match")
	form.Set("words", "  ")
	if w := b.submit(b.path("/told"), form); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("no words: %d", w.Code)
	}
	form.Set("words", "<b>It needs water all the time</b>")
	w := b.submit(b.path("/told"), form)
	if w.Code != http.StatusOK {
		t.Fatalf("%d", w.Code)
	}
	wants(t, w.Body.String(), "Owner tops up coolant", "because of", "&lt;b&gt;It needs water")
	lacks(t, w.Body.String(), "<b>It needs", "checked")
	form.Set("do", "store")
	form["sign"] = []string{"tops-up-coolant"}
	for range 2 {
		b.goes(b.path("/told"), form)
	}
	page = b.page(b.path("/findings")).Body.String()
	wants(t, page, "It needs water all the time", "Taken to mean: owner tops up coolant", "Where does the coolant go?", "the owner says so")
	_, rest, _ := strings.Cut(page, `action="`+b.path("/told/"))
	id, _, _ := strings.Cut(rest, "/withdraw")
	b.goes(b.path("/told/"+id+"/withdraw"), url.Values{"id": {"gone"}})
	lacks(t, b.page(b.path("/findings")).Body.String(), "Where does the coolant go?", "It needs water")
	form.Set("words", "")
	form.Set("id", "")
	if w := b.submit(b.path("/told"), form); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "own words") {
		t.Errorf("no words: %d", w.Code)
	}
}

func TestConfirmPage(t *testing.T) {
	b := newBench(t, "metric")
	b.low()
	wants(t, b.page("/causes").Body.String(), "Nothing was confirmed yet")
	path := b.path("/causes/coolant-loss")
	page := b.page(path).Body.String()
	wants(t, page, "Where does the coolant go?", "Coolant hose or union leaks", "Something else", "Held for")
	form := formOf(page)
	if w := b.submit(path, form); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "Choose what it turned out to be") {
		t.Errorf("nothing chosen: %d", w.Code)
	}
	form.Set("cause", shop.CauseElse)
	if w := b.submit(path, form); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "in a few words what it was") {
		t.Errorf("something without words: %d", w.Code)
	}
	form.Set("cause", "hose-leaks")
	form.Set("note", "split at the clamp")
	for range 2 {
		if where := b.goes(path, form); !strings.HasSuffix(where, "#why-coolant-loss") {
			t.Errorf("leads to %s", where)
		}
	}
	wants(t, b.page(b.path("/findings")).Body.String(), "It was: Coolant hose or union leaks.", "split at the clamp", "Correct the confirmed cause")
	page = b.page("/causes").Body.String()
	wants(t, page, "How often a car has it", "seen in 1 of 1 car", "weighs as much as 200 cars", "split at the clamp")
	undo := b.formAt(page, path+"/undo")
	if where := b.goes(path+"/undo", undo); !strings.HasPrefix(where, "/causes") {
		t.Errorf("undo leads to %s", where)
	}
	b.goes(path+"/undo", undo) // pressed twice
	wants(t, b.page("/causes").Body.String(), "Nothing was confirmed yet")
	lacks(t, b.page(b.path("/findings")).Body.String(), "It was:")
	for _, bad := range []string{b.path("/causes/none"), "/rounds/none/causes/coolant-loss"} {
		if w := b.page(bad); w.Code != http.StatusNotFound {
			t.Errorf("%s: %d", bad, w.Code)
		}
	}
	if w := b.submit(path+"/undo", url.Values{"fact": {"none"}}); w.Code != http.StatusNotFound {
		t.Errorf("undo of nothing: %d", w.Code)
	}
}

// Evidence that can't be true together is said, and no chance is shown beside it.
func TestImpossibleEvidenceIsSaid(t *testing.T) {
	b := newBench(t, "metric")
	s := &server{shop: b.shop}
	cat := b.shop.Catalogue()
	c := &shop.CausesOf{Round: b.view().Round, Panels: []diagnose.Panel{{Complaint: cat.Complaint("coolant-loss"), Trouble: "These can't be true together: X and Y. Look at them again.",
		Causes: []diagnose.Ranked{{Cause: cat.Cause("hose-leaks"), P: 0.018}}}}}
	var err error
	if s.pages, err = s.withAssets().loadPages(); err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	b.must(s.pages["findings_show"].ExecuteTemplate(&out, "why", s.whyOf(c)))
	wants(t, out.String(), "No chances can be given.", "can&#39;t be true together: X and Y", "Weighed were: coolant hose")
	lacks(t, out.String(), "2\u00a0%", "1 %", "class=\"chance\"", "The next look", "Something else")
}

// withAssets gives the server what templates ask for.
func (s *server) withAssets() *server {
	s.assets = &assets{url: map[string]string{}}
	return s
}

func TestChanceInWords(t *testing.T) {
	for p, want := range map[float64]string{0: "very unlikely, 0 %", 0.001: "very unlikely, under 1 %", 0.34: "possible, 34 %", 0.82: "likely, 82 %", 0.999: "certain, over 99 %", 1: "certain, 100 %"} {
		if got := strings.ReplaceAll(inWords(p), "\u00a0", " "); got != want {
			t.Errorf("%g: %q, not %q", p, got, want)
		}
	}
	up := moved(diagnose.Moved{Sign: &point.Sign{}, Reading: "Traces", From: 0.12, To: 0.31})
	down := moved(diagnose.Moved{Sign: &point.Sign{}, Reading: "Traces", From: 0.021, To: 0.015})
	if !strings.HasPrefix(up.Move, "+19 points, from 12") || !strings.HasPrefix(down.Move, "−0.6 points") {
		t.Errorf("%q, %q", up.Move, down.Move)
	}
}
