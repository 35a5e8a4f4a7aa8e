package web

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"witnessmark/shop"
)

// Bad input gives an error in the label's words, at the field and at the top, keeps what was typed and stores nothing;
// the server goes on.
func TestRoundBadInput(t *testing.T) {
	b := newBench(t, "metric")
	for _, c := range []struct {
		name, point string
		set         map[string]string
		code        int
		says, kept  string
	}{
		{"state out of list", "brake-fluid-look", map[string]string{"state|brake-fluid-look|": "purple"}, 422, "purple", ""},
		{"one bad number in a grid", "tyre-tread", map[string]string{"num|tyre-tread|FL/outer|mm": "4.8", "num|tyre-tread|FR/inner|mm": "wet", "do": "save"}, 422, "Front right, inner: ", `value="4.8"`},
		{"wrong unit", "tyre-tread", map[string]string{"num|tyre-tread|FL/outer|mm": "4 bar", "do": "save"}, 422, "Front left, outer: ", `value="4 bar"`},
		{"out of range", "coolant-level", map[string]string{"state|coolant-level|": "below", "num|coolant-level||deficit_L": "99", "do": "save"}, 422, "Litres needed to fill: expected 0", `value="99"`},
		{"two numbers in one", "tyre-pressure", map[string]string{"num|tyre-pressure|FL|bar": "2,2,2", "do": "save"}, 422, "Front left: ", `value="2,2,2"`},
		{"bad companion", "tyre-pressure", map[string]string{"num|tyre-pressure|FL|bar": "2.2", "with|tyre-pressure||degC": "warm", "do": "save"}, 422, "Temperature of the tyre", `value="warm"`},
		{"code", "tyre-date", map[string]string{"code|tyre-date|FL": "9917", "do": "save"}, 422, "week 12 of 2017", `value="9917"`},
		{"endless note", "brake-fluid-look", map[string]string{"state|brake-fluid-look|": "opaque", "note": strings.Repeat("x", 600)}, 422, "longer than 500", "xxx"},
		{"markup", "tyre-tread", map[string]string{"num|tyre-tread|FL/outer|mm": `"><script>alert(1)</script>`, "do": "save"}, 422, "&lt;script&gt;", ""},
	} {
		a := b.answer(c.point, c.set)
		if a.code != c.code {
			t.Errorf("%s: %d, expected %d", c.name, a.code, c.code)
		}
		if n := strings.Count(a.page, c.says); n < 1 {
			t.Errorf("%s: the page does not say %q", c.name, c.says)
		}
		if !strings.Contains(a.page, "Please look again") || !strings.Contains(a.page, `class="error"`) || strings.Contains(a.page, "<script>alert") {
			t.Errorf("%s: no summary, no error at the field, or markup let through", c.name)
		}
		if !strings.Contains(a.page, c.kept) {
			t.Errorf("%s: what was typed is lost", c.name)
		}
		if n := b.facts(c.point); n != 0 {
			t.Errorf("%s: %d readings stored", c.name, n)
		}
	}
	b.stillUp()
}

// stillUp checks that nothing was stored in the round and that the server answers.
func (b *bench) stillUp() {
	b.t.Helper()
	if v := b.view(); v.Looked+v.Skipped != 0 {
		b.t.Errorf("%d looked, %d skipped; expected nothing stored", v.Looked, v.Skipped)
	}
	if w := b.get(""); w.Code != http.StatusOK {
		b.t.Errorf("the round afterwards: %d", w.Code)
	}
}

// A position that the car lacks can't be answered: fields of it are not the form's.
func TestRoundPlaceThatTheCarLacks(t *testing.T) {
	b := newBench(t, "metric")
	a := b.answer("pad-thickness", map[string]string{"num|pad-thickness|RL/inner|mm": "7", "id|pad-thickness|RL/inner": "x", "do": "save"})
	if a.code != http.StatusUnprocessableEntity || b.facts("pad-thickness") != 0 {
		t.Errorf("a rear pad on drums: %d, %d readings", a.code, b.facts("pad-thickness"))
	}
	b.stillUp()
}

