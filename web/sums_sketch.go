package web

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"witnessmark/core/sums"
)

// sketchOf is what was asked: numbers in the first unit of each key, and the words as typed.
type sketchOf struct {
	num  map[string]float64
	list map[string][]float64
	text map[string]string
}

// sumDrawings are the pictures, for the sums that one helps. A picture that cannot be drawn is empty.
var sumDrawings = map[string]func(sketchOf, sums.Result) template.HTML{
	"coolant-mix": drawMix, "coolant-freeze": drawFreeze, "coolant-reading": drawFreeze, "fluid-exchange": drawExchange, "brake-fluid": drawBoiling,
	"battery-charge": drawCharge, "battery-load": drawLoadTest, "tread": drawTread, "tyre-size": drawSizes, "tyre-pressure": drawPressure,
	"toe": drawToe, "toe-mm": drawToe, "steering-play": drawPlay, "wheel-angles": drawAngles,
	"brake-balance": drawBalance, "brake-efficiency": drawForces, "brake-disc": drawDisc,
}

// sketchWidth is the width of every picture in its own units, which are about a phone's pixels.
const sketchWidth = 340.0

// sketch is a picture in the making.
type sketch struct{ b strings.Builder }

func (s *sketch) rect(x, y, w, h float64, fill string) {
	if w > 0 && h > 0 {
		fmt.Fprintf(&s.b, `<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" fill="%s" stroke="%s" stroke-width="1.2"/>`, x, y, w, h, fill, ink)
	}
}

// empty is a part that is not there: an outline in dashes.
func (s *sketch) empty(x, y, w, h float64) {
	if w > 0 && h > 0 {
		fmt.Fprintf(&s.b, `<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" fill="none" stroke="%s" stroke-width="1.2" stroke-dasharray="4 3"/>`, x, y, w, h, ink)
	}
}

func (s *sketch) line(x1, y1, x2, y2, width float64, stroke string) {
	fmt.Fprintf(&s.b, `<line x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f" stroke="%s" stroke-width="%.1f"/>`, x1, y1, x2, y2, stroke, width)
}

func (s *sketch) path(d, fill, stroke string, width float64, dash string) {
	if dash != "" {
		dash = ` stroke-dasharray="` + dash + `"`
	}
	fmt.Fprintf(&s.b, `<path d="%s" fill="%s" stroke="%s" stroke-width="%.1f"%s/>`, d, fill, stroke, width, dash)
}

func (s *sketch) dot(x, y float64) {
	fmt.Fprintf(&s.b, `<path d="M%.1f %.1fl7 9l-7 9l-7 -9z" fill="%s" stroke="%s" stroke-width="1.6"/>`, x, y-9, blue2, ink)
}

// words writes text; where is start, middle or end.
func (s *sketch) words(x, y float64, where, text string) { s.classed(x, y, where, "", text) }

func (s *sketch) classed(x, y float64, where, class, text string) {
	if class != "" {
		class = ` class="` + class + `"`
	}
	fmt.Fprintf(&s.b, `<text x="%.1f" y="%.1f" text-anchor="%s"%s>%s</text>`, x, y, where, class, template.HTMLEscapeString(text))
}

// done gives the picture; label says the same for a reader who can't see it.
func (s *sketch) done(height float64, label string) template.HTML {
	return template.HTML(fmt.Sprintf(`<svg class="sumdraw" viewBox="0 0 %.0f %.0f" role="img" aria-label="%s">`, sketchWidth, height, template.HTMLEscapeString(label)) + s.b.String() + `</svg>`)
}

// one gives a field's number; a missing one is nought.
func one(r sums.Result, name string) float64 {
	switch v := r.Value(name).(type) {
	case float64:
		return v
	case int:
		return float64(v)
	}
	return 0
}

// short writes a number with at most two places and its sign as printed.
func short(v float64) string { return sums.Text(math.Round(v*100) / 100) }

// gaugeTick is a mark on a gauge, with its words.
type gaugeTick struct {
	at    float64
	words string
}

// against draws a value on a line from lo to hi with ticks; the words of the ticks stand above, in two rows in turn, so
// that near ones do not run into each other. The value's own words stand below.
func against(lo, hi, v float64, said string, ticks ...gaugeTick) template.HTML {
	if !(hi > lo) {
		return ""
	}
	at := func(v float64) float64 { return 10 + (sketchWidth-20)*(math.Max(lo, math.Min(hi, v))-lo)/(hi-lo) }
	var s sketch
	s.rect(10, 40, sketchWidth-20, 18, paper)
	s.rect(10, 40, at(v)-10, 18, blue1)
	label := said
	for i, t := range ticks {
		y := 30.0
		if i%2 == 1 {
			y = 13
		}
		s.line(at(t.at), y+4, at(t.at), 64, 3.5, blue4)
		s.words(inside(at(t.at), t.words), y, "middle", t.words)
		label += "; " + t.words
	}
	s.dot(at(v), 49)
	s.words(inside(at(v), said), 78, "middle", said)
	return s.done(84, label)
}

// inside moves the middle of a text so far that the whole of it stays in the picture.
func inside(x float64, text string) float64 {
	half := 3.6 * float64(len([]rune(text)))
	return math.Max(half+2, math.Min(sketchWidth-half-2, x))
}
