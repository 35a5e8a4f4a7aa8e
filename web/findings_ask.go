package web

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// findingAsk is what the findings of one point with one verdict ask for: said once, with a row for each place. Twelve
// readings of tread under twelve headings would be read by nobody.
type findingAsk struct {
	ID, Title string
	Verdict   verdict.Verdict
	// Why is what all rows share of their reason; what a row says beyond it stands in the row.
	Why                     string
	Limit, Source, Category string
	Jobs, Rechecks, Photos  []string
	Rows                    []findingView
	// Ahead is what is to be expected of it.
	Ahead []shop.AheadLine
	// Behind are the panels that weigh what may be behind it.
	Behind []behindView
}

// cautionView is a caution with what it was said of.
type cautionView struct {
	Text string
	For  []string
}

// asksOf puts findings of one point and verdict together, in the order in which the first of each comes.
func asksOf(list []findingView) []findingAsk {
	var out []findingAsk
	where := map[[2]string]int{}
	for _, v := range list {
		key := [2]string{v.Point, string(v.Verdict)}
		i, ok := where[key]
		if !ok {
			i = len(out)
			where[key] = i
			out = append(out, findingAsk{ID: v.ID, Title: v.Title, Verdict: v.Verdict})
		}
		out[i].Rows = append(out[i].Rows, v)
	}
	for i := range out {
		out[i].share()
	}
	return out
}

// share lifts out of the rows what they have in common.
func (a *findingAsk) share() {
	whys := make([]string, len(a.Rows))
	for i := range a.Rows {
		r := &a.Rows[i]
		r.Why = afterReading(r.Got, r.Why)
		whys[i] = r.Why
		a.Jobs, a.Photos = union(a.Jobs, r.Jobs), union(a.Photos, r.Photos)
		if r.Recheck != "" {
			a.Rechecks = union(a.Rechecks, []string{r.Recheck})
		}
	}
	first := a.Rows[0]
	a.Limit, a.Source, a.Category = first.Limit, first.Source, first.Category
	for _, r := range a.Rows[1:] {
		if r.Limit != first.Limit || r.Source != first.Source {
			a.Limit, a.Source = "", ""
		}
		if r.Category != first.Category {
			a.Category = ""
		}
	}
	var own []string
	a.Why, own = sharedWhy(whys)
	for i := range a.Rows {
		a.Rows[i].Why = own[i]
		if a.Limit == "" && a.Source == "" {
			a.Rows[i].OwnLimit = strings.TrimSuffix("limit "+a.Rows[i].Limit+", "+a.Rows[i].Source, ", ")
			if a.Rows[i].Limit == "" {
				a.Rows[i].OwnLimit = a.Rows[i].Source
			}
		}
		if a.Category == "" {
			a.Rows[i].OwnCategory = a.Rows[i].Category
		}
	}
}

// afterReading drops the value with which a reason begins, where the reading stands right before it anyway.
func afterReading(got, why string) string {
	first, _ := utf8.DecodeRuneInString(strings.TrimLeft(why, "-−"))
	if got == "" || !unicode.IsDigit(first) {
		return why
	}
	if _, rest, ok := strings.Cut(why, ", "); ok {
		return capital(rest)
	}
	return why
}

// sharedWhy finds what several reasons have in common, the whole or what follows their first colon, and what is left of
// each.
func sharedWhy(whys []string) (shared string, own []string) {
	own = make([]string, len(whys))
	tails := make([]string, len(whys))
	heads := make([]string, len(whys))
	whole, tail := true, true
	for i, w := range whys {
		heads[i], tails[i], _ = strings.Cut(w, ": ")
		whole = whole && w == whys[0]
		tail = tail && tails[i] != "" && tails[i] == tails[0]
	}
	switch {
	case whole:
		return whys[0], own
	case tail:
		for i := range own {
			own[i] = heads[i] + "."
		}
		return capital(tails[0]), own
	}
	return "", whys
}

// union adds what is new, in order.
func union(list, more []string) []string {
	for _, m := range more {
		if !slices.Contains(list, m) {
			list = append(list, m)
		}
	}
	return list
}

// cautionsOf lists what can hurt in the work that findings ask for, each once with what it was said of: the same
// sentence under every heading would soon be read under none.
func cautionsOf(asks []findingAsk) []cautionView {
	var out []cautionView
	for _, a := range asks {
		for _, r := range a.Rows {
			for _, c := range r.Cautions {
				i := slices.IndexFunc(out, func(v cautionView) bool { return v.Text == c })
				if i < 0 {
					i = len(out)
					out = append(out, cautionView{Text: c})
				}
				out[i].For = union(out[i].For, []string{a.Title})
			}
		}
	}
	return out
}
