package web

import (
	"net/http"
	"strings"
	"testing"

	"witnessmark/shop"
)

// TestAgreedTwiceIsSaid: what another estimate holds is said where an estimate is built, put before the owner, written down, answered,
// checked and worked off; what nobody else holds says nothing.
func TestAgreedTwiceIsSaid(t *testing.T) {
	b := newBench(t, "metric")
	b.estimated("E-1", 1)
	link := b.linked("E-1")
	pages := []string{"/estimates/E-1", "/estimates/E-1/offer", "/estimates/E-1/spoken", link}
	for _, p := range pages {
		lacks(t, b.page(p).Body.String(), "lready agreed", "agreed already", "done already")
	}
	work := workPath(b.agree()) // E-7: front pads and a wash
	const said = "Already agreed on estimate E-7, item 1 (front brake pads)."
	for _, p := range pages[:3] {
		page := b.page(p).Body.String()
		wants(t, page, said)
		if strings.Contains(page, "item 2") {
			t.Errorf("%s: too much is said to be agreed", p)
		}
	}
	wants(t, b.page(pages[0]).Body.String(), `href="/estimates/E-1/item?item=pads"`, `href="`+work+`"`)
	const told = "This work is agreed already, on estimate E-7, item 1 (front brake pads), and is still to be done. Accept it here only if you want it done and charged a second time."
	page := b.page(link).Body.String()
	wants(t, page, told)
	lacks(t, page, "/bay/", said)
	form := b.answers(link)
	wants(t, b.follow(link, form).Body.String(), told)
	form.Set("step", "sign")
	if w := b.submit(link, form); w.Code != http.StatusSeeOther {
		t.Fatalf("signed: %d", w.Code)
	}
	lacks(t, b.page(link).Body.String(), "agreed already")
	wants(t, b.page(work).Body.String(), "Already agreed on estimate E-1, item 1 (renew the front brake pads).", "Do it once, and charge it once.")
	in := shop.CloseOutInput{ID: "closed", DecisionID: "yes", On: "2026-03-21", Km: "196200", By: "ab",
		Items: []shop.ItemInput{{Item: "pads", Outcome: shop.ItemWasDone}, {Item: "wash", Outcome: shop.ItemWasNot, WhyNot: "rain"}}}
	b.must(b.shop.CloseOut(t.Context(), in))
	mine, err := b.shop.WorkOf(t.Context(), b.car)
	b.must(err)
	other := workPath(mine[1].Decision.ID)
	wants(t, b.page(other).Body.String(), "Done already on 21 March 2026, as agreed on estimate E-7, item 1 (front brake pads).", "See that work")
	close := b.page(other + "/close").Body.String()
	wants(t, close, `value="done already on 21 March 2026, on estimate E-7"`)
	if f := fieldsOf(close); f.Get("done|pads") != shop.ItemWasNot {
		t.Errorf("closed out as %q", f.Get("done|pads"))
	}
	done := fieldsOf(close)
	done.Set("by", "ab")
	done.Set("km", "196 200")
	for name := range done {
		if id, ok := strings.CutPrefix(name, "done|"); ok && id != "pads" {
			done.Set(name, shop.ItemWasDone)
		}
	}
	if w := b.submit(other+"/close", done); w.Code != http.StatusSeeOther {
		t.Fatalf("closed out: %d %s", w.Code, w.Body)
	}
	page = b.page(other + "/done").Body.String()
	wants(t, page, "done already on 21 March 2026, on estimate E-7", "not charged")
	lacks(t, page, "it comes back")
}
