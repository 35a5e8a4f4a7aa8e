package web

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestAsksStandTogether(t *testing.T) {
	got := asksOf([]findingView{
		{ID: "finding-1", Title: "Tread", Point: "tread", Verdict: "unsafe", Where: "front left", Got: "1.2 mm", Why: "1.2 mm, below 1.6 mm: too low.", Limit: "1.6 mm", Source: "A", Jobs: []string{"Renew"}},
		{ID: "finding-2", Title: "Oil", Point: "oil", Verdict: "unsafe", Why: "Gone.", Source: "practice"},
		{ID: "finding-3", Title: "Tread", Point: "tread", Verdict: "unsafe", Where: "rear left", Got: "0.9 mm", Why: "0.9 mm, below 1.6 mm: too low.", Limit: "1.6 mm", Source: "A", Jobs: []string{"Renew", "Align"}},
		{ID: "finding-4", Title: "Tread", Point: "tread", Verdict: "watch", Got: "2.9 mm", Why: "2.9 mm, below 3 mm: soon.", Limit: "1.6 mm", Source: "A"},
	})
	var ids []string
	for _, a := range got {
		ids = append(ids, a.ID)
	}
	if diff := cmp.Diff([]string{"finding-1", "finding-2", "finding-4"}, ids); diff != "" {
		t.Fatal(diff)
	}
	tread := got[0]
	if tread.Why != "Below 1.6 mm: too low." || len(tread.Rows) != 2 || tread.Limit != "1.6 mm" || !slices.Equal(tread.Jobs, []string{"Renew", "Align"}) {
		t.Errorf("%+v", tread)
	}
	for _, r := range tread.Rows {
		if r.Why != "" || r.OwnLimit != "" {
			t.Errorf("what is said above is said again: %+v", r)
		}
	}
}

func TestSharedWhy(t *testing.T) {
	for _, c := range []struct {
		in     []string
		shared string
		own    []string
	}{
		{[]string{"Bent."}, "Bent.", []string{""}},
		{[]string{"Bent.", "Bent."}, "Bent.", []string{"", ""}},
		{[]string{"Left 1, right 9: they differ.", "Left 2, right 8: they differ."}, "They differ.", []string{"Left 1, right 9.", "Left 2, right 8."}},
		{[]string{"Bent.", "Worn."}, "", []string{"Bent.", "Worn."}},
		{[]string{"A: b", "c"}, "", []string{"A: b", "c"}},
	} {
		shared, own := sharedWhy(c.in)
		if shared != c.shared || !slices.Equal(own, c.own) {
			t.Errorf("%q: %q %q", c.in, shared, own)
		}
	}
}

// Rows of one group that were judged against different limits each name their own.
func TestRowsNameTheirOwnLimit(t *testing.T) {
	got := asksOf([]findingView{
		{Point: "disc", Verdict: "due", Why: "Thin.", Limit: "20 mm", Source: "stamped"},
		{Point: "disc", Verdict: "due", Why: "Thin.", Limit: "8 mm", Source: "stamped"},
	})[0]
	if got.Limit != "" || got.Rows[0].OwnLimit != "limit 20 mm, stamped" || got.Rows[1].OwnLimit != "limit 8 mm, stamped" {
		t.Errorf("%+v", got)
	}
}

// A reading changed from the findings leads back to them, and a caution stands once on the page.
func TestFindingsLeadToTheReading(t *testing.T) {
	b := newBench(t, "metric")
	for at, mm := range map[string]string{"FL/outer": "1.2", "FR/outer": "0.9", "RL/outer": "1.1"} {
		b.take("tyre-tread", at, "", map[string]string{"mm": mm})
	}
	page := b.page(b.path("/findings")).Body.String()
	wants(t, page, "Tyre tread depth: unsafe", "Front left, outer", "Rear left, outer", "Before anybody works on it", "/points/tyre-tread?from=findings")
	if n := strings.Count(page, "Tyre tread depth: unsafe"); n != 1 {
		t.Errorf("%d headings for one thing", n)
	}
	for _, c := range cautionsIn(page) {
		if strings.Count(page, c) != 1 {
			t.Errorf("said more than once: %q", c)
		}
	}
	form := formOf(b.get("/points/tyre-tread?from=findings").Body.String())
	form.Set("num|tyre-tread|FL/outer|mm", "2.4")
	w := b.post("/points/tyre-tread", form)
	if where := w.Header().Get("Location"); w.Code != http.StatusSeeOther || !strings.HasPrefix(where, b.path("/findings?saved=tyre-tread")) {
		t.Fatalf("%d %s", w.Code, where)
	}
	wants(t, b.page(w.Header().Get("Location")).Body.String(), "judged again")
}

// cautionsIn gives the cautions of a page of findings.
func cautionsIn(page string) []string {
	_, list, _ := strings.Cut(page, `<ul class="caution">`)
	list, _, _ = strings.Cut(list, "</ul>")
	var out []string
	for _, li := range strings.Split(list, "<li>")[1:] {
		text, _, _ := strings.Cut(li, " <span")
		out = append(out, text)
	}
	return out
}
