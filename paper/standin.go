package paper

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// The embedded fonts draw the Latin letters of the European languages, Greek without the marks of the old spelling, and the Cyrillic of
// Slavic languages: the 709 characters of their table. Other scripts need rules of their own (from right to left, joined letters), which
// nothing here knows, so that words in them are named and not printed wrongly.

// scripts are those that have a word of their own in a stand-in.
var scripts = []struct {
	of   *unicode.RangeTable
	name string
}{
	{unicode.Hebrew, "Hebrew letters"}, {unicode.Arabic, "Arabic letters"}, {unicode.Han, "Chinese characters"}, {unicode.Hiragana, "Japanese characters"},
	{unicode.Katakana, "Japanese characters"}, {unicode.Hangul, "Korean letters"}, {unicode.Devanagari, "Devanagari letters"}, {unicode.Bengali, "Bengali letters"},
	{unicode.Thai, "Thai letters"}, {unicode.Georgian, "Georgian letters"}, {unicode.Armenian, "Armenian letters"}, {unicode.Tamil, "Tamil letters"},
	{unicode.Ethiopic, "Ethiopic letters"}, {unicode.Latin, "?"}, {unicode.Greek, "?"}, {unicode.Cyrillic, "?"}, // a rare letter within a word that can be read
}

// standIn writes for characters that the font lacks what they are: a letter with a mark that the font does not have stands without it, a run
// of another script is named in square brackets ("[Hebrew letters]"), and so is a picture; a rare letter is "[?]".
func standIn(s string) (text string, lacks bool) {
	var b strings.Builder
	last, gap := "", "" // the stand-in that was written last, and the spaces since
	for _, r := range s {
		if r == '\n' || covered()[r] != 0 {
			if last != "" && r == ' ' {
				gap += " "
				continue
			}
			b.WriteString(gap)
			b.WriteRune(r)
			last, gap = "", ""
			continue
		}
		lacks = true
		if bare := withoutMarks(r); bare != "" {
			b.WriteString(gap + bare)
			last, gap = "", ""
			continue
		}
		name := scriptOf(r)
		if name == "" || name == last { // a mark belongs to what it stands on
			gap = ""
			continue
		}
		b.WriteString(gap + "[" + name + "]")
		last, gap = name, ""
	}
	return b.String() + gap, lacks
}

// withoutMarks gives what is left of a character without so many of its marks that the font has it; empty where it has none of it.
func withoutMarks(r rune) string {
	parts := []rune(norm.NFKD.String(string(r)))
	for n := len(parts); n > 0; n-- {
		left := norm.NFC.String(string(parts[:n]))
		if strings.IndexFunc(left, func(x rune) bool { return covered()[x] == 0 }) < 0 {
			return left
		}
		if !unicode.Is(unicode.Mn, parts[n-1]) {
			break
		}
	}
	return ""
}

// scriptOf names what a character that the font lacks is; empty for a mark on another.
func scriptOf(r rune) string {
	if unicode.Is(unicode.Mn, r) || unicode.Is(unicode.Me, r) {
		return ""
	}
	for _, s := range scripts {
		if unicode.Is(s.of, r) {
			return s.name
		}
	}
	switch {
	case unicode.IsSymbol(r):
		return "picture"
	case unicode.IsLetter(r) || unicode.IsNumber(r):
		return "letters of another script"
	}
	return "sign"
}
