package unit

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// aliases are the ways in which units are typed, in lower case. Longer ones are
// tried first, so that "kpa" is not read as "a".
var aliases = buildAliases(map[Unit]string{
	MM:       "mm millimetre millimetres millimeter millimeters",
	Inch:     `in inch inches " '' ″ ”`,
	In32:     "32nds 32nd",
	CM:       "cm",
	Metre:    "m metre metres meter meters",
	KM:       "km kilometre kilometres kilometer kilometers",
	Mile:     "mi mile miles",
	DegC:     "c °c ºc ℃ degc celsius",
	DegF:     "f °f ºf ℉ degf fahrenheit",
	Percent:  "% percent pct",
	Fraction: "fraction",
	PPM:      "ppm",
	V:        "v volt volts",
	MilliV:   "mv",
	A:        "a amp amps ampere amperes",
	MilliA:   "ma",
	KPa:      "kpa",
	Bar:      "bar",
	MegaPa:   "mpa",
	PSI:      "psi",
	Months:   "months month mo",
	Years:    "years year yr yrs",
	L:        "l litre litres liter liters",
	ML:       "ml",
	Quart:    "qt qts quart quarts",
	Gallon:   "gal gallon gallons",
	Cycles:   "cycles cycle",
	PerM:     "per_m /m 1/m m-1 m⁻¹",
	Lambda:   "lambda λ",
	S:        "s sec second seconds",
	N:        "n newton newtons",
	KiloN:    "kn",
	PoundF:   "lbf",
	Degrees:  "degrees degree deg ° º",
	Minutes:  "minutes arcmin ' ′ ’",
	RPM:      "rpm 1/min /min",
	MM2PerS:  "mm2_s mm2/s mm²/s cst",
})

// maxAlias bounds the length in bytes of what splitUnit has to compare.
const maxAlias = 12

func buildAliases(m map[Unit]string) map[string]Unit {
	out := map[string]Unit{"per m": PerM, "/32 in": In32, "/32in": In32, `/32"`: In32}
	for u, list := range m {
		for _, a := range strings.Fields(list) {
			out[a] = u
		}
	}
	return out
}

// maxText bounds in bytes what is read at all, maxNumber the number in it: nobody
// types more. The difference leaves room for the longest unit, so that whatever
// is read can be written and read again.
const (
	maxText   = 64
	maxNumber = 40
)

// Parse reads a quantity with its unit as technicians type it: 4.5mm, "4,5 mm",
// 13/32in, 1/8", 1 1/4 in, 28psi, -25C, −13 °F, 55%, "182 400 km". Upper and
// lower case mean the same. A number without a unit is refused: see ParseAs. Commas are decimal signs,
// unless they group thousands; a text where both could be meant is refused.
func Parse(s string) (Quantity, error) {
	return parse(s, None)
}

// ParseAs is Parse for a field whose unit is known: a bare number is taken in
// that unit, and a quantity in a compatible unit is converted to it.
func ParseAs(s string, u Unit) (Quantity, error) {
	if u == None || u >= numUnits {
		return Quantity{}, fmt.Errorf("the field of %q has no known unit", s)
	}
	q, err := parse(s, u)
	if err != nil {
		return Quantity{}, err
	}
	got, err := q.In(u)
	if err != nil {
		return Quantity{}, fmt.Errorf("%q: %w", strings.TrimSpace(s), err)
	}
	return got, nil
}

func parse(s string, fallback Unit) (Quantity, error) {
	text := strings.TrimSpace(s)
	switch {
	case text == "":
		return Quantity{}, fmt.Errorf("nothing was entered; write a number with its unit, such as 4.5mm")
	case len(text) > maxText || !utf8.ValidString(text):
		return Quantity{}, fmt.Errorf("this is not a quantity; write a number with its unit, such as 4.5mm")
	}
	digits, u, err := splitUnit(strings.ToLower(text), fallback)
	if err != nil {
		return Quantity{}, fmt.Errorf("%q: %w", text, err)
	}
	v, err := parseNumber(digits, u)
	if err != nil {
		return Quantity{}, fmt.Errorf("%q: %w", text, err)
	}
	return Quantity{v, u}, nil
}

// splitUnit takes the longest unit off the end of a lower-case text.
func splitUnit(text string, fallback Unit) (string, Unit, error) {
	for n := min(maxAlias, len(text)); n > 0; n-- {
		rest, tail := text[:len(text)-n], text[len(text)-n:]
		u, ok := aliases[tail]
		if !ok || !mayPrecede(rest, tail) {
			continue
		}
		if u == Degrees && fallback != None && defs[fallback].dim == temperature {
			u = fallback // "-25°" in a field for a temperature
		}
		if u == In32 && strings.HasPrefix(tail, "/") {
			return splitIn32(text, rest)
		}
		return strings.TrimSpace(rest), u, nil
	}
	last, _ := utf8.DecodeLastRuneInString(text)
	if !unicode.IsDigit(last) && last != '.' && last != ',' {
		return "", None, fmt.Errorf("the unit at the end is not known; write %s", unitsFor(fallback))
	}
	if fallback == None {
		return "", None, fmt.Errorf("the unit is missing; write it behind the number, for example mm or in, bar or psi, C or F")
	}
	return text, fallback, nil
}

// unitsFor says with which units a number may be written in a field; where the field's unit is not known, some of all.
func unitsFor(field Unit) string {
	if field == None {
		return "for example mm, in, bar, psi, C, F, V, L, km or mi"
	}
	var names []string
	for u := range numUnits {
		name := strings.TrimSpace(defs[u].show)
		if defs[u].dim == defs[field].dim && name != "" && u != In32 {
			names = append(names, name)
		}
	}
	return "a number, alone or with " + strings.Join(names, " or ")
}

// splitIn32 keeps "13/32in" a fraction of an inch, whose value is exact, while
// "2.6/32 in", a count of 32nds with decimals, is read in 32nds.
func splitIn32(text, rest string) (string, Unit, error) {
	if strings.ContainsAny(rest, ".,") {
		return strings.TrimSpace(rest), In32, nil
	}
	return strings.TrimRight(text, `in" `), Inch, nil
}

// mayPrecede says whether a unit may follow: not in the middle of a word, and
// one that begins with a digit only after a space.
func mayPrecede(rest, tail string) bool {
	if rest == "" {
		return true
	}
	before, _ := utf8.DecodeLastRuneInString(rest)
	if tail[0] >= '0' && tail[0] <= '9' {
		return before == ' '
	}
	return !unicode.IsLetter(before) && before != '_'
}
