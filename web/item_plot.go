package web

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"witnessmark/core/outlook"
	"witnessmark/shop"
)

// plot maps an exposure and a value to places in a drawing: across in percent, so that it has any width, down in pixels.
type plot struct {
	x0, x1, y0, y1 float64
	top, bottom    float64
}

// px places an exposure in percent.
func (p plot) px(x float64) float64 {
	if p.x1 <= p.x0 {
		return 2
	}
	return 2 + 95*math.Max(0, math.Min(1, (x-p.x0)/(p.x1-p.x0)))
}

// py places a value in pixels.
func (p plot) py(y float64) float64 {
	if p.y1 == p.y0 {
		return p.bottom
	}
	return p.bottom - (p.bottom-p.top)*math.Max(-0.05, math.Min(1.05, (y-p.y0)/(p.y1-p.y0)))
}

// itemPlot draws an item's readings with its forecast: a measured figure against what it ran, with the 80 % band and the
// limit; a condition as looks that found it good or turned, with the interval that follows.
func (s *server) itemPlot(c shop.CarVersion, it *outlook.Item) template.HTML {
	if it.Law.Wear != nil {
		return s.levelPlot(c, it)
	}
	return s.turnPlot(c, it)
}

// levelPlot draws a measured figure. The axis is the exposure since the part was fitted, labelled with distance or months.
func (s *server) levelPlot(c shop.CarVersion, it *outlook.Item) template.HTML {
	if len(it.Shown) == 0 && len(it.Band) == 0 {
		return ""
	}
	p := plot{top: 16, bottom: 182}
	p.x1 = it.Exposure
	p.y0, p.y1 = math.Inf(1), math.Inf(-1)
	see := func(y float64) { p.y0, p.y1 = math.Min(p.y0, y), math.Max(p.y1, y) }
	for _, r := range it.Shown {
		p.x1 = math.Max(p.x1, r.Exposure)
		see(r.Value)
	}
	for _, b := range it.Band {
		p.x1 = math.Max(p.x1, b.Exposure)
	}
	if it.Limit != nil {
		see(*it.Limit)
	}
	if len(it.Band) > 0 {
		see(it.Band[0].Level.High)
		see(it.Band[0].Level.Low)
	}
	if p.y1-p.y0 < 1e-9 {
		p.y0, p.y1 = p.y0-1, p.y1+1
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="plot" width="100%%" height="236" role="img" aria-label="%s">`,
		template.HTMLEscapeString(fmt.Sprintf("%d readings with the range expected and the limit", len(it.Shown))))
	s.levelBand(&b, p, it)
	if it.Limit != nil {
		y := p.py(*it.Limit)
		fmt.Fprintf(&b, `<line x1="0" y1="%.1f" x2="100%%" y2="%.1f" stroke="%s" stroke-width="3"/>`, y, y, blue4)
		at := y - 7
		if at < 30 {
			at = y + 18
		}
		fmt.Fprintf(&b, `<text class="soft" x="1%%" y="%.1f">limit %s</text>`, at, template.HTMLEscapeString(s.shop.Display(c, it.LimitUnit, *it.Limit, it.Point)))
		if !it.Past && !it.Reach.OpenHigh {
			fmt.Fprintf(&b, `<line x1="%.1f%%" y1="%.1f" x2="%.1f%%" y2="%.1f" stroke="%s" stroke-width="7"/>`, p.px(it.Reach.Exposure.Low), y, p.px(it.Reach.Exposure.High), y, blue3)
			fmt.Fprintf(&b, `<line x1="%.1f%%" y1="%.1f" x2="%.1f%%" y2="%.1f" stroke="%s" stroke-width="3"/>`, p.px(it.Reach.Exposure.Mid), y-11, p.px(it.Reach.Exposure.Mid), y+11, ink)
		}
	}
	for i, r := range it.Shown {
		x, y := p.px(r.Exposure), p.py(r.Value)
		fmt.Fprintf(&b, `<circle cx="%.1f%%" cy="%.1f" r="5" fill="%s" stroke="%s" stroke-width="1.6"/>`, x, y, paper, ink)
		if i == 0 || i == len(it.Shown)-1 {
			anchor, dx := "start", 9
			if x > 80 {
				anchor, dx = "end", -9
			}
			fmt.Fprintf(&b, `<text x="%.1f%%" dx="%d" y="%.1f" text-anchor="%s">%s</text>`, x, dx, math.Max(13, y-8), anchor, template.HTMLEscapeString(s.valueWords(c, it, r.Value)))
		}
	}
	s.plotFoot(&b, c, p, it, 236)
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

// valueWords writes a figure of the item in the car's units.
func (s *server) valueWords(c shop.CarVersion, it *outlook.Item, v float64) string {
	return s.shop.Display(c, it.LimitUnit, v, it.Point)
}

// levelBand draws the 80 % range as one shape, stretched to the drawing's width, and the middle as a dashed line.
func (s *server) levelBand(b *strings.Builder, p plot, it *outlook.Item) {
	if len(it.Band) < 2 {
		return
	}
	b.WriteString(`<svg x="0" y="0" width="100%" height="236" viewBox="0 0 100 236" preserveAspectRatio="none"><path fill="` + blue1 + `" d="M`)
	for _, v := range it.Band {
		fmt.Fprintf(b, "%.2f %.1f ", p.px(v.Exposure), p.py(v.Level.High))
	}
	for _, v := range slices.Backward(it.Band) {
		fmt.Fprintf(b, "%.2f %.1f ", p.px(v.Exposure), p.py(v.Level.Low))
	}
	b.WriteString(`Z"/></svg>`)
	for i := 1; i < len(it.Band); i++ {
		u, v := it.Band[i-1], it.Band[i]
		fmt.Fprintf(b, `<line x1="%.2f%%" y1="%.1f" x2="%.2f%%" y2="%.1f" stroke="%s" stroke-width="1.2" stroke-dasharray="5 4"/>`,
			p.px(u.Exposure), p.py(u.Level.Mid), p.px(v.Exposure), p.py(v.Level.Mid), ink)
	}
}

// plotFoot draws the axis: where the part began, today, and the end.
func (s *server) plotFoot(b *strings.Builder, c shop.CarVersion, p plot, it *outlook.Item, height float64) {
	y := height - 36
	fmt.Fprintf(b, `<line x1="0" y1="%.0f" x2="100%%" y2="%.0f" stroke="%s" stroke-width="1"/>`, y, y, rule)
	now := p.px(it.Exposure)
	fmt.Fprintf(b, `<line x1="%.1f%%" y1="4" x2="%.1f%%" y2="%.0f" stroke="%s" stroke-width="1" stroke-dasharray="2 3"/>`, now, now, y, ink)
	anchor := "middle"
	switch {
	case now > 82:
		anchor = "end"
	case now < 18:
		anchor = "start"
	}
	fmt.Fprintf(b, `<text x="%.1f%%" y="%.0f" text-anchor="%s">today, %s</text>`, now, height-18, anchor, template.HTMLEscapeString(s.exposureWords(c, it.Law.Unit, it.Exposure)))
	if now > 40 {
		fmt.Fprintf(b, `<text class="soft" x="0" y="%.0f">%s</text>`, height-2, template.HTMLEscapeString(it.Since.From))
	}
	if now < 60 {
		fmt.Fprintf(b, `<text class="soft" x="100%%" y="%.0f" text-anchor="end">%s</text>`, height-2, template.HTMLEscapeString(s.exposureWords(c, it.Law.Unit, p.x1)))
	}
}

// turnPlot draws a condition: every look at what it had run by then, good ones above and turned ones below, this cycle's
// filled, with the usual schedule, the recommended interval and the range in which it turns.
func (s *server) turnPlot(c shop.CarVersion, it *outlook.Item) template.HTML {
	p := plot{x1: it.Exposure}
	for _, list := range [...][]outlook.Shown{it.Earlier, it.Shown} {
		for _, r := range list {
			p.x1 = math.Max(p.x1, r.Exposure)
		}
	}
	ranged := !it.Past && it.Unsure == "" && !it.Reach.OpenHigh
	if ranged {
		p.x1 = math.Max(p.x1, it.Reach.Exposure.High)
	}
	if it.Advice != nil {
		p.x1 = math.Max(p.x1, math.Max(it.Advice.Interval, it.Advice.Usual))
	}
	if p.x1 <= 0 {
		return ""
	}
	p.x1 *= 1.06
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="plot" width="100%%" height="190" role="img" aria-label="%s">`, template.HTMLEscapeString(fmt.Sprintf("%d looks, good above, turned below, against what it had run", len(it.Shown)+len(it.Earlier))))
	b.WriteString(`<text class="soft" x="0" y="60">good</text><text class="soft" x="0" y="148">turned</text>`)
	if ranged {
		fmt.Fprintf(&b, `<line x1="%.1f%%" y1="80" x2="%.1f%%" y2="80" stroke="%s" stroke-width="7"/><line x1="%.1f%%" y1="69" x2="%.1f%%" y2="91" stroke="%s" stroke-width="3"/>`,
			p.px(it.Reach.Exposure.Low), p.px(it.Reach.Exposure.High), blue3, p.px(it.Reach.Exposure.Mid), p.px(it.Reach.Exposure.Mid), ink)
	}
	if it.Advice != nil && it.Advice.Interval > 0 {
		s.upright(&b, p, it.Advice.Interval, "renew at "+s.intervalWords(c, it.Law.Unit, it.Advice.Interval), blue4, "4", 12)
		if it.Advice.Usual > 0 && math.Abs(it.Advice.Usual-it.Advice.Interval) >= it.Law.Step {
			s.upright(&b, p, it.Advice.Usual, "usual "+s.intervalWords(c, it.Law.Unit, it.Advice.Usual), rule, "2", 62)
		}
	}
	for _, r := range it.Earlier {
		s.lookMark(&b, p, r, paper)
	}
	for _, r := range it.Shown {
		s.lookMark(&b, p, r, blue3)
	}
	s.plotFoot(&b, c, p, it, 190)
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

// lookMark draws one look at a condition.
func (s *server) lookMark(b *strings.Builder, p plot, r outlook.Shown, fill string) {
	y := 34.0
	if r.Turned {
		y = 122
	}
	fmt.Fprintf(b, `<circle cx="%.1f%%" cy="%.0f" r="6" fill="%s" stroke="%s" stroke-width="1.6"/>`, p.px(r.Exposure), y, fill, ink)
}

// upright draws a place on the axis with its words.
func (s *server) upright(b *strings.Builder, p plot, x float64, words, colour, width string, y float64) {
	at := p.px(x)
	anchor, dx := "start", 6
	if at > 60 {
		anchor, dx = "end", -6
	}
	fmt.Fprintf(b, `<line x1="%.1f%%" y1="4" x2="%.1f%%" y2="154" stroke="%s" stroke-width="%s"/><text x="%.1f%%" dx="%d" y="%.0f" text-anchor="%s">%s</text>`,
		at, at, colour, width, at, dx, y, anchor, template.HTMLEscapeString(words))
}
