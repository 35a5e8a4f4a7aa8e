package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// TestPlanPage: what was found stands at a visit; moving it is shown before it is kept, kept once, and let go again.
func TestPlanPage(t *testing.T) {
	b := newBench(t, "metric")
	b.take("coolant-level", "", "below", nil)
	b.fill("metric")
	plan := planPath(b.car)
	page := b.page(plan)
	if page.Code != http.StatusOK || !strings.Contains(page.Body.String(), "planwant") {
		t.Fatalf("%d: %.400s", page.Code, page.Body)
	}
	p, err := b.shop.Plan(t.Context(), b.car)
	if err != nil || len(p.Visits) == 0 {
		t.Fatal(p, err)
	}
	var key, on string
	for _, v := range p.Visits {
		for _, w := range v.Wants {
			if key == "" && w.HardOn == "" {
				key = w.Key
			}
		}
	}
	if key == "" {
		t.Fatal("nothing can be moved")
	}
	on = p.Days[len(p.Days)-1].On
	move := b.page(plan + "/move?want=" + url.QueryEscape(key) + "&on=" + on)
	if move.Code != http.StatusOK || !strings.Contains(move.Body.String(), "weighs") {
		t.Fatalf("move: %d: %.400s", move.Code, move.Body)
	}
	form := url.Values{"place-id": {"placed-once-1"}, "want": {key}, "on": {on}, "by": {"ab"}}
	for range 2 {
		if got := b.submit(plan+"/place", form); got.Code != http.StatusSeeOther || got.Header().Get("Location") != plan+"?did=placed" {
			t.Fatalf("place: %d %s", got.Code, got.Body)
		}
	}
	if body := b.page(plan).Body.String(); !strings.Contains(body, "put here by hand") {
		t.Error("the plan does not keep where it was put")
	}
	// A day that is past is refused beside the plan, and nothing is kept.
	bad := b.submit(plan+"/place", url.Values{"place-id": {"placed-2"}, "want": {key}, "on": {"2001-01-01"}})
	if bad.Code != http.StatusUnprocessableEntity || !strings.Contains(bad.Body.String(), "That day is past") {
		t.Errorf("a past day: %d", bad.Code)
	}
	if got := b.submit(plan+"/place", url.Values{"place-id": {"placed-3"}, "want": {key}, "on": {""}}); got.Code != http.StatusSeeOther {
		t.Fatalf("release: %d", got.Code)
	}
	if body := b.page(plan).Body.String(); strings.Contains(body, "put here by hand") {
		t.Error("let go, it is still put by hand")
	}
	for path, want := range map[string]int{"/cars/nonesuch/plan": 404, plan + "/move?want=nothing&on=" + on: 404, plan + "/move?want=" + url.QueryEscape(key) + "&on=soon": 422} {
		if got := b.page(path); got.Code != want {
			t.Errorf("%s: %d, not %d", path, got.Code, want)
		}
	}
}
