package shop

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"witnessmark/core/judge"
)

// saw says what was seen at the places of one section. Places with the same reason are told in one sentence, with the
// reading of each: six times the same words would not be read to their end.
func saw(fs []judge.Finding) []string {
	type group struct {
		places   []string
		rest     string
		measured bool
	}
	var groups []*group
	for _, f := range fs {
		value, rest := splitReading(f.Why)
		g := (*group)(nil)
		for _, have := range groups {
			if have.rest == rest && have.measured == (value != "") {
				g = have
			}
		}
		if g == nil {
			g = &group{rest: rest, measured: value != ""}
			groups = append(groups, g)
		}
		g.places = append(g.places, strings.TrimSpace(f.Where+" "+value))
	}
	out := make([]string, len(groups))
	for i, g := range groups {
		switch list := upperFirst(strings.Join(g.places, "; ")); {
		case list == "":
			out[i] = g.rest
		case !g.measured:
			out[i] = list + ": " + g.rest
		case len(g.places) == 1:
			out[i] = list + ", " + g.rest
		default:
			out[i] = list + ". " + upperFirst(g.rest)
		}
	}
	return out
}

// splitReading takes the value off a reason that begins with one: "1.2 mm" and "below 1.6 mm: ...".
func splitReading(why string) (value, rest string) {
	first, _ := utf8.DecodeRuneInString(strings.TrimLeft(why, "-−"))
	if before, after, ok := strings.Cut(why, ", "); ok && unicode.IsDigit(first) {
		return before, after
	}
	return "", why
}
