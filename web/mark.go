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

// mark draws a verdict by shape and darkness; the word always stands beside it, so it is hidden from screen readers.
func mark(v any) template.HTML {
	const open = `<svg class="mark" viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" focusable="false">`
	ring := fmt.Sprintf(`<circle cx="12" cy="12" r="9" fill="%s" stroke="%s" stroke-width="1.8"/>`, paper, ink)
	var body string
	switch verdict.Verdict(fmt.Sprint(v)) {
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

// steps draws where a verdict lies on the five steps from sound to unsafe.
func steps(v any) template.HTML {
	place := verdict.Verdict(fmt.Sprint(v)).Place()
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
