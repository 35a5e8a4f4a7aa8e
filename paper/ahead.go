package paper

import (
	"witnessmark/shop"
)

// tenLong is the length of ten small figures, in mm.
const tenLong = 10*tenStep - 1.4

// tenStep is the distance from one small figure to the next.
const tenStep = 4.6

// comes draws what is to be expected of what a section speaks of, with ten small figures where some of ten cars reach the limit
// before they are seen again.
func (d *drawing) comes(s *shop.ReportSection, lines []shop.AheadLine) {
	for i, l := range lines {
		text := l.Text
		if l.Title != s.Title {
			text = l.Title + ": " + text
		}
		name := ""
		if i == 0 {
			name = "What comes"
		}
		d.row(name, one(text))
		d.ten(l, textLeft, textWidth)
	}
}

// ten draws ten small figures, as many filled as are said, with the sentence beside them.
func (d *drawing) ten(l shop.AheadLine, x, w float64) {
	if l.Ten < 1 || l.Ten > 10 {
		return
	}
	text := d.wrap(l.TenText, w-tenLong-5, body)
	h := max(figures, float64(len(text))*body.height())
	d.room(h + 1)
	d.tens(l.Ten, x, d.y)
	d.lines(x+tenLong+5, d.y, text, body)
	d.y += h + 1
}

// figures is the height of the small figures, in mm.
const figures = 5.0

// tens draws ten small figures, n of them filled.
func (d *drawing) tens(n int, x, y float64) {
	d.stroke(ink, 0.25)
	for i := range 10 {
		d.fill(white)
		if i < n {
			d.fill(mid)
		}
		d.pdf.RoundedRect(x+float64(i)*tenStep, y+0.2, tenStep-1.4, figures-0.4, 0.5, "1234", "FD")
	}
}

// ahead draws when the car should be seen again, and what is to be expected of everything that no section speaks of.
func (d *drawing) ahead(r *shop.Report) {
	rest := r.AheadElse()
	if len(rest) == 0 && r.NextLook == "" {
		return
	}
	d.caption("What comes, and when", 3*body.height())
	if r.NextLook != "" {
		d.flow(left, d.wrap(r.NextLook, width, label), label)
		d.y += 1
	}
	if len(rest) > 0 {
		d.flow(left, d.wrap("Worked out from what was measured and seen on this car, and from cars like it. It is what is likely, not a promise.", width, small), small)
		d.y += 1.5
	}
	for _, l := range rest {
		d.aheadRow(l)
	}
	d.y += 3.5
}

// aheadRow draws a thing in bold with its ten small figures at the left, and what is to be expected of it beside them.
func (d *drawing) aheadRow(l shop.AheadLine) {
	const nameWidth, gap = 0.31 * width, 5.0
	const sayLeft, sayWidth = left + nameWidth + gap, width - nameWidth - gap
	name, says := d.wrapUpTo(6, l.Title, nameWidth, label), d.wrapAll([]string{l.Text, l.TenText, l.Look}, sayWidth, body)
	h := float64(len(name)) * label.height()
	if l.Ten > 0 {
		h += figures + 0.6
	}
	d.room(max(h, float64(min(3, len(says)))*body.height()) + 1)
	from, page := d.y, d.pdf.PageNo()
	y := d.lines(left, d.y, name, label)
	if l.Ten > 0 {
		d.tens(l.Ten, left, y+0.6)
	}
	d.flow(sayLeft, says, body)
	if d.pdf.PageNo() == page {
		d.y = max(d.y, from+h)
	}
	d.y += 0.8
	d.hair(d.y)
	d.y += 1.2
}
