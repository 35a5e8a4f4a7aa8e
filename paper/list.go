package paper

import (
	"strconv"

	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// soundList draws what was sound in three columns, read across.
func (d *drawing) soundList(names []string) {
	if len(names) == 0 {
		return
	}
	const columns, pad = 3, 6.0
	style := style{"", 10, ink}
	const w = width / columns
	d.caption("Looked at and sound: "+strconv.Itoa(len(names)), 2*style.height())
	for i := 0; i < len(names); i += columns {
		row := names[i:min(i+columns, len(names))]
		high := 1
		for _, n := range row {
			high = max(high, len(d.wrapUpTo(6, n, w-pad-3, style)))
		}
		d.room(float64(high)*style.height() + 0.6)
		for j, n := range row {
			x := left + float64(j)*w
			d.mark(verdict.Sound, x+1.6, d.y+style.height()*0.5, 1.2)
			d.lines(x+pad-1.5, d.y, d.wrapUpTo(6, n, w-pad-3, style), style)
		}
		d.y += float64(high)*style.height() + 0.6
	}
	d.y += 5
}

// reasons draws things with their reason in two columns, and says so when there are none.
func (d *drawing) reasons(text, what string, rows []shop.ReportLine) {
	d.caption(text, 2*body.height())
	if len(rows) == 0 {
		d.flow(left, []string{"Nothing: no place is " + what + "."}, body)
		d.y += 5
		return
	}
	const pad, gap = 7.0, 6.0
	const whatWidth = 0.58*width - pad
	const whyLeft = left + pad + whatWidth + gap
	for _, r := range rows {
		names, why := d.wrap(r.What, whatWidth, body), d.wrap(r.Reason, right-whyLeft, body)
		d.room(float64(min(3, max(len(names), len(why))))*body.height() + 1)
		d.mark(verdict.Unjudged, left+2, d.y+body.height()*0.5, 1.6)
		d.pairs(left+pad, names, whyLeft, why)
		d.y += 0.8
		d.hair(d.y)
		d.y += 1.2
	}
	d.y += 3.5
}

// pairs sets two columns of lines beside each other and goes on to new pages.
func (d *drawing) pairs(x1 float64, a []string, x2 float64, b []string) {
	for i := range max(len(a), len(b)) {
		d.room(body.height())
		if i < len(a) {
			d.put(x1, d.y, a[i], body)
		}
		if i < len(b) {
			d.put(x2, d.y, b[i], body)
		}
		d.y += body.height()
	}
}
