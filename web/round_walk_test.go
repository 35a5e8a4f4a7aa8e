package web

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
)

func TestRoundListAndCheck(t *testing.T) {
	b := newBench(t, "metric")
	b.take("brake-fluid-look", "", "opaque", nil)
	list := b.get("").Body.String()
	for _, s := range []string{"<b>1</b> of ", "Engine, cold", "1 of ", "Papers, next", "/type", "/sheet", "/check", "What does not apply to this car", "Leave and resume any time", "Your initials"} {
		if !strings.Contains(list, s) {
			t.Errorf("the list lacks %q", s)
		}
	}
	check := b.get("/check").Body.String()
	for _, s := range []string{"Opaque", "Change", "Answer", "Finish the round with "} {
		if !strings.Contains(check, s) {
			t.Errorf("the check page lacks %q", s)
		}
	}
	form := formOf(check)
	for range 2 {
		if w := b.post("/end", form); w.Code != http.StatusSeeOther || w.Header().Get("Location") != b.path("/findings") {
			t.Fatalf("%d %s", w.Code, w.Header().Get("Location"))
		}
	}
	if b.view().Round.EndedAt == 0 {
		t.Error("the round has not ended")
	}
	// A finished round takes corrections and says so.
	if page := b.get("/points/brake-fluid-look").Body.String(); !strings.Contains(page, "This round is finished") {
		t.Error("the page does not say that the round is finished")
	}
	if a := b.answer("brake-fluid-look", map[string]string{"state|brake-fluid-look|": "darkened"}); a.code != http.StatusSeeOther {
		t.Errorf("a correction after the end: %d", a.code)
	}
	if now := b.step("brake-fluid-look").Current[""]; now.State != "darkened" {
		t.Errorf("%+v", now)
	}
}

func TestRoundInitials(t *testing.T) {
	b := newBench(t, "metric")
	w := b.post("/initials", url.Values{"by": {"mk"}})
	cookies := w.Result().Cookies()
	if w.Code != http.StatusSeeOther || len(cookies) != 1 || cookies[0].Value != "mk" {
		t.Fatalf("%d %v", w.Code, cookies)
	}
	r := httptest.NewRequest("GET", b.path("/points/brake-fluid-look"), nil)
	r.AddCookie(cookies[0])
	if page := b.send(r).Body.String(); strings.Contains(page, "Your initials") {
		t.Error("initials are asked twice")
	}
}

func TestRoundSheets(t *testing.T) {
	b := newBench(t, "metric")
	page := b.get("/sheet").Body.String()
	for _, s := range []string{"Brake fluid, look", "last: Clear and pale", "1 Clear and pale", "Front left, outer", "Engine, cold", "It does not say that a car is safe"} {
		if !strings.Contains(page, s) {
			t.Errorf("the sheet lacks %q", s)
		}
	}
	w := b.get("/sheet.pdf")
	if w.Code != http.StatusOK || w.Header().Get("Content-Type") != "application/pdf" || !strings.HasPrefix(w.Body.String(), "%PDF") ||
		!strings.Contains(w.Header().Get("Content-Disposition"), "TE5107") {
		t.Errorf("%d %v", w.Code, w.Header())
	}
}

