package paper

import (
	"bytes"
	"strings"
	"testing"

	"witnessmark/core/verdict"

	"pgregory.net/rapid"
)

// TestMarksGrowDarker renders the marks: on the scale each is darker than the one before, whatever the colours of the
// printer, and the mark for no verdict is the lightest.
func TestMarksGrowDarker(t *testing.T) {
	d := newDrawing("marks", "", "", day("2026-03-21"))
	at := func(i int) float64 { return 40 + 20*float64(i) }
	for i, v := range verdict.Scale {
		d.mark(v, at(i), 50, 4)
	}
	d.mark(verdict.Unjudged, 40, 80, 4)
	var b bytes.Buffer
	if err := d.pdf.Output(&b); err != nil {
		t.Fatal(err)
	}
	page := look(t, b.Bytes(), 1)
	before := page.darkness(34, 74, 12, 12)
	if before == 0 {
		t.Fatal("the mark for no verdict was not drawn")
	}
	for i, v := range verdict.Scale {
		now := page.darkness(at(i)-6, 44, 12, 12)
		if now < before+4 {
			t.Errorf("%s is %.1f dark, the one before %.1f", v, now, before)
		}
		before = now
	}
}

func TestFilingHolesMeetNoInk(t *testing.T) {
	for name, pdf := range map[string][]byte{"report": reportPDF(t, sampleReport()), "sheet": sheetPDF(t, sampleSheet())} {
		page := look(t, pdf, 1)
		if ink := page.darkness(0, 0, 19.5, 297); ink > 0 {
			t.Errorf("%s: %.3f of ink in the left margin", name, ink)
		}
		if ink := page.darkness(18, 0, 4, 297); ink == 0 {
			t.Errorf("%s: no frame beside the left margin", name)
		}
	}
}

func TestWrapKeepsWordsAndWidth(t *testing.T) {
	d := newDrawing("wrap", "", "", day("2026-03-21"))
	rapid.Check(t, func(r *rapid.T) {
		s := strings.Join(rapid.SliceOfN(rapid.StringMatching(`[a-zA-ZéŁ.,;≤°0-9\x{a0}-]{1,40} {0,2}\n?`), 0, 30).Draw(r, "text"), "")
		w := rapid.Float64Range(8, 170).Draw(r, "width")
		lines := d.wrap(s, w, body)
		for _, l := range lines {
			if d.wide(l, body) > w+1e-9 {
				r.Fatalf("%q is %.2f wide, more than %.2f", l, d.wide(l, body), w)
			}
		}
		bare := strings.NewReplacer(" ", "", "\n", "")
		if got, want := bare.Replace(strings.Join(lines, "")), bare.Replace(clean(s)); got != want {
			r.Fatalf("%q became %q", want, got)
		}
	})
}

func TestWrapUpToSaysThatThereIsMore(t *testing.T) {
	d := newDrawing("wrap", "", "", day("2026-03-21"))
	lines := d.wrapUpTo(2, strings.Repeat("word ", 40), 30, body)
	if len(lines) != 2 || !strings.HasSuffix(lines[1], "…") || d.wide(lines[1], body) > 30 {
		t.Errorf("got %q", lines)
	}
	if got := d.cut("a plate that is far too long", 20, body); !strings.HasSuffix(got, "…") || d.wide(got, body) > 20 {
		t.Errorf("got %q", got)
	}
}

func TestCleanMakesTextPrintable(t *testing.T) {
	tests := []struct{ in, want string }{
		{"Łódź, Ægir, Ωμέγα, Жук", "Łódź, Ægir, Ωμέγα, Жук"},
		{"≤ 3 mm ± 0.5 °C – “so” …", "≤ 3 mm ± 0.5 °C – “so” …"},
		{"182\u202f400\u2009km", "182\u00a0400 km"},
		{"a\tb\r\nc", "a b \nc"},
		{"漢字 🚗", "[Chinese characters] [picture]"},
		{"משה כהן, 12", "[Hebrew letters], 12"},
		{"For نادية الخوري.", "For [Arabic letters]."},
		{"Nguyễn Thị Ánh", "Nguyên Thi Ánh"},
		{"Zoe\u0308", "Zoë"},
		{"Ἀλέξανδρος", "Αλέξανδρος"},
		{"Қайрат", "[?]айрат"},
		{"👩\u200d🔧\ufe0f🚗", "[picture]"},
		{"שָׁלוֹם", "[Hebrew letters]"},
		{"[as typed]", "[as typed]"},
		{"soft\u00adhyphen\u200b\u202emark", "softhyphenmark"},
		{"bad \xff byte", "bad \ufffd byte"},
	}
	for _, c := range tests {
		if got := clean(c.in); got != c.want {
			t.Errorf("clean(%q) = %q, expected %q", c.in, got, c.want)
		}
	}
}

func TestDatesAndDistances(t *testing.T) {
	for in, want := range map[string]string{"2026-03-21": "21 March 2026", "2009-04": "April 2009", "": "", "last week": "last week"} {
		if got := longDate(in); got != want {
			t.Errorf("longDate(%q) = %q, expected %q", in, got, want)
		}
	}
	for _, c := range []struct {
		km    float64
		units string
		want  string
	}{{182400, "metric", "182\u00a0400\u00a0km"}, {160934.4, "us", "100\u00a0000\u00a0mi"}, {-1, "metric", "not noted"}, {5, "", "5\u00a0km"}} {
		if got := odometer(c.km, c.units); got != c.want {
			t.Errorf("odometer(%v, %q) = %q, expected %q", c.km, c.units, got, c.want)
		}
	}
}
