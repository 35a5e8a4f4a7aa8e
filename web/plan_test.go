package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"witnessmark/shop"
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

// TestPlanWithin: what is done on the page of a plan within a budget is done in that plan: moving, putting, letting go and the estimate. What
// is no amount does nothing.
func TestPlanWithin(t *testing.T) {
	b, _ := withDraft(t)
	plan := planPath(b.car)
	p, err := b.shop.PlanWithin(t.Context(), b.car, 100_000_00)
	if err != nil || len(p.Visits) == 0 {
		t.Fatal(p, err)
	}
	const hidden = `<input type="hidden" name="budget" value="100000">`
	page := b.page(plan + "?budget=100000").Body.String()
	if forms, kept := strings.Count(page, "/plan/move\"")+strings.Count(page, "Make the estimate"), strings.Count(page, hidden); forms == 0 || kept != forms {
		t.Errorf("%d of %d forms keep the budget", kept, forms)
	}
	if page := b.page(plan).Body.String(); strings.Contains(page, `type="hidden" name="budget"`) {
		t.Error("a plan without a budget hands one on")
	}
	w := p.Visits[0].Wants[0]
	on := p.Days[len(p.Days)-1].On
	move := b.page(plan + "/move?budget=100000&want=" + url.QueryEscape(w.Key) + "&on=" + on).Body.String()
	if !strings.Contains(move, hidden) || !strings.Contains(move, `href="`+plan+`?budget=100000"`) {
		t.Errorf("moving forgets the budget: %s", move)
	}
	put := url.Values{"place-id": {"within-1"}, "want": {w.Key}, "on": {on}, "budget": {"100000"}}
	if got := b.submit(plan+"/place", put); got.Header().Get("Location") != plan+"?budget=100000&did=placed" {
		t.Errorf("putting forgets the budget: %d %q", got.Code, got.Header().Get("Location"))
	}
	// A budget that is too small for anything makes an estimate of nothing.
	made := b.sendForm(draftsPath(b.car), url.Values{"id": {"within-2"}, "visit": {on}, "budget": {"0.01"}})
	number, _, _ := strings.Cut(strings.TrimPrefix(made.Header().Get("Location"), "/estimates/"), "?")
	if d, err := b.shop.Draft(t.Context(), number); err != nil || len(d.Said.Estimate.Items) != 0 {
		t.Errorf("within a cent: %d, %d items, %v", made.Code, len(d.Said.Estimate.Items), err)
	}
	list, err := b.shop.Drafts(t.Context(), b.car)
	if err != nil {
		t.Fatal(err)
	}
	for path, form := range map[string]url.Values{draftsPath(b.car): {"id": {"within-3"}, "visit": {on}}, plan + "/place": {"place-id": {"within-4"}, "want": {w.Key}, "on": {on}}} {
		if got := b.sendForm(path, with(form, "budget", "much")); got.Code != http.StatusUnprocessableEntity || !strings.Contains(got.Body.String(), "is no amount in EUR") {
			t.Errorf("%s with no amount: %d", path, got.Code)
		}
	}
	if after, err := b.shop.Drafts(t.Context(), b.car); err != nil || len(after) != len(list) {
		t.Errorf("%d estimates, then %d (%v)", len(list), len(after), err)
	}
}

// TestBracketLetters: brackets are lettered one after the other, also where a preparation that only one job needs stands between.
func TestBracketLetters(t *testing.T) {
	v := &shop.PlannedVisit{Setups: []shop.PlannedSetup{{Name: "On the lift", Of: []int{0, 1}}, {Name: "Wheel off", Of: []int{1}}, {Name: "Undertray off", Of: []int{0, 2}}}}
	drawn := string(brackets(v))
	if !strings.Contains(drawn, ">a</text>") || !strings.Contains(drawn, ">b</text>") || strings.Contains(drawn, ">c</text>") {
		t.Errorf("%s", drawn)
	}
	var told []string
	for _, x := range (&server{shop: newBench(t, "metric").shop}).planVisit(&shop.CarPlan{}, v, axis{}, 0).Brackets {
		told = append(told, x.Mark)
	}
	if strings.Join(told, "") != "ab" {
		t.Errorf("told as %v", told)
	}
}

// What could not be done on the day, or was put off until a day that has come, is due and not put off.
func TestDueWords(t *testing.T) {
	for _, x := range []struct {
		want shop.PlannedWant
		says string
	}{
		{shop.PlannedWant{Want: shop.Want{NotBefore: "2026-03-21", DueOn: "2026-03-21"}}, "due now"},
		{shop.PlannedWant{Want: shop.Want{NotBefore: "2026-03-21", DueOn: "2026-04-20"}}, "due 20 Apr 2026"},
		{shop.PlannedWant{Want: shop.Want{NotBefore: "2026-03-22", DueOn: "2026-03-22"}}, "put off until 22 Mar 2026"},
	} {
		if got := dueWords(&x.want, "2026-03-21"); got != x.says {
			t.Errorf("%+v: %q, want %q", x.want, got, x.says)
		}
	}
}
