// Package vin reads vehicle identification numbers: their characters, their
// check digit, their model year, and the slips of the hand that spoil them.
//
// Source: 49 CFR 565.15 (check digit, transliteration, weights, model year) and
// ISO 3779 (character set). Everything here is pure: no clock, no look-ups.
package vin

import (
	"fmt"
	"strings"
)

// Length is the number of characters of a VIN (49 CFR 565.13(b)).
const Length = 17

// VIN is an identification number that Parse accepted: 17 capital letters and
// digits, none of them I, O or Q. The zero value is no VIN; its methods answer
// with zero values.
type VIN string

// ParseError says why a text is no VIN.
type ParseError struct {
	Text   string // the text after spaces and hyphens were taken out
	Char   rune   // the character at fault; 0 when only the length is wrong
	Place  int    // its place, counted from 1; 0 when only the length is wrong
	Likely rune   // what was probably meant; 0 when nothing is likely
}

// Error gives the reason as one sentence with what to do.
func (e *ParseError) Error() string {
	switch {
	case e.Likely != 0:
		return fmt.Sprintf("the letter %c at place %d is never used in a VIN; it is probably %s %c",
			e.Char, e.Place, digitName(e.Likely), e.Likely)
	case e.Char != 0:
		return fmt.Sprintf("%q at place %d is not a letter A to Z or a digit", e.Char, e.Place)
	case e.Text == "":
		return "the VIN is empty; it has 17 characters"
	default:
		n := len([]rune(e.Text))
		return fmt.Sprintf("a VIN has %d characters, this one has %d", Length, n)
	}
}

func digitName(r rune) string {
	if r == '1' {
		return "a one,"
	}
	return "a zero,"
}

// Parse reads a VIN as people write it: lower case is raised, spaces and
// hyphens are dropped. The letters I, O and Q are refused, naming the place and
// the digit that was probably meant (ISO 3779; 49 CFR 565.13(c)). The error is a
// *ParseError. The check digit is not looked at here: see Check.
func Parse(s string) (VIN, error) {
	text := clean(s)
	place := 0
	for _, r := range text {
		place++
		if likely := forbidden(r); likely != 0 {
			return "", &ParseError{Text: text, Char: r, Place: place, Likely: likely}
		}
		if !allowed(r) {
			return "", &ParseError{Text: text, Char: r, Place: place}
		}
	}
	if place != Length {
		return "", &ParseError{Text: text}
	}
	return VIN(text), nil
}

// String gives the 17 characters.
func (v VIN) String() string { return string(v) }

// WMI gives the world manufacturer identifier, the first three characters.
func (v VIN) WMI() string {
	if len(v) != Length {
		return ""
	}
	return string(v[:3])
}

// clean raises ASCII letters and drops white space and the hyphens people put
// between groups. Other letters are left alone, so that a look-alike from
// another alphabet is named in the error rather than silently mapped.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z':
			return r - 'a' + 'A'
		case r == ' ', r == '\t', r == '\n', r == '\r', r == '\u00a0':
			return -1
		case r == '-', r == '\u2010', r == '\u2011', r == '\u2013':
			return -1
		}
		return r
	}, s)
}

// forbidden gives the digit that a letter never used in a VIN stands for.
func forbidden(r rune) rune {
	switch r {
	case 'I':
		return '1'
	case 'O', 'Q':
		return '0'
	}
	return 0
}

func allowed(r rune) bool {
	return r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' && forbidden(r) == 0
}