func TestRoundTyped(t *testing.T) {
	b := newBench(t, "metric")
	page := b.get("/type?station=engine-cold").Body.String()
	for _, s := range []string{"1 Clear and pale", "<datalist", `name="text|brake-fluid-look|"`, `name="text|air-filter|2"`, `name="num|coolant-freeze-point||degC"`} {
		if !strings.Contains(page, s) {
			t.Errorf("the sheet lacks %q", s)
		}
	}
	form := formOf(page)
	form.Set("text|brake-fluid-look|", "3")
	form.Set("text|air-filter|1", "dus")
	form.Set("text|air-filter|2", "? lid seized")
	form.Set("text|brake-fluid-level|", "50 %")
	form.Set("text|coolant-level|", "2 Below")
	form.Set("num|coolant-level||deficit_L", "0.9")
	form.Set("num|coolant-freeze-point||degC", "-25")
	form.Set("num|brake-fluid-water||percent", "wet")
	form.Set("text|coolant-look|", "purple")
	w := b.post("/type", form)
	body := w.Body.String()
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(body, `value="wet"`) || !strings.Contains(body, `value="purple"`) {
		t.Fatalf("%d, typed values kept: %v %v", w.Code, strings.Contains(body, `value="wet"`), strings.Contains(body, `value="purple"`))
	}
	for _, s := range []string{`href="#f-num_brake-fluid-water__percent"`, `id="f-num_brake-fluid-water__percent"`, `href="#f-text_coolant-look_"`, "none of the answers", "What is not named here is stored"} {
		if !strings.Contains(body, s) {
			t.Errorf("the refused sheet lacks %q", s)
		}
	}
	for point, want := range map[string]string{"brake-fluid-look": "opaque", "coolant-level": "below"} {
		if got := b.step(point).Current[""].State; got != want {
			t.Errorf("%s is %q, expected %q", point, got, want)
		}
	}
	air := b.step("air-filter").Current
	if air["1"].State != "dusty" || air["2"].Skipped != "lid seized" {
		t.Errorf("air filters: %+v", air)
	}
	if b.step("brake-fluid-level").Current[""].Values["fraction"] != 0.5 || b.step("coolant-freeze-point").Current[""].Values["degC"] != -25 {
		t.Error("a share of the band or a temperature is not what was typed")
	}
	before := b.all()
	form = formOf(body)
	form.Set("num|brake-fluid-water||percent", "2")
	form.Set("text|coolant-look|", "bri")
	w = b.post("/type", form)
	if w.Code != http.StatusSeeOther || !strings.Contains(w.Header().Get("Location"), "station=engine-running&stored=2") {
		t.Fatalf("%d %s", w.Code, w.Header().Get("Location"))
	}
	if n := b.all() - before; n != 2 {
		t.Errorf("%d readings for the mended two", n)
	}
	// The sheet sent as it is shown stores nothing more.
	form = formOf(b.get("/type?station=engine-cold").Body.String())
	before = b.all()
	if w = b.post("/type", form); w.Code != http.StatusSeeOther || b.all() != before {
		t.Errorf("an untouched sheet: %d, %d readings more", w.Code, b.all()-before)
	}
}

// all counts the readings of the round.
func (b *bench) all() int {
	n := 0
	for _, st := range b.view().Steps {
		n += b.facts(st.Point.ID)
	}
	return n
}

// Who came from the check page to change an answer goes back there.
func TestRoundChangeFromCheck(t *testing.T) {
	b := newBench(t, "metric")
	b.take("brake-fluid-look", "", "opaque", nil)
	if !strings.Contains(b.get("/check").Body.String(), "/points/brake-fluid-look?from=check") {
		t.Fatal("the check page has no link to change the answer")
	}
	form := formOf(b.get("/points/brake-fluid-look?from=check").Body.String())
	form.Set("state|brake-fluid-look|", "darkened")
	w := b.post("/points/brake-fluid-look", form)
	if where := w.Header().Get("Location"); !strings.HasPrefix(where, b.path("/check?saved=brake-fluid-look")) {
		t.Errorf("%d %s", w.Code, where)
	}
}

// The round's script is told the next address instead of being redirected.
func TestRoundAnswersItsScript(t *testing.T) {
	b := newBench(t, "metric")
	r := httptest.NewRequest("POST", b.path("/points/brake-fluid-look"), strings.NewReader(url.Values{"state|brake-fluid-look|": {"opaque"}, "taken": {"1774000000000"}}.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("X-Round", "1")
	w := b.send(r)
	if w.Code != http.StatusNoContent || !strings.Contains(w.Header().Get("X-Next"), "saved=brake-fluid-look") {
		t.Errorf("%d %v", w.Code, w.Header())
	}
	if got := b.step("brake-fluid-look").Current[""].TakenAt; got != 1774000000000 {
		t.Errorf("taken at %d", got)
	}
}
