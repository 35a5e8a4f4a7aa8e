package web

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"witnessmark/shop"
)

// answer posts one point's form with some fields changed.
func (b *bench) answer(point string, set map[string]string) *answerResult {
	b.t.Helper()
	page := b.get("/points/" + point)
	if page.Code != http.StatusOK {
		b.t.Fatalf("%s: %d", point, page.Code)
	}
	form := formOf(page.Body.String())
	for k, v := range set {
		form.Set(k, v)
	}
	w := b.post("/points/"+point, form)
	return &answerResult{form, w.Code, w.Header().Get("Location"), w.Body.String()}
}

type answerResult struct {
	form  url.Values
	code  int
	where string
	page  string
}

func TestRoundPointOfEveryKind(t *testing.T) {
	b := newBench(t, "metric")
	for _, c := range []struct {
		point string
		has   []string
	}{
		{"brake-fluid-look", []string{"Brake fluid: what does it look like?", "12 of ", "Last time: clear and pale, 14\u202f200\u00a0km ago.", `value="opaque"`, "hurts eyes and skin", "Can&#39;t see it"}},
		{"brake-fluid-level", []string{"share of the band", `value="below-min"`}},
		{"coolant-level", []string{`type="radio" name="state|coolant-level|" value="in-band"`, "deficit_L", "Last time: in band"}},
		{"tyre-tread", []string{"num|tyre-tread|FL/outer|mm", "num|tyre-tread|RR/inner|mm", "Scale: limit 1.6", "last </span>5.2", "Seen from above"}},
		{"tyre-damage", []string{`name="all|tyre-damage|" value="none"`, `name="state|tyre-damage|RR"`, "last: scuffed", "<legend>All four the same"}},
		{"tyre-date", []string{"code|tyre-date|FL", "code|tyre-date|spare"}},
		{"disc-thickness", []string{"Minimum disc thickness", "#f-spec_disc-thickness-min-mm_FL"}},
		{"tyre-pressure", []string{"with|tyre-pressure||degC", `value="11"`, "The air at the start of the round"}},
		{"timing-belt-age", []string{"num|timing-belt-age||km", "num|timing-belt-age||months"}},
		{"air-filter", []string{"state|air-filter|1", "state|air-filter|2"}},
	} {
		w := b.get("/points/" + c.point)
		if w.Code != http.StatusOK {
			t.Errorf("%s: %d", c.point, w.Code)
			continue
		}
		for _, s := range c.has {
			if !strings.Contains(w.Body.String(), s) {
				t.Errorf("%s: the page lacks %q", c.point, s)
			}
		}
	}
}

// Every point of the round has a page, and a form sent as it is stores nothing (one in four is sent, to save time).
func TestRoundEveryPointUntouched(t *testing.T) {
	b := newBench(t, "us")
	for i, st := range b.view().Steps {
		w := b.get("/points/" + st.Point.ID)
		if w.Code != http.StatusOK {
			t.Fatalf("%s: %d", st.Point.ID, w.Code)
		}
		if i%4 != 0 {
			continue
		}
		form := formOf(w.Body.String())
		form.Set("do", "save")
		if w := b.post("/points/"+st.Point.ID, form); w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s: an empty form gave %d", st.Point.ID, w.Code)
		}
	}
	if v := b.view(); v.Looked+v.Skipped != 0 {
		t.Errorf("%d looked, %d skipped after empty forms", v.Looked, v.Skipped)
	}
}

func TestRoundStateSavesAndGoesOn(t *testing.T) {
	b := newBench(t, "metric")
	a := b.answer("brake-fluid-look", map[string]string{"state|brake-fluid-look|": "opaque", "by": "mk"})
	if a.code != http.StatusSeeOther || !strings.Contains(a.where, "/points/") || !strings.Contains(a.where, "saved=brake-fluid-look") {
		t.Fatalf("%d %s", a.code, a.where)
	}
	now := b.step("brake-fluid-look").Current[""]
	if now.State != "opaque" || now.By != "mk" {
		t.Errorf("stored %+v", now)
	}
	next := b.get(strings.TrimPrefix(a.where, b.path("")))
	for _, s := range []string{"Saved:", "Brake fluid, look: Opaque", "/points/brake-fluid-look/undo"} {
		if !strings.Contains(next.Body.String(), s) {
			t.Errorf("the next page lacks %q", s)
		}
	}
	// The same form again, and once more as an answer changed on a page that the browser had kept.
	if w := b.post("/points/brake-fluid-look", a.form); w.Code != http.StatusSeeOther {
		t.Errorf("the same form again: %d", w.Code)
	}
	if n := b.facts("brake-fluid-look"); n != 1 {
		t.Errorf("%d readings after a double click, expected 1", n)
	}
	a.form.Set("state|brake-fluid-look|", "darkened")
	for range 2 {
		if w := b.post("/points/brake-fluid-look", a.form); w.Code != http.StatusSeeOther {
			t.Fatalf("another answer from the kept page: %d %s", w.Code, w.Body)
		}
	}
	st := b.step("brake-fluid-look")
	if st.Current[""].State != "darkened" || st.First[""].State != "opaque" || b.facts("brake-fluid-look") != 2 {
		t.Errorf("now %q, first %q, %d readings", st.Current[""].State, st.First[""].State, b.facts("brake-fluid-look"))
	}
	if page := b.get("/points/brake-fluid-look").Body.String(); !strings.Contains(page, "first entered: Opaque") {
		t.Error("the page does not show the first entry")
	}
}

