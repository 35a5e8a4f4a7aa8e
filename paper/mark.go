package paper

import (
	"math"

	"witnessmark/core/verdict"
)

// markRadius is the size of a mark beside a heading, in mm.
const markRadius = 2.4

// mark draws a verdict's mark round a centre. Every verdict has its own shape and its own darkness: an empty circle,
// one half filled, one filled, a dark one with a bar, a dark square with a cross; a dashed circle is no verdict.
func (d *drawing) mark(v verdict.Verdict, x, y, r float64) {
	d.stroke(ink, 0.14*r+0.08)
	d.fill(white)
	switch v {
	case verdict.Sound:
		d.pdf.Circle(x, y, r, "FD")
	case verdict.Watch:
		d.pdf.Circle(x, y, r, "F")
		d.fill(mid)
		d.halfDisc(x, y, r)
		d.pdf.Circle(x, y, r, "D")
	case verdict.Due:
		d.fill(mid)
		d.pdf.Circle(x, y, r, "FD")
	case verdict.Overdue:
		d.fill(dark)
		d.pdf.Circle(x, y, 1.06*r, "FD")
		d.stroke(white, 0.28*r)
		d.pdf.Line(x-0.55*r, y, x+0.55*r, y)
	case verdict.Unsafe:
		d.crossed(x, y, r)
	default:
		d.dashed(x, y, r)
	}
}

// halfDisc fills the left half of a circle with the current colour.
func (d *drawing) halfDisc(x, y, r float64) {
	k := r * 4 * (math.Sqrt2 - 1) / 3
	d.pdf.MoveTo(x, y-r)
	d.pdf.CurveBezierCubicTo(x-k, y-r, x-r, y-k, x-r, y)
	d.pdf.CurveBezierCubicTo(x-r, y+k, x-k, y+r, x, y+r)
	d.pdf.ClosePath()
	d.pdf.DrawPath("F")
}

// crossed draws the mark that must not be overlooked, as the pages draw it: a dark square with a cross.
func (d *drawing) crossed(x, y, r float64) {
	half, arm := 1.12*r, 0.58*r
	d.fill(ink)
	d.pdf.Rect(x-half, y-half, 2*half, 2*half, "F")
	d.stroke(white, 0.3*r)
	d.pdf.Line(x-arm, y-arm, x+arm, y+arm)
	d.pdf.Line(x-arm, y+arm, x+arm, y-arm)
}

// dashed draws a circle of twelve dashes.
func (d *drawing) dashed(x, y, r float64) {
	d.stroke(ink, 0.12*r+0.08)
	dash := 2 * math.Pi * r / 24
	d.pdf.SetDashPattern([]float64{dash, dash}, 0)
	d.pdf.Circle(x, y, r, "D")
	d.pdf.SetDashPattern(nil, 0)
}

// scale draws the line from sound to unsafe, right-aligned at x, with a tick at the verdict's place. Without a verdict
// the line is dashed and has no tick.
func (d *drawing) scale(v verdict.Verdict, x, y float64) {
	const long, steps = 34.0, float64(len(verdict.Scale) - 1)
	from := x - long
	d.stroke(ink, 0.25)
	if v.Place() < 0 {
		d.pdf.SetDashPattern([]float64{1, 1}, 0)
	}
	d.pdf.Line(from, y, x, y)
	d.pdf.SetDashPattern(nil, 0)
	for i := range verdict.Scale {
		at := from + long*float64(i)/steps
		half := 0.9
		if i == 0 || i == len(verdict.Scale)-1 {
			half = 1.6
		}
		d.pdf.Line(at, y-half, at, y+half)
	}
	if p := v.Place(); p >= 0 {
		at := from + long*float64(p)/steps
		d.fill(dark)
		d.pdf.Rect(at-0.75, y-2.4, 1.5, 4.8, "F")
	}
	d.put(from, y+2.3, "sound", tiny)
	d.put(x-d.wide("unsafe", tiny), y+2.3, "unsafe", tiny)
}
