// Package tyre reads what stands on a tyre's flank (date code, size, service description) and does the sums that go
// with it: age, load and speed against the car's need, another size, pressure at another temperature, tread left.
//
// Source of the date code: 49 CFR 574.5 (tyre identification number); 64 FR 36807 for the change
// from three digits to four.
package tyre

import (
	"errors"
	"fmt"
	"strings"
)

// Made is the week in which a tyre was made. The zero value is no date.
type Made struct {
	Year int // the latest year that the code can mean
	Week int // 1 to 53, counted as 49 CFR 574.5 does: see Start
	// Stated says that the code settles the decade. A three-digit code does not:
	// 031 is week 3 of 1991, 1981 or 1971. Years lists what it may mean.
	Stated bool
}

// firstThreeDigit is the first year of the three-digit form: the tyre
// identification number came with the 1971 rule (from memory).
const firstThreeDigit = 1971

// earliest two-digit year read as 19YY: 98 and 99 were stamped early, and the
// regulation's own example is 0198. All others are 20YY.
const early = 98

// ParseDate reads a date code: the last group of the tyre identification number.
// Four digits are week and year (WWYY, on every tyre since July 2000). Three are
// week and last digit of the year (WWY, before 2000): the decade is open unless
// the triangle of the 1990s follows it, which may be typed as < or ◁. Weeks 00 and
// 54 upwards are refused, as is anything that is not such a code. Week 53 is
// accepted for every year, since makers do not all count weeks alike.
// Source: 49 CFR 574.5(b)(3) and, for three digits, its edition before 1999.
func ParseDate(code string) (Made, error) {
	text := strings.TrimSpace(code)
	digits, triangle := cutTriangle(text)
	for _, r := range digits {
		if r < '0' || r > '9' {
			return Made{}, fmt.Errorf("the date code %q holds %q; it is four digits, week and year, such as 1217", text, r)
		}
	}
	var m Made
	switch {
	case len(digits) == 4 && !triangle:
		m = fourDigits(digits)
	case len(digits) == 3:
		m = Made{Week: number(digits[:2]), Year: 1990 + number(digits[2:]), Stated: triangle}
	case digits == "":
		return Made{}, errors.New("the date code is empty; it is the last four digits of the number after DOT")
	case len(digits) == 4:
		return Made{}, fmt.Errorf("the date code %q has a triangle, which only belongs to three digits of the 1990s", text)
	default:
		return Made{}, fmt.Errorf("the date code %q has %d digits; it has four, week and year (three before 2000)", text, len(digits))
	}
	if m.Week < 1 || m.Week > 53 {
		return Made{}, fmt.Errorf("the date code %q names week %02d; weeks run from 01 to 53: are week and year exchanged, or is it another number?", text, m.Week)
	}
	return m, nil
}

func fourDigits(d string) Made {
	m := Made{Week: number(d[:2]), Year: 2000 + number(d[2:]), Stated: true}
	if m.Year >= 2000+early {
		m.Year -= 100
	}
	return m
}

func cutTriangle(s string) (digits string, triangle bool) {
	for _, mark := range []string{"<", "◁", "◄", "◀", "△", "▲"} {
		if d, ok := strings.CutSuffix(s, mark); ok {
			return strings.TrimSpace(d), true
		}
	}
	return s, false
}

// number reads a few ASCII digits that the caller has checked.
func number(d string) int {
	n := 0
	for i := range len(d) {
		n = n*10 + int(d[i]-'0')
	}
	return n
}

// Code gives a code that means the same: four digits, or three for a year before
// 1998, with < where the decade is stated. ParseDate reads it back to m.
func (m Made) Code() string {
	switch {
	case m.Stated && m.Year >= 1900+early:
		return fmt.Sprintf("%02d%02d", m.Week, m.Year%100)
	case m.Stated:
		return fmt.Sprintf("%02d%d<", m.Week, m.Year%10)
	default:
		return fmt.Sprintf("%02d%d", m.Week, m.Year%10)
	}
}