// facts counts a point's readings of this round, corrected and withdrawn ones too.
func (b *bench) facts(point string) int {
	b.t.Helper()
	n := 0
	b.must(b.store.View(context.Background(), func(r shop.Reader) error {
		all, err := r.Readings(context.Background(), b.round)
		for _, f := range all {
			if f.Point == point {
				n++
			}
		}
		return err
	}))
	return n
}

func TestRoundUndo(t *testing.T) {
	b := newBench(t, "metric")
	a := b.answer("tyre-damage", map[string]string{"all|tyre-damage|": "none"})
	page := b.get(strings.TrimPrefix(a.where, b.path(""))).Body.String()
	if !strings.Contains(page, "all four: None") {
		t.Fatal("the next page does not say what was saved")
	}
	form := formOf(page[strings.Index(page, `class="saved"`):strings.Index(page, "</form>")])
	for range 2 {
		if w := b.post("/points/tyre-damage/undo", form); w.Code != http.StatusSeeOther || !strings.Contains(w.Header().Get("Location"), "did=undone") {
			t.Fatalf("undo: %d %s", w.Code, w.Header().Get("Location"))
		}
	}
	if st := b.step("tyre-damage"); len(st.Current) != 0 || st.Done() {
		t.Errorf("after undo: %v", st.Current)
	}
	if n := b.facts("tyre-damage"); n != 8 {
		t.Errorf("%d facts, expected four readings and four withdrawals", n)
	}
	if w := b.post("/points/tyre-damage/undo", url.Values{"at": {"XX"}}); w.Code != http.StatusBadRequest {
		t.Errorf("undo at no place: %d", w.Code)
	}
}

func TestRoundGrid(t *testing.T) {
	b := newBench(t, "metric")
	a := b.answer("tyre-tread", map[string]string{"num|tyre-tread|FL/outer|mm": "3,8", "num|tyre-tread|FL/inner|mm": "5/32in", "do": "save"})
	if a.code != http.StatusSeeOther || !strings.Contains(a.where, "/points/tyre-tread?") {
		t.Fatalf("a grid with open places: %d %s", a.code, a.where)
	}
	st := b.step("tyre-tread")
	if got := st.Current["FL/outer"].Values["mm"]; got != 3.8 {
		t.Errorf("3,8 became %v", got)
	}
	if got := st.Current["FL/inner"].Values["mm"]; got != 5*25.4/32 {
		t.Errorf("5/32in became %v", got)
	}
	// Saving what is shown makes no correction though the field shows a rounded number.
	b.answer("tyre-tread", map[string]string{"num|tyre-tread|RL/outer|mm": "4.1", "do": "save"})
	if n := b.facts("tyre-tread"); n != 3 {
		t.Errorf("%d readings, expected 3", n)
	}
	a = b.answer("tyre-tread", map[string]string{"do": "skip", "quick": "too dirty to see"})
	if st = b.step("tyre-tread"); !st.Done() || st.Current["RR/inner"].Skipped != "too dirty to see" || st.Current["FL/outer"].Skipped != "" {
		t.Errorf("after skipping the rest: %d, %+v", a.code, st.Current)
	}
	b.answer("tyre-tread", map[string]string{"num|tyre-tread|FL/outer|mm": "", "do": "save"})
	if _, has := b.step("tyre-tread").Current["FL/outer"]; has {
		t.Error("a cleared field is still there")
	}
}

