package web

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"witnessmark/shop"
)

// capital makes the first letter large.
func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// lowerFirst makes the first letter small, unless the word is an abbreviation.
func lowerFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if second, _ := utf8.DecodeRuneInString(s[n:]); n == 0 || unicode.IsUpper(second) || unicode.IsDigit(second) {
		return s
	}
	return string(unicode.ToLower(r)) + s[n:]
}

// number writes a number with thin spaces between thousands and at most two places.
func number(v float64) string {
	s := strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64)
	whole, frac, has := strings.Cut(s, ".")
	sign := ""
	if strings.HasPrefix(whole, "-") {
		sign, whole = "−", whole[1:]
	}
	for i := len(whole) - 3; i > 0; i -= 3 {
		if len(whole) > 4 || i > 1 {
			whole = whole[:i] + "\u202f" + whole[i:]
		}
	}
	if has {
		return sign + whole + "." + frac
	}
	return sign + whole
}

// meterHint says how a distance is typed for a meter that counts in the other unit than the car's figures are in.
func meterHint(c shop.CarVersion) string {
	if c.Units == "us" {
		return "In miles; write km behind it if it counts km"
	}
	return "Write mi behind it if it counts miles"
}

// km writes a distance in the car's units; a negative one is not known.
func (s *server) km(c shop.CarVersion, km float64) string {
	if km < 0 {
		return "distance not known"
	}
	if c.Units == "us" {
		return number(math.Round(km/1.609344)) + "\u00a0mi"
	}
	return number(math.Round(km)) + "\u00a0km"
}
