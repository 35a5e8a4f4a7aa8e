package unit

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

var errNumber = errors.New("the number can't be read; write digits with one decimal point or comma, or a fraction such as 3/32")

// parseNumber reads the digits of a quantity whose unit is already known, for
// that decides whether 182,400 is a distance of 182 400 or something with decimals.
func parseNumber(s string, u Unit) (float64, error) {
	s = strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2009", " ").Replace(s)
	negative := false
	for _, sign := range []string{"-", "−", "–"} {
		if rest, ok := strings.CutPrefix(s, sign); ok {
			negative, s = true, rest
			break
		}
	}
	if !negative {
		s = strings.TrimPrefix(s, "+")
	}
	s = strings.TrimSpace(s)
	if s == "" {
		return 0, errors.New("the number is missing before the unit")
	}
	if len(s) > maxNumber {
		return 0, errNumber
	}
	read := decimal
	if strings.Contains(s, "/") {
		read = fraction
	}
	v, err := read(s, u)
	if err != nil {
		return 0, err
	}
	if negative && v != 0 { // minus nought is nought
		v = -v
	}
	return v, nil
}

// fraction reads 13/32, and 1 1/4 or 1-1/4.
func fraction(s string, u Unit) (float64, error) {
	top, bottom, _ := strings.Cut(s, "/")
	whole, parted := 0.0, false
	if i := strings.LastIndexAny(top, " -"); i > 0 && strings.TrimSpace(top[i+1:]) != "" {
		n, err := digits(strings.TrimSpace(top[:i]))
		if err != nil {
			return 0, err
		}
		whole, top, parted = n, top[i+1:], true
	}
	a, err := digits(strings.TrimSpace(top))
	if err != nil {
		return 0, err
	}
	b, err := digits(strings.TrimSpace(bottom))
	if err != nil {
		return 0, err
	}
	if b == 0 {
		return 0, errors.New("the fraction is divided by nought")
	}
	if parted && a >= b { // "182 400/32" is grouped digits, not 182 and a part
		return 0, errNumber
	}
	return whole + a/b, nil
}

// digits reads a whole number of a fraction.
func digits(s string) (float64, error) {
	if s == "" || len(s) > 9 || strings.Trim(s, "0123456789") != "" {
		return 0, errNumber
	}
	return strconv.ParseFloat(s, 64)
}

// decimal reads a number with a decimal sign and perhaps grouped thousands.
func decimal(s string, u Unit) (float64, error) {
	plain, err := ungroup(s, u)
	if err != nil {
		return 0, err
	}
	if strings.Trim(plain, "0123456789.") != "" || strings.Count(plain, ".") > 1 || strings.Trim(plain, ".") == "" {
		return 0, errNumber
	}
	v, err := strconv.ParseFloat(plain, 64)
	if err != nil || math.IsInf(v, 0) {
		return 0, errNumber
	}
	return v, nil
}

// ungroup takes out the signs between thousands and makes the decimal sign a point.
func ungroup(s string, u Unit) (string, error) {
	if strings.Contains(s, " ") {
		whole, tail, sign := s, "", strings.IndexAny(s, ".,")
		if sign >= 0 {
			whole, tail = s[:sign], s[sign:]
		}
		if !grouped(whole, " ") {
			return "", errNumber
		}
		s = strings.ReplaceAll(whole, " ", "") + tail
		if strings.Count(s, ",") == 1 && !strings.Contains(s, ".") {
			return strings.Replace(s, ",", ".", 1), nil
		}
	}
	commas, points := strings.Count(s, ","), strings.Count(s, ".")
	switch {
	case commas == 0 && points <= 1:
		return s, nil
	case commas == 1 && points == 0:
		return lonelyComma(s, u)
	case points == 0 && grouped(s, ","):
		return strings.ReplaceAll(s, ",", ""), nil
	case commas == 0 && grouped(s, "."):
		return strings.ReplaceAll(s, ".", ""), nil
	case points == 1 && strings.IndexByte(s, '.') > strings.LastIndexByte(s, ','):
		return mixed(s, ",", ".")
	case commas == 1 && strings.IndexByte(s, ',') > strings.LastIndexByte(s, '.'):
		return mixed(s, ".", ",")
	}
	return "", errNumber
}

func mixed(s, thousands, point string) (string, error) {
	whole, rest, _ := strings.Cut(s, point)
	if !grouped(whole, thousands) {
		return "", errNumber
	}
	return strings.ReplaceAll(whole, thousands, "") + "." + rest, nil
}

// lonelyComma decides what one comma means. Before three digits it may group
// thousands: it does in a distance run, which nobody reads to the metre; where
// values of thousands and of thousandths both occur the text is refused.
func lonelyComma(s string, u Unit) (string, error) {
	if grouped(s, ",") && s[0] != '0' {
		switch defs[u].dim {
		case distance:
			return strings.Replace(s, ",", "", 1), nil
		case rotation, force, count, current, duration:
			return "", fmt.Errorf("this can mean %s or %s; write it in one of these ways",
				strings.Replace(s, ",", ".", 1), strings.Replace(s, ",", "", 1))
		}
	}
	return strings.Replace(s, ",", ".", 1), nil
}

// grouped says whether s is digits in groups of three, the first of one to three.
func grouped(s, sign string) bool {
	parts := strings.Split(s, sign)
	for i, p := range parts {
		if strings.Trim(p, "0123456789") != "" || p == "" || len(p) > 3 || i > 0 && len(p) != 3 {
			return false
		}
	}
	return len(parts) > 1
}
