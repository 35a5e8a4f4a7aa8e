package web

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"slices"
	"strings"

	"witnessmark/core/outlook"
	"witnessmark/core/point"
	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// gauge is the drawing of one value: its limits as ticks and the last readings as diamonds on one line.
type gauge struct {
	lo, hi float64
	limits []scaleTick
	last   []scaleTick
	say    func(float64) string
	ago    string
	// likely is the range expected today over all places, nil for none; fresh is what a new part measures, 0 for not known.
	likely *outlook.Range
	fresh  float64
}

// scaleTick is a place on a scale with its word.
type scaleTick struct {
	at    float64
	word  string
	thick bool
}

// gaugeOf draws the point's first value, or nil when there is nothing to show on it.
func (s *server) gaugeOf(v *shop.RoundView, step shop.StepView) *gauge {
	p := step.Point
	if p.Kind != point.Measure || len(p.Values) == 0 {
		return nil
	}
	val := p.Values[0]
	sc := &gauge{say: func(x float64) string { return bareNumber(s.shop.Display(v.Car, val.Name, x, p)) }}
	sc.limits = limitTicks(s.shop.Catalogue(), v, step)
	sc.last, sc.ago = s.lastTicks(v, step, val.Name)
	if len(sc.limits)+len(sc.last) == 0 {
		return nil
	}
	sc.span(val)
	return sc
}

// lastTicks gives the last readings of a value, at most two of them: the smallest and the largest.
func (s *server) lastTicks(v *shop.RoundView, step shop.StepView, name string) ([]scaleTick, string) {
	var all []float64
	ago := ""
	for _, at := range step.Slots {
		l, ok := step.Last[at]
		if !ok {
			continue
		}
		if x, ok := l.Reading.Values[name]; ok {
			all = append(all, x)
			ago = s.ago(v, l)
		}
	}
	if len(all) == 0 {
		return nil, ""
	}
	a, b := slices.Min(all), slices.Max(all)
	out := []scaleTick{{at: a, word: "last"}}
	if b > a {
		out = append(out, scaleTick{at: b, word: "last"})
	}
	return out, ago
}

// limitTicks gives the limit that counts on each side and the figure from which the value is watched.
func limitTicks(cat *point.Catalogue, v *shop.RoundView, step shop.StepView) []scaleTick {
	p := step.Point
	best := map[string]scaleTick{}
	for _, l := range p.Limits {
		if l.Of != "" && l.Of != p.Values[0].Name {
			continue
		}
		if ok, _ := l.When.Holds(v.Facets); !ok {
			continue
		}
		x, ok := limitFigure(cat, v, step, l)
		if !ok {
			continue
		}
		key, t := "watch", scaleTick{at: x, word: "watch from"}
		if l.Verdict.Place() >= verdict.Due.Place() {
			key, t = "limit", scaleTick{at: x, word: "limit", thick: true}
		}
		if l.Is.Falls() {
			key += " falling"
		}
		old, has := best[key]
		if !has || l.Is.Falls() == (x > old.at) {
			best[key] = t
		}
	}
	var out []scaleTick
	for _, t := range best {
		out = append(out, t)
	}
	slices.SortFunc(out, func(a, b scaleTick) int { return int(math.Copysign(1, a.at-b.at)) })
	return out
}

// limitFigure resolves a limit for the car: a number, or the figure entered for it if that is the same at every place.
func limitFigure(cat *point.Catalogue, v *shop.RoundView, step shop.StepView, l point.Limit) (float64, bool) {
	if l.Number != nil {
		return *l.Number, true
	}
	if l.Spec == "" {
		return 0, false
	}
	figures := v.Car.Specs[l.Spec].Numbers
	if len(figures) == 0 {
		if d := cat.Specs[l.Spec]; d != nil && d.Default != nil {
			return scaled(*d.Default, l), true
		}
		return 0, false
	}
	var x float64
	first := true
	for _, f := range figures {
		if !first && f != x {
			return 0, false
		}
		x, first = f, false
	}
	return scaled(x, l), true
}

func scaled(x float64, l point.Limit) float64 {
	if l.Times != 0 {
		x *= l.Times
	}
	return x + l.Plus
}