func TestRoundCompanionsAskedOnce(t *testing.T) {
	b := newBench(t, "metric")
	b.answer("tyre-pressure", map[string]string{"num|tyre-pressure|FL|bar": "2.2", "num|tyre-pressure|RR|bar": "33 psi", "with|tyre-pressure||degC": "14", "do": "save"})
	st := b.step("tyre-pressure")
	if st.Current["FL"].Values["degC"] != 14 || st.Current["RR"].Values["degC"] != 14 || st.Current["FL"].Values["bar"] != 2.2 {
		t.Errorf("%+v", st.Current)
	}
	b.answer("tyre-pressure", map[string]string{"with|tyre-pressure||degC": "16", "do": "save"})
	if st = b.step("tyre-pressure"); st.Current["FL"].Values["degC"] != 16 || len(st.Current) != 2 {
		t.Errorf("after correcting the temperature: %+v", st.Current)
	}
}

func TestRoundLevelBothWays(t *testing.T) {
	b := newBench(t, "metric")
	b.answer("brake-fluid-level", map[string]string{"num|brake-fluid-level||fraction": "1/2", "do": "save"})
	if got := b.step("brake-fluid-level").Current[""].Values["fraction"]; got != 0.5 {
		t.Errorf("1/2 became %v", got)
	}
	b.answer("brake-fluid-level", map[string]string{"state|brake-fluid-level|": "low"})
	if now := b.step("brake-fluid-level").Current[""]; now.State != "low" || len(now.Values) != 0 {
		t.Errorf("a state after a share: %+v", now)
	}
	b.answer("coolant-level", map[string]string{"state|coolant-level|": "below", "num|coolant-level||deficit_L": "0.9", "do": "save"})
	if now := b.step("coolant-level").Current[""]; now.State != "below" || now.Values["deficit_L"] != 0.9 {
		t.Errorf("a level with litres: %+v", now)
	}
}

func TestRoundSkipAndNote(t *testing.T) {
	b := newBench(t, "metric")
	if a := b.answer("brake-fluid-look", map[string]string{"do": "skip", "note": "cap stuck"}); a.code != http.StatusUnprocessableEntity ||
		!strings.Contains(a.page, "Say why it was not looked at") || !strings.Contains(a.page, "cap stuck") {
		t.Errorf("skipping without a reason: %d", a.code)
	}
	b.answer("brake-fluid-look", map[string]string{"do": "skip", "reason": "cap will not turn", "quick": "can't see it", "note": "cap stuck"})
	if now := b.step("brake-fluid-look").Current[""]; now.Skipped != "cap will not turn" || now.Note != "cap stuck" {
		t.Errorf("%+v", now)
	}
	b.answer("brake-fluid-look", map[string]string{"note": "penetrating oil ordered", "do": "save"})
	if now := b.step("brake-fluid-look").Current[""]; now.Skipped == "" || now.Note != "penetrating oil ordered" {
		t.Errorf("a note alone: %+v", now)
	}
	b.answer("brake-fluid-look", map[string]string{"state|brake-fluid-look|": "opaque"})
	b.answer("brake-fluid-look", map[string]string{"do": "skip", "reason": "was the wrong car"})
	if now := b.step("brake-fluid-look").Current[""]; now.Skipped != "was the wrong car" || now.State != "" {
		t.Errorf("a reason after an answer: %+v", now)
	}
}

// A reading that another way of entry made for the whole point speaks for every place of it.
func TestRoundReadingForTheWholePoint(t *testing.T) {
	b := newBench(t, "metric")
	b.take("tyre-damage", "", "none", nil)
	b.must(b.shop.Record(context.Background(), []shop.ReadingInput{{ID: b.shop.NewID(), RoundID: b.round, Point: "pad-thickness", Skipped: "wheels stayed on"}}))
	if page := b.get("/points/tyre-damage").Body.String(); strings.Count(page, "saved: None") != 4 {
		t.Error("the places do not show the point's answer")
	}
	if page := b.get("/points/pad-thickness").Body.String(); !strings.Contains(page, "not looked at: wheels stayed on") {
		t.Error("the grid does not show the point's reason")
	}
	form := formOf(b.get("/type?station=wheels-off").Body.String())
	if form.Get("num|pad-thickness|FL/inner|mm") != "? wheels stayed on" {
		t.Errorf("the sheet shows %q", form.Get("num|pad-thickness|FL/inner|mm"))
	}
	before := b.all()
	b.post("/type", form)
	b.answer("tyre-damage", map[string]string{"do": "save"})
	if n := b.all() - before; n != 0 {
		t.Errorf("%d readings from untouched forms", n)
	}
	b.answer("tyre-damage", map[string]string{"state|tyre-damage|RL": "scuffed", "do": "save"})
	if st := b.step("tyre-damage"); st.Current["RL"].State != "scuffed" || st.Current[""].State != "none" {
		t.Errorf("%+v", st.Current)
	}
}
