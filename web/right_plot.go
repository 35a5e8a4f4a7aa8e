package web

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"witnessmark/core/score"
)

// plotSize is how a calibration drawing is laid out: its height in pixels, and whether it has words.
type plotSize struct {
	height, foot float64
	words        bool
	dot          float64
}

var (
	plotSmall = plotSize{height: 46, foot: 0, dot: 4}
	plotLarge = plotSize{height: 330, foot: 44, words: true, dot: 9}
)

// calibration draws what was said across, what happened upward, and the line on which both are the same. Places across are
// percentages, so that it has any width. Dots are larger for more forecasts; the thin uprights of the large drawing are what chance
// alone allows (19 of 20).
func calibration(points []score.Point, size plotSize, name string) template.HTML {
	if len(points) == 0 {
		return ""
	}
	left, right := 2.0, 98.0
	if size.words {
		left = 11
	}
	end := plotEnd(points)
	x := func(p float64) float64 { return left + (right-left)*p/end }
	bottom, top := size.height-size.foot-6, 6.0
	y := func(p float64) float64 { return bottom - (bottom-top)*p/end }
	var b strings.Builder
	class := "calibration"
	if size.words {
		class += " large"
	}
	fmt.Fprintf(&b, `<svg class="%s" width="100%%" height="%.0f" role="img" aria-label="%s">`, class, size.height, template.HTMLEscapeString(calibrationWords(points, name)))
	fmt.Fprintf(&b, `<rect x="%.1f%%" y="%.1f" width="%.1f%%" height="%.1f" fill="none" stroke="%s" stroke-width=".8"/>`, left, top, right-left, bottom-top, rule)
	if size.words {
		plotWords(&b, x, y, end, left, bottom)
	}
	fmt.Fprintf(&b, `<line x1="%.1f%%" y1="%.1f" x2="%.1f%%" y2="%.1f" stroke="%s" stroke-width="1.4"/>`, x(0), y(0), x(end), y(end), ink)
	most := 1
	for _, p := range points {
		most = max(most, p.N)
	}
	for _, p := range points {
		if size.words && p.N > 0 {
			room := 1.96 * math.Sqrt(p.Said*(1-p.Said)/float64(p.N))
			fmt.Fprintf(&b, `<line x1="%.1f%%" y1="%.1f" x2="%.1f%%" y2="%.1f" stroke="%s" stroke-width="1.2"/>`, x(p.Said), y(math.Max(0, p.Said-room)), x(p.Said), y(math.Min(end, p.Said+room)), ink)
		}
		r := math.Max(size.dot*0.4, size.dot*math.Sqrt(float64(p.N)/float64(most)))
		fmt.Fprintf(&b, `<circle cx="%.1f%%" cy="%.1f" r="%.1f" fill="%s" stroke="%s" stroke-width="1.2"/>`, x(p.Said), y(p.Was), r, blue3, ink)
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

// plotEnd is how far both axes go: where all chances are small, a part of the whole shows them apart.
func plotEnd(points []score.Point) float64 {
	most := 0.0
	for _, p := range points {
		most = math.Max(most, math.Max(p.Said, p.Was))
	}
	for _, end := range [...]float64{0.1, 0.2, 0.4, 0.6} {
		if most*1.1 <= end {
			return end
		}
	}
	return 1
}

// plotWords writes the figures along both axes.
func plotWords(b *strings.Builder, x, y func(float64) float64, end, left, bottom float64) {
	for _, share := range [...]float64{0, 0.25, 0.5, 0.75, 1} {
		p := share * end
		fmt.Fprintf(b, `<line x1="%.1f%%" y1="%.1f" x2="%.1f%%" y2="%.1f" stroke="%s" stroke-width=".8" stroke-dasharray="2 4"/>`, x(p), y(0), x(p), y(end), rule)
		fmt.Fprintf(b, `<line x1="%.1f%%" y1="%.1f" x2="%.1f%%" y2="%.1f" stroke="%s" stroke-width=".8" stroke-dasharray="2 4"/>`, x(0), y(p), x(end), y(p), rule)
		anchor := "middle"
		if share == 1 {
			anchor = "end"
		}
		fmt.Fprintf(b, `<text class="soft" x="%.1f%%" y="%.1f" text-anchor="%s">%s</text>`, x(p), bottom+18, anchor, number(100*p))
		fmt.Fprintf(b, `<text class="soft" x="%.1f%%" dx="-7" y="%.1f" text-anchor="end">%s</text>`, left, math.Max(14, y(p)+5), number(100*p))
	}
	fmt.Fprintf(b, `<text x="%.1f%%" y="%.1f" text-anchor="end">said, in 100</text>`, x(end), bottom+38)
	fmt.Fprintf(b, `<text x="%.1f%%" dx="8" y="22">happened, in 100</text>`, left)
}

// calibrationWords say the same as the drawing.
func calibrationWords(points []score.Point, name string) string {
	parts := make([]string, len(points))
	for i, p := range points {
		parts[i] = fmt.Sprintf("said %s, happened %s of %d", shareWords(p.Said), shareWords(p.Was), p.N)
	}
	return name + ": " + strings.Join(parts, "; ")
}

// shareWords writes a share in a hundred, small ones with a decimal.
func shareWords(p float64) string { return number(math.Round(1000*p)/10) + "\u00a0%" }
