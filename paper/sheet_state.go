package paper

import (
	"strings"

	"witnessmark/core/point"
)

// tickGap is the height of a line with a circle to tick.
const tickGap = 5.2

// states draws what can be seen: for one position its states in a row, for several a column of circles each, and for
// many a key of letters with a box for each position.
func (s *sheet) states(p *point.Point, slots []string, x, y float64, pen bool) float64 {
	switch {
	case len(slots) == 1:
		return s.stateRow(p, x, y, pen)
	case len(slots) <= 6:
		return s.stateColumns(p, slots, x, y, pen)
	}
	return s.stateLetters(p, slots, x, y, pen)
}

func (s *sheet) stateRow(p *point.Point, x, y float64, pen bool) float64 {
	at := x
	for i := range p.States {
		words := s.cut(p.States[i].Say, fieldWidth-6, stepTick)
		w := 5 + s.wide(words, stepTick) + 5
		if at > x && at+w-5 > x+fieldWidth {
			at, y = x, y+tickGap
		}
		if pen {
			s.tick(at+1.9, y+2.3)
			s.put(at+5, y, words, stepTick)
		}
		at += w
	}
	return y + tickGap
}

func (s *sheet) stateColumns(p *point.Point, slots []string, x, y float64, pen bool) float64 {
	const column = 8.5
	words := x + float64(len(slots))*column + 1.5
	if pen {
		for i, slot := range slots {
			name := short(slot)
			s.put(x+float64(i)*column+1.9-s.wide(name, tiny)/2, y-0.4, name, tiny)
		}
	}
	y += 3.4
	for i := range p.States {
		lines := s.wrapUpTo(2, p.States[i].Say, x+fieldWidth-words, stepTick)
		if pen {
			for j := range slots {
				s.tick(x+float64(j)*column+1.9, y+2.3)
			}
			s.lines(words, y, lines, stepTick)
		}
		y += max(tickGap, float64(len(lines))*stepTick.height()+0.6)
	}
	return y
}

func (s *sheet) stateLetters(p *point.Point, slots []string, x, y float64, pen bool) float64 {
	key := make([]string, len(p.States))
	for i := range p.States {
		key[i] = string(rune('a'+i)) + ": " + s.cut(p.States[i].Say, fieldWidth-10, stepTick)
	}
	lines := s.wrap("Write the letter.  "+strings.Join(key, " · "), fieldWidth, stepTick)
	if pen {
		s.lines(x, y, lines, stepTick)
	}
	y += float64(len(lines))*stepTick.height() + 0.8
	return s.grid(slots, "", nil, x, y, pen)
}

// tick draws a circle for the pen.
func (s *sheet) tick(x, y float64) {
	s.stroke(ink, 0.28)
	s.fill(white)
	s.pdf.Circle(x, y, 1.7, "FD")
}
