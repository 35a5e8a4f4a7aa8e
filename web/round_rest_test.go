package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

func TestTheRestOfAStation(t *testing.T) {
	b := newBench(t, "metric")
	page := b.get("/stations/on-the-lift")
	body := page.Body.String()
	if page.Code != http.StatusOK || !strings.Contains(body, `name="looked" value="brake-hoses"`) {
		t.Fatalf("status %d, want the open looks listed", page.Code)
	}
	if strings.Contains(body, "checked") {
		t.Error("a look is ticked before anybody said so")
	}
	post := func(v url.Values) int { return b.post("/stations/on-the-lift", v).Code }
	if code := post(url.Values{"id": {"rest-1"}}); code != http.StatusUnprocessableEntity {
		t.Errorf("nothing ticked: status %d", code)
	}
	form := url.Values{"id": {"rest-1"}, "by": {"AB"}, "looked": {"brake-hoses", "damper", "tyre-tread", "no-such-point"}}
	for range 2 { // a double click
		if code := post(form); code != http.StatusSeeOther {
			t.Fatalf("status %d", code)
		}
	}
	j, err := b.shop.Findings(t.Context(), b.round)
	b.must(err)
	got := map[string]int{}
	for _, r := range j.Readings {
		got[r.Point+" "+r.State]++
	}
	if got["brake-hoses sound"] != 1 || got["damper dry"] != 4 || len(j.Readings) != 5 {
		t.Errorf("stored %v", got)
	}
	if again := b.get("/stations/on-the-lift").Body.String(); strings.Contains(again, `value="damper"`) {
		t.Error("an answered point is listed again")
	}
}
