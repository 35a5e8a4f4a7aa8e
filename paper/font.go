package paper

import (
	"strings"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/goregular"

	"github.com/go-pdf/fpdf"
	"golang.org/x/text/unicode/norm"
)

// family is the name of the embedded fonts within a document.
const family = "go"

func addFonts(pdf *fpdf.Fpdf) {
	pdf.AddUTF8FontFromBytes(family, "", goregular.TTF)
	pdf.AddUTF8FontFromBytes(family, "B", gobold.TTF)
	pdf.AddUTF8FontFromBytes(family, "I", goitalic.TTF)
}

// clean makes a text printable: every kind of space is a plain or a non-breaking one, marks that only steer text are
// dropped, and in place of what the font lacks stands what it is, as standIn has it.
func clean(s string) string {
	text, _ := printable(s)
	return text
}

// printable is clean, and reports whether anything stands in for what the font lacks.
func printable(s string) (text string, lacks bool) {
	if plain(s) {
		return s, false
	}
	return standIn(spaced(norm.NFC.String(s)))
}

// spaced makes every kind of space a plain or a non-breaking one, and drops marks that only steer text.
func spaced(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n':
			return r
		case r < ' ' || r == 0x7f || r == '\u2028' || r == '\u2029':
			return ' '
		case r == ' ' || r == '\u00a0':
			return r
		case r == '\u202f' || r == '\u2007':
			return '\u00a0'
		case r >= '\u2000' && r <= '\u200a' || r == '\u3000':
			return ' '
		case r == '\u00ad' || r == '\ufeff' || r >= '\u200b' && r <= '\u200f' || r >= '\u202a' && r <= '\u202e' || r >= '\u2060' && r <= '\u2069' ||
			r >= '\ufe00' && r <= '\ufe0f':
			return -1
		case r == '\u2011':
			return '-'
		}
		return r
	}, s)
}

// same writes every character as the first one of the same shape. Two characters of one shape, such as the two mu's or
// the two spaces, would make the bytes of the embedded font depend on chance.
func same(s string) string {
	if plain(s) {
		return s
	}
	return strings.Map(func(r rune) rune {
		if first := covered()[r]; first != 0 {
			return first
		}
		return ' ' // a line's end
	}, s)
}

// plain reports whether a text needs no care.
func plain(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return true
}
