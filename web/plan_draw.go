package web

import (
	"fmt"
	"html/template"
	"strings"
	"time"

	"witnessmark/shop"
)

// planAxis is the axis that all visits of a plan share.
func planAxis(p *shop.CarPlan) axis {
	from, _ := time.Parse("2006-01-02", p.Today)
	return axis{from: from, to: from.AddDate(0, axisMonths, 0), nextLook: -1, nowKm: -1}
}

// planLine draws one want: the range in which its limit is reached, the day on which it falls due as a diamond, the last day on which it may be
// done as a double tick, and the visit at which it stands as a filled square.
func (a axis) planLine(w *shop.PlannedWant, at time.Time) template.HTML {
	b := make([]byte, 0, 900)
	b = append(b, `<svg class="reach" width="100%" height="34" aria-hidden="true"><use href="#grid"/>`...)
	if w.Reach != nil && !w.Reach.Low.IsZero() {
		b = a.whisker(b, w.Reach)
	} else {
		b = line(b, axisLeft, 17, axisEnd, 17, rule, "1", ` stroke-dasharray="2 6"`)
	}
	if on, err := time.Parse("2006-01-02", w.HardOn); err == nil {
		x := a.clip(on, false)
		b = line(b, x, 3, x, 31, ink, "1.6", "")
		b = line(b, x+0.4, 3, x+0.4, 31, ink, "1.6", "")
	}
	if due, err := time.Parse("2006-01-02", w.DueOn); err == nil && due.After(a.from) {
		b = append(b, `<svg x="`...)
		b = percent(b, a.clip(due, false))
		b = append(b, `" y="17" overflow="visible"><path d="M0 -7L7 0L0 7L-7 0Z" fill="`+paper+`" stroke="`+ink+`" stroke-width="1.8"/></svg>`...)
	}
	x := a.clip(at, false)
	b = append(b, `<svg x="`...)
	b = percent(b, x)
	b = append(b, `" y="17" overflow="visible"><rect x="-7" y="-7" width="14" height="14" fill="`+blue4+`" stroke="`+paper+`" stroke-width="2"/></svg>`...)
	return template.HTML(append(b, `</svg>`...))
}

// bracketRow is the height of a row beside which brackets are drawn, bracketWide the width of one bracket.
const (
	bracketRow  = 60
	bracketWide = 22
)

// bracketMark names a visit's bracket by its place among those that are drawn.
func bracketMark(i int) string { return string(rune('a' + i%26)) }

// brackets draws which jobs of a visit share a preparation: one upright for each, with a tick at every job that needs it.
func brackets(v *shop.PlannedVisit) template.HTML {
	var b strings.Builder
	n := 0
	for _, u := range v.Setups {
		if len(u.Of) < 2 {
			continue
		}
		x := n*bracketWide + 14
		middle := func(k int) int { return k*bracketRow + bracketRow/2 }
		first, last := u.Of[0], u.Of[len(u.Of)-1]
		fmt.Fprintf(&b, `<path d="M%d %dV%d" stroke="%s" stroke-width="1.6" fill="none"/>`, x, middle(first), middle(last), ink)
		for _, k := range u.Of {
			fmt.Fprintf(&b, `<path d="M%d %dH%d" stroke="%s" stroke-width="1.6"/>`, x-8, middle(k), x, ink)
		}
		fmt.Fprintf(&b, `<text x="%d" y="%d" text-anchor="middle" font-size="14" font-weight="600" fill="%s">%s</text>`, x, middle(first)-8, ink, bracketMark(n))
		n++
	}
	if n == 0 {
		return ""
	}
	return template.HTML(fmt.Sprintf(`<svg class="brackets" width="%d" height="%d" aria-hidden="true">%s</svg>`, n*bracketWide+8, len(v.Wants)*bracketRow, b.String()))
}
