package web

import (
	"html/template"
	"strings"
)

// rungLinks writes many rungs that lead to their readings. It says what the template part "rungline" says, without the
// template's cost, which counts with the hundreds of sound items of one car.
func rungLinks(rungs []rung) template.HTML {
	var b strings.Builder
	esc := template.HTMLEscapeString
	for i := range rungs {
		g := &rungs[i]
		b.WriteString(`<a class="rung plainrung" href="` + esc(g.Href) + `">` + string(mark(g.Verdict)) + `<span class="what"><b>` + esc(g.Name))
		if g.Where != "" {
			b.WriteString(", " + esc(g.Where))
		}
		b.WriteString(`</b><span class="sub"><strong>` + esc(g.Word) + `</strong>`)
		if g.Now != "" {
			b.WriteString(" · " + esc(g.Now))
		}
		b.WriteString(`</span></span><span class="then sub">` + esc(g.LookedOn) + `</span></a>`)
	}
	return template.HTML(b.String())
}
