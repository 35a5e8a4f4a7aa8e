package paper

import (
	"strconv"
	"strings"

	"witnessmark/shop"
)

const (
	labelWidth = 27.0
	textLeft   = left + labelWidth
	textWidth  = width - labelWidth
)

// glance draws the list of everything that asks for something, one line each.
func (d *drawing) glance(r *shop.Report) {
	d.caption("At a glance", 2*body.height())
	if len(r.Sections) == 0 {
		text := "Nothing that was looked at asks for anything now."
		if len(r.Unjudged)+len(r.NotLooked) > 0 {
			text += " Some things could not be judged or were not looked at; they are listed below."
		}
		d.flow(left, d.wrap(text, width, body), body)
		d.y += 4
		return
	}
	const wordLeft, whenLeft = left + 82, left + 106
	for i := range r.Sections {
		s := &r.Sections[i]
		name := d.wrapUpTo(4, s.Title, wordLeft-left-12, label)
		when := d.wrapUpTo(4, s.ByWhen, right-whenLeft, body)
		h := float64(max(1, len(name), len(when)))*body.height() + 1.2
		d.room(h)
		d.mark(s.Verdict, left+markRadius+0.6, d.y+body.height()*0.5, 2)
		d.lines(left+8.5, d.y, name, label)
		d.put(wordLeft, d.y, string(s.Verdict), body)
		d.lines(whenLeft, d.y, when, body)
		d.y += h
	}
	d.flow(left, d.wrap(counts(r), width, small), small)
	d.y += 3
}

// counts says how much was sound, not judged and not looked at.
func counts(r *shop.Report) string {
	parts := []string{
		strconv.Itoa(len(r.Sound)) + " looked at and sound",
		strconv.Itoa(len(r.Unjudged)) + " without a verdict",
		strconv.Itoa(r.Places-r.Looked) + " of " + strconv.Itoa(r.Places) + " places not looked at",
	}
	return "Besides these: " + strings.Join(parts, ", ") + ". All are listed at the end."
}

// caption draws a heading over a rule and keeps it together with the next h mm.
func (d *drawing) caption(text string, h float64) {
	lines := d.wrap(text, width, heading)
	d.room(float64(len(lines))*heading.height() + 3.5 + h)
	d.stroke(ink, 0.4)
	d.pdf.Line(left, d.y, right, d.y)
	d.y = d.lines(left, d.y+2, lines, heading) + 1.5
}

// section draws one finding for the owner.
func (d *drawing) section(s *shop.ReportSection, ahead []shop.AheadLine, album *album) {
	d.sectionHead(s)
	d.row("We saw", s.Saw)
	d.row("It means", one(s.Means))
	d.comes(s, ahead)
	d.row("If you wait", one(s.Wait))
	d.row("To do", s.ToDo)
	d.row("By when", one(s.ByWhen))
	d.row("Look again", one(s.Recheck))
	d.grounds(s)
	d.careful(s.Cautions)
	album.show(s.Photos)
	d.y += 6
}

// sectionHead draws mark, title and scale, and keeps them together with the first two lines that follow.
func (d *drawing) sectionHead(s *shop.ReportSection) {
	const titleLeft = left + 9
	lines := d.wrapUpTo(4, s.Title+": "+string(s.Verdict), right-titleLeft-42, heading)
	h := max(float64(len(lines))*heading.height(), 7)
	d.room(h + 4 + 2*body.height())
	if !d.fresh() {
		d.stroke(ink, 0.25)
		d.pdf.Line(left, d.y, right, d.y)
		d.y += 2.8
	}
	d.mark(s.Verdict, left+markRadius+0.8, d.y+heading.height()*0.52, markRadius)
	d.lines(titleLeft, d.y, lines, heading)
	d.scale(s.Verdict, right-0.5, d.y+2.2)
	d.y += h + 1.2
}

// row draws a label with its text; a row without text is left out.
func (d *drawing) row(name string, texts []string) {
	lines := d.wrapAll(texts, textWidth, body)
	if len(lines) == 0 {
		return
	}
	d.room(float64(min(2, len(lines))) * body.height())
	d.put(left, d.y, name, label)
	d.flow(textLeft, lines, body)
	d.y += 1.3
}

// grounds draws what the verdict rests on, in small print.
func (d *drawing) grounds(s *shop.ReportSection) {
	var texts []string
	if s.Limit != "" {
		texts = append(texts, "Judged by: "+s.Limit)
	}
	if s.Category != "" {
		texts = append(texts, s.Category)
	}
	d.flow(textLeft, d.wrapAll(texts, textWidth, small), small)
	if len(texts) > 0 {
		d.y += 1.3
	}
}

// careful draws cautions on a tinted ground with a bar. Each is kept in one piece.
func (d *drawing) careful(texts []string) {
	style := style{"", 10.5, ink}
	for _, t := range texts {
		lines := d.wrap(t, textWidth-8, style)
		if len(lines) == 0 {
			continue
		}
		h := float64(len(lines))*style.height() + 2.8
		d.room(h + 0.8)
		if d.y+0.8+h > bottom { // longer than a page, also than a fresh one: plain text can go on, a box can't
			d.flow(textLeft, lines, style)
			continue
		}
		d.y += 0.8
		d.fill(sand)
		d.pdf.Rect(textLeft, d.y, textWidth, h, "F")
		d.fill(ink)
		d.pdf.Rect(textLeft, d.y, 1.4, h, "F")
		d.lines(textLeft+4.5, d.y+1.4, lines, style)
		d.y += h + 0.8
	}
}

func one(s string) []string {
	if s == "" {
		return nil
	}
	return []string{s}
}
