package web

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strconv"
	"strings"

	"witnessmark/core/verdict"
)

// A scale is a line from new (left) to past the limit (right). The limit's tick stands at the same place on every
// scale, so that a ladder of them shares one line. Places along it are percentages, so that a scale has any width
// without its shapes or strokes being stretched.
const limitAt = 68.0

// earlierShown is how many earlier looks a line shows; the list of readings has them all.
const earlierShown = 5

// scale is what one line shows.
type scale struct {
	// At are the readings along the line in percent, oldest first; the last is the one that counts.
	At []float64
	// Limit is true when there is a limit to draw.
	Limit bool
	// Words says the same for a reader who can't see it.
	Words string
	// Verdict is the last reading's; Unknown draws a dashed line and nothing on it.
	Verdict verdict.Verdict
	Unknown bool
}

// along places a value: best is 0, the limit limitAt, and what is past it reaches at most 97.
func along(v, best, limit float64) float64 {
	if best == limit || math.IsNaN(v) {
		return limitAt
	}
	x := limitAt * (best - v) / (best - limit)
	return math.Max(1.5, math.Min(97, x))
}

// bestEnd chooses what the left end stands for: the best value seen, or for a single reading at least twice the limit
// (nought where large values are worse), so that it has something to be compared with.
func bestEnd(values []float64, limit float64, falls bool) float64 {
	best := limit * 2
	if falls && len(values) > 1 && slices.Max(values) > limit {
		return slices.Max(values)
	}
	if !falls {
		best = 0
		if limit <= 0 {
			best = limit - 1
		}
	} else if limit <= 0 {
		best = limit + 1
	}
	for _, v := range values {
		if falls && v > best || !falls && v < best {
			best = v
		}
	}
	return best
}

// verdictAt places a state on the same line: due stands on the limit.
func verdictAt(v verdict.Verdict) float64 {
	switch v {
	case verdict.Sound:
		return 8
	case verdict.Watch:
		return 44
	case verdict.Due:
		return limitAt
	case verdict.Overdue:
		return 82
	case verdict.Unsafe:
		return 95
	}
	return -1
}

// draw writes the scale as SVG. Its parts are joined without formatting: a car's page has hundreds of them.
func (s scale) draw() template.HTML {
	const across = `<line x1="0" y1="17" x2="100%" y2="17" stroke="` + ink + `" stroke-width="1.2"`
	b := make([]byte, 0, 1024)
	b = append(b, `<svg class="limitline" width="100%" height="34" role="img" aria-label="`...)
	b = append(b, template.HTMLEscapeString(s.Words)...)
	b = append(b, `">`+across...)
	if s.Unknown || len(s.At) == 0 {
		return template.HTML(append(b, ` stroke-dasharray="3 6"/></svg>`...))
	}
	b = append(b, `/><line x1="1" y1="10" x2="1" y2="24" stroke="`+ink+`" stroke-width="1.2"/>`...)
	if s.Limit {
		b = append(b, pastLimit...)
	}
	last := s.At[len(s.At)-1]
	if n := len(s.At); n > 1 && math.Abs(s.At[n-2]-last) > .5 { // what changed since the look before
		b = percent(append(b, `<line x1="`...), s.At[n-2])
		b = percent(append(b, `" y1="17" x2="`...), last)
		b = append(b, `" y2="17" stroke="`+blue3+`" stroke-width="5"/>`...)
	}
	for _, x := range s.At[max(0, len(s.At)-1-earlierShown) : len(s.At)-1] {
		b = percent(append(b, `<svg x="`...), x)
		b = append(b, `" y="17" overflow="visible"><path d="M0 -5L4 0L0 5L-4 0Z" fill="`+paper+`" stroke="`+ink+`" stroke-width="1.2"/></svg>`...)
	}
	b = percent(append(b, `<svg x="`...), last)
	return template.HTML(append(b, `" y="17" overflow="visible"><path d="M0 -9L7 0L0 9L-7 0Z" fill="`+blue2+`" stroke="`+ink+`" stroke-width="1.6"/></svg></svg>`...))
}

// pastLimit is the limit's tick and the grey bar behind it, at the same place on every scale.
var pastLimit = fmt.Sprintf(`<rect x="%.1f%%" y="14" width="%.1f%%" height="6" fill="%s"/><line x1="%.1f%%" y1="3" x2="%.1f%%" y2="31" stroke="%s" stroke-width="4"/>`,
	limitAt, 100-limitAt, rule, limitAt, limitAt, blue4)

// percent appends a place along the line.
func percent(b []byte, x float64) []byte { return append(strconv.AppendFloat(b, x, 'f', 1, 64), '%') }

// sparkWords are the words of a graph: for a reader who can't see it, the limit's, and those below the ends.
type sparkWords struct{ All, Limit, From, To string }

// dot is a reading in a graph of value against distance.
type dot struct{ Km, Value float64 }

// spark draws values against distance with the limit as a line; fewer than two readings draw nothing.
//
// The words stand at the ends: what the limit is, and the first and last distance.
func spark(dots []dot, limit *float64, w sparkWords) template.HTML {
	if len(dots) < 2 {
		return ""
	}
	x0, x1 := dots[0].Km, dots[len(dots)-1].Km
	lo, hi := dots[0].Value, dots[0].Value
	for _, d := range dots {
		lo, hi, x0, x1 = math.Min(lo, d.Value), math.Max(hi, d.Value), math.Min(x0, d.Km), math.Max(x1, d.Km)
	}
	if limit != nil {
		lo, hi = math.Min(lo, *limit), math.Max(hi, *limit)
	}
	if hi == lo || x1 == x0 {
		return ""
	}
	px := func(km float64) float64 { return 2 + 96*(km-x0)/(x1-x0) }
	py := func(v float64) float64 { return 82 - 70*(v-lo)/(hi-lo) }
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="spark" width="100%%" height="116" role="img" aria-label="%s"><line x1="0" y1="92" x2="100%%" y2="92" stroke="%s" stroke-width="1"/>`, template.HTMLEscapeString(w.All), rule)
	fmt.Fprintf(&b, `<text class="soft" x="0" y="110">%s</text><text class="soft" x="100%%" y="110" text-anchor="end">%s</text>`,
		template.HTMLEscapeString(w.From), template.HTMLEscapeString(w.To))
	if limit != nil {
		fmt.Fprintf(&b, `<line x1="0" y1="%.1f" x2="100%%" y2="%.1f" stroke="%s" stroke-width="3"/>`, py(*limit), py(*limit), blue4)
	}
	for i := 1; i < len(dots); i++ {
		fmt.Fprintf(&b, `<line x1="%.1f%%" y1="%.1f" x2="%.1f%%" y2="%.1f" stroke="%s" stroke-width="1.2"/>`,
			px(dots[i-1].Km), py(dots[i-1].Value), px(dots[i].Km), py(dots[i].Value), ink)
	}
	for _, d := range dots {
		fmt.Fprintf(&b, `<circle cx="%.1f%%" cy="%.1f" r="4.5" fill="%s" stroke="%s" stroke-width="1.4"/>`, px(d.Km), py(d.Value), blue2, ink)
	}
	if limit != nil { // over the dots, with a rim of paper
		y := py(*limit) - 7
		if y < 30 {
			y = py(*limit) + 18
		}
		fmt.Fprintf(&b, `<text class="soft" x="100%%" y="%.1f" text-anchor="end">%s</text>`, y, template.HTMLEscapeString(w.Limit))
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}