func TestRoundUnknownAddresses(t *testing.T) {
	b := newBench(t, "metric")
	for _, c := range []struct {
		path string
		says string
	}{
		{b.path("/points/no-such-point"), "no such point in this round"},
		{b.path("/points/fan-rock"), "does not apply"},
		{"/rounds/none", "nothing here"},
		{"/rounds/none/points/brake-fluid-look", "nothing here"},
		{"/rounds/none/check", "nothing here"},
		{"/rounds/none/type", "nothing here"},
		{"/rounds/none/sheet", "nothing here"},
		{"/rounds/none/sheet.pdf", "nothing here"},
	} {
		w := b.send(httptest.NewRequest("GET", c.path, nil))
		if w.Code != http.StatusNotFound || !strings.Contains(w.Body.String(), c.says) {
			t.Errorf("%s: %d without %q", c.path, w.Code, c.says)
		}
	}
	for _, path := range []string{"/points/no-such-point", "/points/fan-rock", "/points/no-such-point/photo", "/points/no-such-point/undo", "/points/no-such-point/photo/remove"} {
		if w := b.post(path, url.Values{"do": {"save"}, "state|fan-rock|": {"no-play"}}); w.Code != http.StatusNotFound {
			t.Errorf("POST %s: %d", path, w.Code)
		}
	}
	if w := b.get("/type?station=moon"); w.Code != http.StatusBadRequest {
		t.Errorf("a station that does not exist: %d", w.Code)
	}
	b.stillUp()
}

func TestRoundLargeBodies(t *testing.T) {
	b := newBench(t, "metric")
	huge := url.Values{"num|tyre-tread|FL/outer|mm": {strings.Repeat("9", photoLimit+1)}}
	if w := b.post("/points/tyre-tread", huge); w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("a form over the limit: %d", w.Code)
	}
	if w := b.post("/type", url.Values{"station": {strings.Repeat("x", sheetLimit+1)}}); w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("a sheet over the limit: %d", w.Code)
	}
	if w := b.upload("/points/tyre-tread/photo", nil, make([]byte, photoLimit+1)); w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("a photo over the limit: %d", w.Code)
	}
	b.stillUp()
}

func TestRoundRefusesOtherSites(t *testing.T) {
	b := newBench(t, "metric")
	r := httptest.NewRequest("POST", b.path("/points/brake-fluid-look"), strings.NewReader("state%7Cbrake-fluid-look%7C=opaque"))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Sec-Fetch-Site", "cross-site")
	if w := b.send(r); w.Code != http.StatusForbidden {
		t.Errorf("a form from another site: %d", w.Code)
	}
	b.stillUp()
}

// A doubtful entry is asked back with a button that stores it as typed; it is not blocked and not stored unasked.
func TestRoundAsksBack(t *testing.T) {
	b := newBench(t, "metric")
	s := &server{shop: b.shop}
	var err error
	if s.assets, err = loadAssets(); err != nil {
		t.Fatal(err)
	}
	if s.pages, err = s.loadPages(); err != nil {
		t.Fatal(err)
	}
	v := b.view()
	for i, st := range v.Steps {
		if st.Point.ID != "tyre-tread" && st.Point.ID != "brake-fluid-look" {
			continue
		}
		name := fieldName("num", st.Point.ID, "FL/outer", "mm")
		if st.Point.ID == "brake-fluid-look" {
			name = fieldName("state", st.Point.ID, "")
		}
		f := newForm(url.Values{name: {"opaque"}})
		f.Problems = append(f.Problems, shop.FieldError{Field: name, Text: "Front left, outer: deeper than last time.", Ask: true, Likely: "4.1"})
		w := httptest.NewRecorder()
		if err := s.showPoint(w, httptest.NewRequest("GET", b.path(""), nil), v, i, f, http.StatusUnprocessableEntity); err != nil {
			t.Fatal(err)
		}
		page := w.Body.String()
		for _, x := range []string{`name="confirmed" value="1"`, "Is this right?", "deeper than last time", "Perhaps 4.1 was meant"} {
			if !strings.Contains(page, x) {
				t.Errorf("%s: the page lacks %q", st.Point.ID, x)
			}
		}
		if got := formOf(page).Get(name); got != "opaque" {
			t.Errorf("%s: the page keeps %q of what was entered", st.Point.ID, got)
		}
	}
}
