package web

import (
	"fmt"
	"html/template"
	"strings"
	"time"

	"witnessmark/shop"
)

// aheadSoon is how far ahead what comes stands open on a report; the rest is in a fold.
const aheadSoon = 2

// aheadView is what is to be expected of what no finding speaks of: what comes soon, and the rest.
type aheadView struct {
	Soon, Later []shop.AheadLine
	Within      string
}

// aheadOf splits what is to be expected of a car, seen from the day of a round.
func aheadOf(lines []shop.AheadLine, on string) aheadView {
	v := aheadView{Within: countWord(aheadSoon) + " years"}
	from, err := time.Parse("2006-01-02", on)
	for _, l := range lines {
		if err == nil && (l.On.IsZero() || l.On.After(from.AddDate(aheadSoon, 0, 0))) {
			v.Later = append(v.Later, l)
			continue
		}
		v.Soon = append(v.Soon, l)
	}
	return v
}

// tens draws ten small cars' plates, n of them filled: of ten cars so many. The sentence beside it says the same.
func tens(n int) template.HTML {
	var b strings.Builder
	b.WriteString(`<svg class="ten" viewBox="0 0 190 26" width="190" height="26" aria-hidden="true" focusable="false">`)
	for i := range 10 {
		fill := paper
		if i < n {
			fill = blue3
		}
		fmt.Fprintf(&b, `<rect x="%d" y="3" width="14" height="20" rx="2" fill="%s" stroke="%s" stroke-width="1.3"/>`, 2+i*19, fill, ink)
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}
