package web

import (
	"fmt"
	"html/template"
	"strings"

	"witnessmark/core/verdict"
)

// The drawing's colours: ink, paper and one blue in four depths. The style sheet has the same.
const (
	ink   = "#14213A"
	paper = "#FBFAF6"
	rule  = "#8A93A3"
	blue1 = "#DCE9F5"
	blue2 = "#56B4E9"
	blue3 = "#0072B2"
	blue4 = "#003A5C"
)

// marks and stepsOf hold the drawing of every verdict: a page may show hundreds.
var (
	marks   = drawn(drawMark)
	stepsOf = drawn(drawSteps)
)

// drawn draws every verdict once; the empty one stands for "not looked at".
func drawn(draw func(verdict.Verdict) template.HTML) map[verdict.Verdict]template.HTML {
	out := map[verdict.Verdict]template.HTML{}
	for _, v := range []verdict.Verdict{verdict.Sound, verdict.Watch, verdict.Due, verdict.Overdue, verdict.Unsafe, verdict.Unjudged, ""} {
		out[v] = draw(v)
	}
	return out
}

// asVerdict takes a verdict as templates hand it over, as itself or as a word. What is none is drawn as not looked at.
func asVerdict(v any) verdict.Verdict {
	out, ok := v.(verdict.Verdict)
	if !ok {
		out = verdict.Verdict(fmt.Sprint(v))
	}
	if _, known := marks[out]; !known {
		return ""
	}
	return out
}

// mark shows a verdict by shape and darkness; the word always stands beside it, so it is hidden from screen readers.
func mark(v any) template.HTML { return marks[asVerdict(v)] }

// steps shows where a verdict lies on the five steps from sound to unsafe.
func steps(v any) template.HTML { return stepsOf[asVerdict(v)] }

// drawMark draws a verdict's mark.
func drawMark(v verdict.Verdict) template.HTML {
	const open = `<svg class="mark" viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" focusable="false">`
	ring := fmt.Sprintf(`<circle cx="12" cy="12" r="9" fill="%s" stroke="%s" stroke-width="1.8"/>`, paper, ink)
	var body string
	switch v {
	case verdict.Sound:
		body = ring
	case verdict.Watch:
		body = ring + fmt.Sprintf(`<path d="M12 3A9 9 0 0 0 12 21Z" fill="%s"/>`, blue3)
	case verdict.Due:
		body = fmt.Sprintf(`<circle cx="12" cy="12" r="9" fill="%s" stroke="%s" stroke-width="1.8"/>`, blue3, ink)
	case verdict.Overdue:
		body = fmt.Sprintf(`<circle cx="12" cy="12" r="9.9" fill="%s"/><path d="M6.6 12H17.4" stroke="%s" stroke-width="3.2"/>`, blue4, paper)
	case verdict.Unsafe:
		body = fmt.Sprintf(`<rect x="1.5" y="1.5" width="21" height="21" fill="%s"/><path d="M6.5 6.5L17.5 17.5M17.5 6.5L6.5 17.5" stroke="%s" stroke-width="3"/>`, ink, paper)
	default:
		body = fmt.Sprintf(`<circle cx="12" cy="12" r="9" fill="none" stroke="%s" stroke-width="1.8" stroke-dasharray="3.2 2.6"/>`, ink)
	}
	return template.HTML(open + body + `</svg>`)
}

// drawSteps draws the five steps with a verdict's own raised.
func drawSteps(v verdict.Verdict) template.HTML {
	place := v.Place()
	fills := [...]string{paper, blue1, blue3, blue4, ink}
	var b strings.Builder
	b.WriteString(`<svg class="steps" viewBox="0 0 106 20" width="106" height="20" aria-hidden="true" focusable="false">`)
	for i := range fills {
		x, h := 1+i*21, 6
		fill, width := "none", "1"
		if i == place {
			h, fill, width = 16, fills[i], "1.8"
		}
		dash := ""
		if place < 0 {
			dash = ` stroke-dasharray="3 3"`
		}
		fmt.Fprintf(&b, `<rect x="%d" y="%d" width="19" height="%d" fill="%s" stroke="%s" stroke-width="%s"%s/>`, x, 18-h, h, fill, ink, width, dash)
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}
