package web

import (
	"net/url"
	"strings"
	"testing"
	"time"

	"witnessmark/shop"
)

// What comes is told where the finding stands, and of everything else in a list of its own, on the findings and to the owner.
func TestWhatComesIsTold(t *testing.T) {
	b := newBench(t, "metric")
	for _, at := range []string{"FL/inner", "FL/outer", "FR/inner", "FR/outer"} {
		b.take("pad-thickness", at, "", map[string]string{"mm": "3.9 mm"})
	}
	for _, path := range []string{"/findings", "/report"} {
		page := b.page(b.path(path)).Body.String()
		wants(t, page, "<dt>What comes</dt>", "3.9 mm on 21 March 2026. Will probably reach 3.0 mm between ", "What comes, and when", "8 of 10 such parts do")
		lacks(t, page, "NaN", "Inf", "%!")
	}
}

func TestAheadIsSplit(t *testing.T) {
	at := func(s string) time.Time { d, _ := time.Parse("2006-01-02", s); return d }
	v := aheadOf([]shop.AheadLine{{Title: "a", On: at("2026-06-01")}, {Title: "b", On: at("2028-03-21")}, {Title: "c", On: at("2028-03-22")}, {Title: "d"}}, "2026-03-21")
	if len(v.Soon) != 2 || len(v.Later) != 2 || v.Within != "two years" {
		t.Errorf("%+v", v)
	}
	if v := aheadOf([]shop.AheadLine{{Title: "a"}}, "some day"); len(v.Soon) != 1 {
		t.Errorf("an unreadable day hides what comes: %+v", v)
	}
}

func TestTens(t *testing.T) {
	for n := range 11 {
		if got := strings.Count(string(tens(n)), `fill="`+blue3+`"`); got != n {
			t.Errorf("%d of ten: %d filled", n, got)
		}
	}
}

// A renewal takes the place where it was done; one that the car lacks is refused beside its field.
func TestRenewalAtAPlace(t *testing.T) {
	b := newBench(t, "metric")
	page := b.page("/cars/" + b.car).Body.String()
	wants(t, page, `name="renewal-at"`, `value="pads" data-places="F R FL FR RL RR"`, `<option value="F">front axle</option>`, "the whole car")
	send := func(at string) int {
		form := url.Values{"renewal-id": {b.shop.NewID()}, "renewal-item": {"pads"}, "renewal-at": {at}, "renewal-on": {"2026-02-01"}, "renewal-km": {"195000 km"}, "by": {"AB"}}
		w := b.submit("/cars/"+b.car+"/renewals", form)
		if w.Code == 422 {
			wants(t, w.Body.String(), "f-renewal-at-error", "Where: ", "Choose a place that this car has")
		}
		return w.Code
	}
	if got := send("F"); got != 303 {
		t.Errorf("front axle: %d", got)
	}
	if got := send("7"); got != 422 {
		t.Errorf("number seven: %d", got)
	}
	p, err := b.shop.CarPage(t.Context(), b.car)
	b.must(err)
	if len(p.Renewals) != 1 || p.Renewals[0].At != "F" {
		t.Errorf("%+v", p.Renewals)
	}
}
