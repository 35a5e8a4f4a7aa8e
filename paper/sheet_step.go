package paper

import (
	"strconv"

	"witnessmark/core/point"
)

// The columns of a point on the sheet: words on the left, room to write on the right.
const (
	wordsWidth = 66.0
	fieldLeft  = left + wordsWidth + 5
	fieldWidth = right - fieldLeft
	stepPad    = 1.7
	// footHigh is the height of a point's last line: the last reading, and the answer that is always there.
	footHigh = 5.0
	// lastWidth is the part of that line for the last reading.
	lastWidth = 42.0
)

// The styles of a point on the sheet.
var (
	stepName = style{"B", 10, ink}
	stepAsk  = style{"", 8.5, soft}
	stepHint = style{"I", 8.5, ink}
	stepTick = style{"", 9, ink}
	stepWarn = style{"", 8, ink}
)

// block is a point measured: its lines of words, and how high it is.
type block struct {
	name, ask, hint []string
	warnings        [][]string
	ids             []string
	high            float64
}

// block measures a point for the page as it is now: cautions that stand on the page already are not repeated.
func (s *sheet) block(n int, step *SheetStep) block {
	p := step.Point
	b := block{
		name: s.wrapUpTo(4, strconv.Itoa(n)+"  "+p.Name, wordsWidth, stepName),
		ask:  s.wrapUpTo(8, s.guide(p), wordsWidth, stepAsk),
		hint: s.wrapUpTo(4, hint(step), wordsWidth, stepHint),
	}
	words := float64(len(b.name))*stepName.height() + float64(len(b.ask))*stepAsk.height() + float64(len(b.hint))*stepHint.height()
	for _, id := range p.Cautions {
		say := s.data.Cautions[id]
		if say == "" || s.warned[id] {
			continue
		}
		b.ids = append(b.ids, id)
		b.warnings = append(b.warnings, s.wrapUpTo(6, say, width-6, stepWarn))
	}
	warn := 0.0
	for _, w := range b.warnings {
		warn += float64(len(w))*stepWarn.height() + 2.4
	}
	b.high = warn + max(words, s.fields(step, fieldLeft, 0, false)+footHigh) + 2*stepPad
	return b
}

// guide is what the person at the car reads: the question, or at home the whole method.
func (s *sheet) guide(p *point.Point) string {
	if s.data.Depth == point.Driveway && p.DrivewayMethod != "" {
		return p.DrivewayMethod
	}
	return p.Ask
}

func hint(step *SheetStep) string {
	if step.Hint != "" {
		return step.Hint
	}
	return step.Point.Hint
}

// step draws a point in one piece.
func (s *sheet) step(n int, step *SheetStep, b block) {
	if s.room(b.high) {
		b = s.block(n, step) // a new page says the cautions again
	}
	for _, id := range b.ids {
		s.warned[id] = true
	}
	y := s.y + stepPad
	for _, w := range b.warnings {
		y = s.warning(y, w)
	}
	words := s.lines(left, y, b.name, stepName)
	words = s.lines(left, words, b.ask, stepAsk)
	s.lines(left, words, b.hint, stepHint)
	s.fields(step, fieldLeft, y, true)
	s.y += b.high
	s.foot(step, s.y-stepPad-footHigh)
	s.hair(s.y)
}

// warning draws a caution across the block and gives the y below it.
func (s *sheet) warning(y float64, lines []string) float64 {
	h := float64(len(lines))*stepWarn.height() + 1.2
	s.fill(sand)
	s.pdf.Rect(left, y, width, h, "F")
	s.fill(ink)
	s.pdf.Rect(left, y, 1.2, h, "F")
	s.lines(left+3.5, y+0.6, lines, stepWarn)
	return y + h + 1.2
}

// foot draws the last line of a point: what was read last time, if it is short, and the circle for not looked at.
func (s *sheet) foot(step *SheetStep, y float64) {
	if words := s.lastWords(step); words != "" && s.wide(words, stepAsk) <= lastWidth {
		s.put(fieldLeft, y+0.6, words, stepAsk)
	}
	x := fieldLeft + lastWidth + 3
	s.dashed(x+1.7, y+2.7, 1.6)
	const words = "not looked at:"
	s.put(x+4.6, y+0.8, words, stepWarn)
	s.stroke(rule, 0.2)
	s.pdf.Line(x+6+s.wide(words, stepWarn), y+4.4, right, y+4.4)
}
