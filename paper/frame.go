package paper

import "strconv"

// cell is a labelled value in a strip.
type cell struct {
	label, value string
	// share is the cell's part of the strip's width.
	share float64
}

// lacking is what every page says at its foot where something stands in for what the font lacks.
const lacking = "Square brackets stand for words that can't be printed here, and rare accents are left out; the page on the screen shows them."

// frames draws the double border and the title block on every page; the block's last cell is the page number. It
// comes last, when the number of pages is known.
func (d *drawing) frames(cells []cell) {
	total, lowest := d.pdf.PageCount(), d.lowest
	defer func() { d.lowest = lowest }() // of the content
	for n := 1; n <= total; n++ {
		d.pdf.SetPage(n)
		d.now = style{} // each page has its own state
		d.stroke(ink, 0.5)
		d.pdf.Rect(frameLeft, frameTop, frameRight-frameLeft, frameBottom-frameTop, "D")
		d.stroke(rule, 0.18)
		d.pdf.Rect(frameLeft+inset, frameTop+inset, frameRight-frameLeft-2*inset, frameBottom-frameTop-2*inset, "D")
		page := cell{"page", strconv.Itoa(n) + " of " + strconv.Itoa(total), 1}
		d.titleBlock(append(cells[:len(cells):len(cells)], page))
	}
	for n := 1; d.lacks && n <= total; n++ { // the strip's own cells count too
		d.pdf.SetPage(n)
		d.now = style{}
		d.put(left, bottom, lacking, tiny)
	}
}

// titleBlock draws the strip at the foot of a page, as a drawing has one.
func (d *drawing) titleBlock(cells []cell) {
	from, to := frameLeft+inset, frameRight-inset
	d.stroke(ink, 0.3)
	d.pdf.Line(from, blockTop, to, blockTop)
	value := style{"B", 8.5, ink}
	d.each(cells, from, to, func(c cell, x, w float64, last bool) {
		d.put(x+2, blockTop+1.3, c.label, tiny)
		d.put(x+2, blockTop+4.8, d.cut(c.value, w-3, value), value)
		if !last {
			d.stroke(rule, 0.2)
			d.pdf.Line(x+w, blockTop, x+w, frameBottom-inset)
		}
	})
}

// stripLines is how many lines a value in a strip may have.
const stripLines = 4

// strip draws labelled values side by side at d.y, between two rules.
func (d *drawing) strip(cells []cell) {
	value := style{"B", 11, ink}
	high := 0
	d.each(cells, left, right, func(c cell, _, w float64, _ bool) {
		high = max(high, len(d.wrapUpTo(stripLines, c.value, w-5, value)))
	})
	h := 6.5 + float64(high)*value.height() + 1.5
	d.room(h)
	d.stroke(ink, 0.4)
	d.pdf.Line(left, d.y, right, d.y)
	d.each(cells, left, right, func(c cell, x, w float64, last bool) {
		pad := 2.5
		if x == left {
			pad = 0
		}
		d.put(x+pad, d.y+1.8, c.label, style{"", 9, soft})
		d.lines(x+pad, d.y+6.3, d.wrapUpTo(stripLines, c.value, w-5, value), value)
		if !last {
			d.stroke(rule, 0.25)
			d.pdf.Line(x+w, d.y, x+w, d.y+h)
		}
	})
	d.y += h
	d.hair(d.y)
}

// each calls f with the place of every cell between two edges.
func (d *drawing) each(cells []cell, from, to float64, f func(c cell, x, w float64, last bool)) {
	sum := 0.0
	for _, c := range cells {
		sum += c.share
	}
	x := from
	for i, c := range cells {
		w := (to - from) * c.share / sum
		f(c, x, w, i == len(cells)-1)
		x += w
	}
}