// span chooses the ends: a new part's figure on the right where it is known, nought on the left where the figures come near it,
// else a piece round them.
func (g *gauge) span(val point.Value) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, t := range append(slices.Clone(g.limits), g.last...) {
		lo, hi = math.Min(lo, t.at), math.Max(hi, t.at)
	}
	if g.likely != nil {
		lo, hi = math.Min(lo, g.likely.Low), math.Max(hi, g.likely.High)
	}
	room := math.Max((hi-lo)*0.35, math.Abs(hi)*0.05)
	if room == 0 {
		room = 1
	}
	g.lo, g.hi = lo-room, hi+room
	switch {
	case lo == hi && lo > 0:
		g.lo, g.hi = 0, 2*hi
	case lo >= 0 && lo <= 0.6*hi:
		g.lo, g.hi = 0, hi*1.3
	}
	g.lo = math.Max(g.lo, val.Min)
	g.hi = math.Min(g.hi, math.Max(val.Max, hi))
	if val.Step > 0 && g.lo > 0 {
		g.lo = math.Floor(g.lo/val.Step) * val.Step
	}
	if g.fresh > 0 && g.fresh >= hi {
		g.hi = g.fresh
	}
}

// Draw gives the drawing, with the same in words for those who can't see it. What is expected stands above what was last read, so
// that their words never meet.
func (g *gauge) Draw() template.HTML {
	const left, right = 14.0, 326.0
	x := func(v float64) float64 { return left + (v-g.lo)/(g.hi-g.lo)*(right-left) }
	base := 46.0
	if g.likely != nil {
		base = 66
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="scale" viewBox="0 0 340 %.0f" role="img" aria-label="%s">`, base+46, html.EscapeString(g.words()))
	fmt.Fprintf(&b, `<path d="M%.1f %.0fH%.1f" stroke="%s" stroke-width="1.4"/><path d="M%.1f %.0fv22M%.1f %.0fv22" stroke="%s" stroke-width="1.4"/>`, left, base, right, ink, left, base-11, right, base-11, ink)
	if g.likely != nil {
		g.drawLikely(&b, x, base)
	}
	below := labels{}
	for _, t := range g.limits {
		width, dash := 4.0, ""
		if !t.thick {
			width, dash = 2, ` stroke-dasharray="4 3"`
		}
		fmt.Fprintf(&b, `<path d="M%.1f %.0fv34" stroke="%s" stroke-width="%g"%s/>`, x(t.at), base-17, blue4, width, dash)
		below.add(x(t.at), t.word+" "+g.say(t.at))
	}
	above := labels{}
	for _, t := range g.last {
		c := x(t.at)
		fmt.Fprintf(&b, `<path d="M%.1f %.0fl6 8l-6 8l-6 -8Z" fill="%s" stroke="%s" stroke-width="1.6"/>`, c, base-8, paper, ink)
		above.add(c, t.word+" "+g.say(t.at))
	}
	below.write(&b, base+34)
	above.write(&b, base-24)
	below.end(&b, left, right, base+34, g.endWord(g.lo), g.endWord(g.hi))
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

// drawLikely draws the range expected today as a block on the line, at least so wide that it is seen, with its words above.
func (g *gauge) drawLikely(b *strings.Builder, x func(float64) float64, base float64) {
	from, to := x(g.likely.Low), x(g.likely.High)
	if to-from < 5 {
		middle := (from + to) / 2
		from, to = middle-2.5, middle+2.5
	}
	fmt.Fprintf(b, `<path d="M%.1f %.0fH%.1f" stroke="%s" stroke-width="12"/><path d="M%.1f 20V%.0f" stroke="%s" stroke-width="1"/>`, from, base, to, blue3, (from+to)/2, base-7, ink)
	words := labels{}
	words.add((from+to)/2, g.foreseenWords())
	words.write(b, 16)
}

// words says what the drawing shows.
func (g *gauge) words() string {
	var parts []string
	for _, t := range g.limits {
		parts = append(parts, t.word+" "+g.say(t.at))
	}
	for _, t := range g.last {
		parts = append(parts, t.word+" "+g.say(t.at))
	}
	if g.ago != "" {
		parts = append(parts, g.ago)
	}
	if g.likely != nil {
		parts = append(parts, g.foreseenWords())
	}
	if g.fresh > 0 {
		parts = append(parts, "new "+g.say(g.fresh))
	}
	return "Scale: " + strings.Join(parts, ", ")
}

// endWord writes the figure at an end of the line.
func (g *gauge) endWord(v float64) string {
	switch {
	case v == 0:
		return "0"
	case v == g.fresh:
		return "new " + g.say(v)
	}
	return g.say(v)
}
