package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// System is the family of units that a person reads.
type System uint8

// The systems. The zero value is metric.
const (
	Metric System = iota
	US
)

// String gives "metric" or "us".
func (s System) String() string {
	if s == US {
		return "us"
	}
	return "metric"
}

// ParseSystem reads "metric" or "us".
func ParseSystem(s string) (System, error) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "metric":
		return Metric, nil
	case "us":
		return US, nil
	}
	return Metric, fmt.Errorf("the system of units is %q; it is metric or us", s)
}

// thinnest is the thickness in mm up to which a coarse reading is tread or lining
// and is shown in 32nds of an inch: 20/32 in.
const thinnest = 15.875

// Show says in which unit a system shows a value and with how many decimals.
// Decimals are those wanted for the value's own unit.
//
// US customary: thin coarse mm (tread, lining) in 32nds of an inch, other mm in
// inches (a reading in hundredths of a mm in thousandths of an inch), bar and kPa
// in psi, degC in degF, km in miles, L in US quarts, N in pounds-force. Whatever
// has no customary unit stays as it is.
func Show(value float64, u Unit, sys System, decimals int) (Unit, int) {
	decimals = min(max(decimals, 0), 6)
	if sys != US {
		return u, decimals
	}
	switch u {
	case MM:
		if decimals <= 1 && math.Abs(value) <= thinnest {
			return In32, decimals
		}
		return Inch, decimals + 1
	case Bar:
		return PSI, max(decimals-1, 0)
	case KPa:
		return PSI, decimals
	case DegC:
		return DegF, decimals
	case KM:
		return Mile, decimals
	case L:
		return Quart, decimals
	case N:
		return PoundF, decimals
	}
	return u, decimals
}

// Format writes a value for people, such as "4.5 mm", "182 400 km", "-25 °C",
// "2.6/32 in", "33 psi". Digits are in groups of three from 10 000 on, by plain
// spaces. Rounding is of the written number only: judge the value, never the
// text. See Show for the units.
func Format(value float64, u Unit, sys System, decimals int) string {
	to, places := Show(value, u, sys, decimals)
	v, err := Convert(value, u, to)
	if err != nil { // a value without a known unit is written as a number
		v, to = value, None
	}
	text := number(v, places)
	if to == In32 { // a numerator: whole ones are written whole, and none in groups
		text = strings.ReplaceAll(strings.TrimSuffix(text, ".0"), " ", "")
	}
	if text == "1" {
		if one, ok := singular[to]; ok {
			return text + one
		}
	}
	return text + defs[to].show
}

var singular = map[Unit]string{Months: " month", Years: " year", Cycles: " cycle"}

// number writes v with a fixed number of decimals, in groups of three digits from
// 10 000 on, and never as minus nought.
func number(v float64, decimals int) string {
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	body, negative := strings.CutPrefix(text, "-")
	if strings.Trim(body, "0.") == "" {
		negative = false
	}
	whole, rest, dotted := strings.Cut(body, ".")
	if len(whole) > 4 && whole[0] >= '0' && whole[0] <= '9' {
		whole = group(whole)
	}
	if dotted {
		whole += "." + rest
	}
	if negative {
		return "-" + whole
	}
	return whole
}

// group puts spaces between groups of three digits.
func group(digits string) string {
	var b strings.Builder
	for i := range len(digits) {
		if i > 0 && (len(digits)-i)%3 == 0 {
			b.WriteByte(' ')
		}
		b.WriteByte(digits[i])
	}
	return b.String()
}
