package paper

import (
	"strings"

	"witnessmark/core/point"
	"witnessmark/core/unit"
)

// fields draws the room to write of a point from y on, or only measures it, and gives its height.
func (s *sheet) fields(step *SheetStep, x, y float64, pen bool) float64 {
	p, from := step.Point, y
	slots := step.Slots
	if len(slots) == 0 {
		slots = []string{""}
	}
	if p.Kind == point.Level {
		y = s.levels(slots, x, y, pen)
	}
	for i := range p.Values {
		y = s.boxes(step, slots, &p.Values[i], x, y, pen)
	}
	if p.Kind == point.Code {
		y = s.codes(step, slots, x, y, pen)
	}
	if len(p.States) > 0 {
		y = s.states(p, slots, x, y, pen)
	}
	if words := s.lastWords(step); s.wide(words, stepAsk) > lastWidth {
		lines := s.wrapUpTo(3, words, fieldWidth, stepAsk)
		if pen {
			s.lines(x, y, lines, stepAsk)
		}
		y += float64(len(lines)) * stepAsk.height()
	}
	return y - from
}

// levels draws the band between the marks for every position, for a cross at the level.
func (s *sheet) levels(slots []string, x, y float64, pen bool) float64 {
	const from, to, over = 16.0, 66.0, 10.0
	for _, slot := range slots {
		if pen {
			s.put(x, y+2, short(slot), stepTick)
			s.stroke(ink, 0.3)
			s.pdf.Line(x+from-over, y+4, x+to+over, y+4)
			s.pdf.Line(x+from, y+1.6, x+from, y+6.4)
			s.pdf.Line(x+to, y+1.6, x+to, y+6.4)
			s.stroke(rule, 0.2)
			for i := 1; i < 4; i++ {
				at := x + from + (to-from)*float64(i)/4
				s.pdf.Line(at, y+2.9, at, y+5.1)
			}
			s.put(x+from-s.wide("MIN", tiny)/2, y+6.6, "MIN", tiny)
			s.put(x+to-s.wide("MAX", tiny)/2, y+6.6, "MAX", tiny)
		}
		y += 10.8
	}
	return y
}

// boxes draws a box for a number at every position.
func (s *sheet) boxes(step *SheetStep, slots []string, v *point.Value, x, y float64, pen bool) float64 {
	words := v.Label
	if v.Optional {
		words += " (if known)"
	}
	lines := s.wrapUpTo(2, words, fieldWidth, stepTick)
	if len(step.Point.Values) > 1 || words != v.Label {
		if pen {
			s.lines(x, y, lines, stepTick)
		}
		y += float64(len(lines)) * stepTick.height()
	}
	last := step.Last
	if v != &step.Point.Values[0] {
		last = nil // the last reading is told once
	}
	return s.grid(slots, s.unitOf(v.Name), last, x, y+0.4, pen)
}

// unitOf gives the unit to write a value in.
func (s *sheet) unitOf(name string) string {
	u, ok := unit.ValueUnit(name)
	if !ok {
		return ""
	}
	system, err := unit.ParseSystem(s.data.Car.Units)
	if err != nil {
		system = unit.Metric
	}
	u, _ = unit.Show(0, u, system, 1)
	return u.Symbol()
}

// grid draws boxes: positions side by side, places of one position below each other.
func (s *sheet) grid(slots []string, symbol string, last map[string]string, x, y float64, pen bool) float64 {
	bases, places := split(slots)
	const high = 7.2
	margin := 0.0
	if len(places) > 1 || places[0] != "" {
		margin = 13
	}
	gap := 2.0
	w := min(26, (fieldWidth-margin-gap*float64(len(bases)-1))/float64(len(bases)))
	if len(bases) > 1 || bases[0] != "" {
		for i, b := range bases {
			if pen {
				s.put(x+margin+float64(i)*(w+gap), y, short(b), tiny)
			}
		}
		y += 3.4
	}
	for _, place := range places {
		if pen && margin > 0 {
			s.put(x, y+1.6, place, stepAsk)
		}
		below := 0.8
		for i, b := range bases {
			slot := b
			if place != "" {
				slot += "/" + place
			}
			if !has(slots, slot) {
				continue
			}
			at := x + margin + float64(i)*(w+gap)
			if pen {
				s.box(at, y, w, high, symbol)
			}
			if l := last[slot]; l != "" {
				below = 4
				if pen {
					s.put(at, y+high+0.2, s.cut(l, w+gap-0.5, tiny), tiny)
				}
			}
		}
		y += high + below
	}
	return y + 0.6
}

// box draws a box to write in, with its unit.
func (s *sheet) box(x, y, w, h float64, symbol string) {
	s.stroke(ink, 0.28)
	s.pdf.Rect(x, y, w, h, "D")
	if symbol != "" {
		s.put(x+w-1-s.wide(symbol, tiny), y+h-3.7, symbol, tiny)
	}
}

// codes draws a long box for a text at every position.
func (s *sheet) codes(step *SheetStep, slots []string, x, y float64, pen bool) float64 {
	for _, slot := range slots {
		margin := 0.0
		if slot != "" {
			margin = 13
		}
		if pen {
			s.put(x, y+1.8, short(slot), stepTick)
			s.box(x+margin, y, min(60, fieldWidth-margin), 7.2, "")
		}
		y += 8
		if l := step.Last[slot]; l != "" {
			if pen {
				s.put(x+margin, y-0.6, s.cut("last: "+l, fieldWidth-margin, tiny), tiny)
			}
			y += 3.2
		}
	}
	return y + 0.6
}

// lastWords tells the last readings in a line; empty where they stand under their boxes, or where there are none.
func (s *sheet) lastWords(step *SheetStep) string {
	if len(step.Point.Values) > 0 || step.Point.Kind == point.Code {
		return ""
	}
	var said []string              // each reading once, in its first order
	where := map[string][]string{} // the positions that read so
	for _, slot := range step.Slots {
		l := s.clean(step.Last[slot])
		if l == "" {
			continue
		}
		if !has(said, l) {
			said = append(said, l)
		}
		if slot != "" {
			where[l] = append(where[l], short(slot))
		}
	}
	if len(said) == 0 {
		return ""
	}
	for i, l := range said {
		said[i] = strings.TrimPrefix(strings.Join(where[l], ", ")+" "+l, " ")
	}
	return "last: " + strings.Join(said, "; ")
}

// short writes a position for a narrow column.
func short(slot string) string { return strings.ReplaceAll(slot, "/", " ") }

// split gives the positions and places that occur, each in its first order.
func split(slots []string) (bases, places []string) {
	for _, slot := range slots {
		base, place := point.SplitAt(slot)
		if !has(bases, base) {
			bases = append(bases, base)
		}
		if !has(places, place) {
			places = append(places, place)
		}
	}
	return bases, places
}

func has(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}
