package paper

import (
	"strings"
	"time"

	"github.com/go-pdf/fpdf"
)

// rgb is a colour of the drawing.
type rgb struct{ r, g, b int }

// The colours: ink, a softer ink for small print, rules, and the ramp of one hue from pale to dark.
var (
	ink   = rgb{0x14, 0x21, 0x3a}
	soft  = rgb{0x38, 0x42, 0x5c}
	rule  = rgb{0x8a, 0x93, 0xa3}
	pale  = rgb{0xdc, 0xe9, 0xf5}
	mid   = rgb{0x00, 0x72, 0xb2}
	dark  = rgb{0x00, 0x3a, 0x5c}
	white = rgb{0xff, 0xff, 0xff}
	sand  = rgb{0xf1, 0xee, 0xdf}
)

// style is how a text is set: "", "B" or "I", the size in points and the colour.
type style struct {
	font  string
	size  float64
	color rgb
}

// The styles in use.
var (
	title   = style{"B", 19, ink}
	heading = style{"B", 13.5, ink}
	body    = style{"", 11, ink}
	label   = style{"B", 11, ink}
	small   = style{"", 9.5, soft}
	tiny    = style{"", 7.5, soft}
)

// height is the distance from line to line in mm.
func (s style) height() float64 { return s.size * 0.3528 * 1.32 }

// A4 in mm: the frame leaves 20 mm on the left for filing holes.
const (
	frameLeft, frameTop, frameRight, frameBottom = 20.0, 10.0, 200.0, 287.0
	inset                                        = 1.6
	left, right                                  = 27.0, 193.0
	width                                        = right - left
	top                                          = 17.0
	blockTop                                     = 274.5 // of the title block
	bottom                                       = 271.0
)

// drawing is a document under construction. y is where the next thing goes.
type drawing struct {
	pdf *fpdf.Fpdf
	y   float64
	// head draws what stands at the top of every page but the first, and moves y below it.
	head func()
	now  style
	// start is where the content of this page begins; lowest is the lowest edge of any text on any page.
	start, lowest float64
	// lacks is true once something stands in for what the font lacks.
	lacks bool
}

// newDrawing starts a document that says that it was made on the given day, whatever the clock says.
func newDrawing(name, author, subject string, on time.Time) *drawing {
	pdf := fpdf.New("P", "mm", "A4", "")
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(on)
	pdf.SetModificationDate(on)
	pdf.SetLang("en-GB")
	pdf.SetTitle(clean(name), true)
	pdf.SetAuthor(clean(author), true)
	pdf.SetSubject(clean(subject), true)
	pdf.SetCreator("Witness Mark", true)
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetMargins(left, top, 210-right)
	addFonts(pdf)
	pdf.AddPage()
	return &drawing{pdf: pdf, y: top, start: top}
}

// room makes sure that h mm are free, on a new page if need be, and reports whether it made one.
func (d *drawing) room(h float64) bool {
	if d.y+h <= bottom || d.fresh() {
		return false
	}
	d.page()
	return true
}

// fresh reports whether nothing was put on this page yet; a thing that is too high for a page is not helped by another.
func (d *drawing) fresh() bool { return d.y <= d.start }

// page starts a new page.
func (d *drawing) page() {
	d.pdf.AddPage()
	d.now = style{}
	d.y = top
	if d.head != nil {
		d.head()
	}
	d.start = d.y
}

// use sets the font and the text's colour where they change.
func (d *drawing) use(s style) {
	if d.now == s {
		return
	}
	d.pdf.SetFont(family, s.font, s.size)
	d.pdf.SetTextColor(s.color.r, s.color.g, s.color.b)
	d.now = s
}

// clean makes a text printable, and remembers that something stands in for what the font lacks.
func (d *drawing) clean(s string) string {
	text, lacks := printable(s)
	d.lacks = d.lacks || lacks
	return text
}

// wide measures a line.
func (d *drawing) wide(s string, st style) float64 {
	d.use(st)
	return d.pdf.GetStringWidth(same(d.clean(s)))
}

// put sets one line with its upper edge at y.
func (d *drawing) put(x, y float64, s string, st style) {
	if s == "" {
		return
	}
	d.use(st)
	d.pdf.Text(x, y+st.height()*0.77, same(d.clean(s)))
	d.lowest = max(d.lowest, y+st.height())
}

// cut shortens a line with an ellipsis until it fits.
func (d *drawing) cut(s string, w float64, st style) string {
	s = strings.ReplaceAll(d.clean(s), "\n", " ")
	if d.wide(s, st) <= w {
		return s
	}
	return d.shorten(s, w, st)
}

// shorten ends a text in an ellipsis so that it fits.
func (d *drawing) shorten(s string, w float64, st style) string {
	runes := []rune(s)
	n := d.fit(runes, w-d.wide("…", st), st)
	return strings.TrimRight(string(runes[:n]), " ") + "…"
}

// fit gives the number of leading characters that are no wider than w together.
func (d *drawing) fit(runes []rune, w float64, st style) int {
	used := 0.0
	for i, r := range runes {
		if used += d.wide(string(r), st); used > w {
			return i
		}
	}
	return len(runes)
}

// lines sets lines one below the other from y on, without a page break, and gives the y below them.
func (d *drawing) lines(x, y float64, lines []string, st style) float64 {
	for _, l := range lines {
		d.put(x, y, l, st)
		y += st.height()
	}
	return y
}

// flow sets lines at d.y and goes on to new pages. The first two lines and the last two stay together.
func (d *drawing) flow(x float64, lines []string, st style) {
	for i, l := range lines {
		together := 1
		if i == 0 || i == len(lines)-2 {
			together = min(2, len(lines)-i)
		}
		d.room(float64(together) * st.height())
		d.put(x, d.y, l, st)
		d.y += st.height()
	}
}

// stroke sets the pen.
func (d *drawing) stroke(c rgb, mm float64) {
	d.pdf.SetDrawColor(c.r, c.g, c.b)
	d.pdf.SetLineWidth(mm)
}

func (d *drawing) fill(c rgb) { d.pdf.SetFillColor(c.r, c.g, c.b) }

// hair draws a thin rule across the content at y.
func (d *drawing) hair(y float64) {
	d.stroke(rule, 0.2)
	d.pdf.Line(left, y, right, y)
}
