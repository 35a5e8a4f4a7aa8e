package web

import (
	"net/http"
	"strings"
	"testing"
)

// A note is asked once for all places of a point, so what is wrong with it is said once, beside the note, and its length
// is counted in letters whatever the script.
func TestRoundLongNote(t *testing.T) {
	b := newBench(t, "metric")
	form := formOf(b.get("/points/tyre-damage").Body.String())
	form.Set("all|tyre-damage|", "none")
	form.Set("note", strings.Repeat("ש", 501))
	w := b.post("/points/tyre-damage", form)
	page := w.Body.String()
	if w.Code != http.StatusUnprocessableEntity || strings.Count(page, `href="#f-note"`) != 1 || b.facts("tyre-damage") != 0 {
		t.Fatalf("%d, named %d times, %d readings", w.Code, strings.Count(page, `href="#f-note"`), b.facts("tyre-damage"))
	}
	form.Set("note", strings.Repeat("ש", 500))
	if w = b.post("/points/tyre-damage", form); w.Code != http.StatusSeeOther {
		t.Errorf("500 letters: %d", w.Code)
	}
}

// What was stored is told in one or two lines, however much belongs to it.
func TestRoundSavedTextIsShort(t *testing.T) {
	b := newBench(t, "us")
	form := formOf(b.get("/points/tyre-pressure").Body.String())
	for at, v := range map[string]string{"FL": "32", "FR": "2.2 bar", "RL": "220 kPa", "RR": "35"} {
		form.Set("num|tyre-pressure|"+at+"|bar", v)
	}
	for name := range form {
		if strings.HasPrefix(name, "with|tyre-pressure|") && strings.HasSuffix(name, "degC") {
			form.Set(name, "60")
		}
	}
	w := b.post("/points/tyre-pressure", form)
	if w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	page := b.page(w.Header().Get("Location")).Body.String()
	_, said, _ := strings.Cut(page, `<span>Saved:</span> `)
	if said, _, _ = strings.Cut(said, "</p>"); !strings.HasPrefix(said, "Tyre pressure: ") || len(said) > 120 {
		t.Errorf("%d letters: %q", len(said), said)
	}
}

// Who says who is looking comes back to the question from which they came, and to nowhere else.
func TestRoundInitialsLeadBack(t *testing.T) {
	b := newBench(t, "metric")
	if page := b.get("/points/brake-fluid-look").Body.String(); !strings.Contains(page, "?then=brake-fluid-look#f-by") || strings.Contains(page, `id="f-by"`) {
		t.Error("initials are asked between the question and its answers")
	}
	form := formOf(b.get("?then=brake-fluid-look").Body.String())
	for then, want := range map[string]string{"brake-fluid-look": "/points/brake-fluid-look", "//elsewhere.example": "/points/%2F%2Felsewhere.example", "": ""} {
		form.Set("by", "mk")
		form.Set("then", then)
		if w := b.post("/initials", form); w.Header().Get("Location") != b.path(want) {
			t.Errorf("%q leads to %q", then, w.Header().Get("Location"))
		}
	}
}

func TestRoundStationThatIsNone(t *testing.T) {
	b := newBench(t, "metric")
	if w := b.get("/stations/nowhere"); w.Code != http.StatusNotFound {
		t.Errorf("%d", w.Code)
	}
}

func TestAllOf(t *testing.T) {
	for n, want := range map[int]string{2: "both", 4: "all four", 13: "all 13"} {
		if got := allOf(n); got != want {
			t.Errorf("%d: %q", n, got)
		}
	}
}
