package diagnose

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"witnessmark/core/point"
)

// Told is a sign that an owner's words may mean; the adviser confirms it.
type Told struct {
	Sign *point.Sign
	// Phrase is the catalogue's phrase that fits best, Fit the share of its words that were said, 0 to 1.
	Phrase string
	Fit    float64
}

// Bounds of the matching (practice): how much of a phrase must have been said, and how many proposals are worth reading.
const (
	leastFit     = 0.74
	mostProposed = 6
	longestWords = 2000 // bytes of an owner's words that are read
)

// Match proposes signs that an owner's words may mean, the best first: a phrase fits when most of its words, or words of the same stem,
// were said and not denied. It proposes; it does not decide.
func Match(cat *point.Catalogue, words string) []Told {
	said := map[string]bool{}
	for _, w := range spoken(words[:min(len(words), longestWords)]) {
		said[w] = true
	}
	var out []Told
	for _, s := range cat.Signs {
		best := Told{Sign: s}
		for _, phrase := range s.Told {
			if f := fit(said, phrase); f > best.Fit {
				best.Phrase, best.Fit = phrase, f
			}
		}
		if best.Fit >= leastFit {
			out = append(out, best)
		}
	}
	slices.SortStableFunc(out, func(x, y Told) int {
		return cmp.Or(cmp.Compare(y.Fit, x.Fit), cmp.Compare(len(y.Phrase), len(x.Phrase)))
	})
	return out[:min(len(out), mostProposed)]
}

// fit is the share of a phrase's words that were said. Phrases of one or two words must be said whole.
func fit(said map[string]bool, phrase string) float64 {
	ws := spoken(phrase)
	if len(ws) == 0 {
		return 0
	}
	n := 0
	for _, w := range ws {
		if said[w] {
			n++
		}
	}
	return float64(n) / float64(len(ws))
}

// small are words that carry no meaning of their own here.
var small = map[string]bool{"the": true, "a": true, "an": true, "and": true, "or": true, "is": true, "are": true, "was": true, "it": true, "its": true,
	"my": true, "i": true, "in": true, "at": true, "to": true, "of": true, "from": true, "with": true, "on": true, "when": true, "has": true, "have": true,
	"had": true, "that": true, "there": true, "be": true, "been": true, "some": true, "very": true, "this": true, "car": true, "for": true, "so": true, "me": true}

// denials take back what the next words say.
var denials = map[string]bool{"no": true, "not": true, "never": true, "without": true, "doesn't": true, "doesnt": true, "isn't": true, "isnt": true}

// reach is how many words a denial takes back.
const reach = 3

// alike are words that owners use for one another; each set's words count as the first.
var alike = map[string]string{"sound": "noise", "clunk": "knock", "bang": "knock", "rattl": "rattle", "judder": "shake", "vibrat": "shake", "wobbl": "shake", "fluid": "fluid",
	"gasoline": "petrol", "gas": "gas", "fume": "smell", "smel": "smell", "stink": "smell", "squeak": "squeal", "screech": "squeal", "squeel": "squeal", "wet": "wet",
	"damp": "wet", "water": "water", "drip": "spot", "drop": "spot", "puddle": "spot", "puddl": "spot", "leak": "spot", "overheat": "hot", "drone": "hum", "dron": "hum", "whine": "whine",
	"light": "lamp", "warn": "warning", "warning": "warning", "carpet": "carpet", "floor": "floor", "brak": "brake", "braking": "brake", "fog": "steam", "mist": "steam"}

// spoken gives the stems of the words that carry meaning, without what was denied. A denial that belongs to the phrase is kept as "no".
func spoken(text string) []string {
	var out []string
	denied := 0
	for _, clause := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return strings.ContainsRune(".,;:!?", r) }) {
		denied = 0
		for _, w := range strings.FieldsFunc(clause, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '\'' }) {
			switch {
			case w == "but":
				denied = 0
			case denials[w]:
				out = append(out, "no")
				denied = reach
			case small[w]:
			case denied > 0:
				denied--
				out = append(out, "no-"+stem(w))
			default:
				out = append(out, stem(w))
			}
		}
	}
	return out
}

// stem takes the usual endings off a word, and gives words that owners use for one another one form.
func stem(w string) string {
	for _, end := range []string{"ings", "ing", "edly", "ed", "ies", "es", "s", "y", "e"} {
		if len(w) > len(end)+2 && strings.HasSuffix(w, end) {
			w = strings.TrimSuffix(w, end)
			break
		}
	}
	if n := len(w); n > 3 && w[n-1] == w[n-2] && w[n-1] != 's' && w[n-1] != 'l' {
		w = w[:n-1] // stopped, dripping
	}
	if x, ok := alike[w]; ok {
		return x
	}
	return w
}
