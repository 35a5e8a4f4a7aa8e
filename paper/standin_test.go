package paper

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestOtherScriptsAreNamed: an estimate for owners whose names the font can't draw says so in their place and at the foot of each page, and
// shows no box; one that holds all its letters has no such note.
func TestOtherScriptsAreNamed(t *testing.T) {
	const note = "Square brackets stand for words that can't be printed here"
	e := sampleEstimate("EUR")
	if text := flat(t, estimatePDF(t, e)); strings.Contains(text, note) {
		t.Error("Greek, Cyrillic and Czech letters are in the font, and the note stands there")
	}
	e.Owner, e.Note = "משה כהן and نادية الخوري", "Nguyễn Thị Ánh 🚗"
	data := estimatePDF(t, e)
	text := flat(t, data)
	for _, want := range []string{"For [Hebrew letters] and [Arabic letters].", "Nguyên Thi Ánh [picture]", note} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in %s", want, text)
		}
	}
	if strings.ContainsRune(text, '□') {
		t.Error("a box stands for a letter")
	}
	d, err := layEstimate(e)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := strings.Count(text, note), d.pdf.PageCount(); got != want {
		t.Errorf("the note stands %d times on %d pages", got, want)
	}
	if w := d.wide(lacking, tiny); w > width {
		t.Errorf("the note is %.0f mm wide, the page %.0f", w, width)
	}
}

// TestPrintableIsWhole: what comes out is in the font, says when it is not the whole text, and stays as it is when printed again.
func TestPrintableIsWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := rapid.String().Draw(t, "text")
		out, lacks := printable(in)
		for _, r := range out {
			if r != '\n' && covered()[r] == 0 {
				t.Fatalf("%q holds %q, which the font lacks", out, r)
			}
		}
		if again, more := printable(out); again != out || more {
			t.Fatalf("%q became %q", out, again)
		}
		if !lacks && strings.Count(out, "[") != strings.Count(in, "[") {
			t.Fatalf("%q became %q, and nothing is said to lack", in, out)
		}
	})
}
