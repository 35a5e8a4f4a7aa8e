package vin

import (
	"slices"
	"strings"
)

// MaxSlips is the most corrections that Slips offers.
const MaxSlips = 8

// How likely a slip is, best first. The order is common practice, not measured.
const (
	rankForbidden = iota // I, O or Q for 1, 0, 0
	rankAlike            // S/5 B/8 Z/2 G/6
	rankSwapped          // two neighbours exchanged
	rankDoubled          // a doubled character typed once too often or too seldom
	rankSimilar          // other shapes that are misread
	rankSameKind         // a digit for a digit, a letter for a letter
	rankOther
)

// alike holds the pairs misread most often; similar those misread at times.
var (
	alike   = []string{"S5", "B8", "Z2", "G6"}
	similar = []string{"0D", "17", "1L", "UV", "MN", "EF", "PR", "CG", "38", "56", "VY", "4A", "XK", "VW", "HN", "1J", "7T"}
)

type slip struct {
	text string
	rank int
}

// Slips lists the numbers that one slip of the hand may have turned into s and
// whose check digit is right, most likely first, at most MaxSlips. It answers
// also for a text that Parse refuses: letters never used are first read as the
// digits they resemble, and one character too many or too few is tried. A VIN
// whose check digit is right already has no slips.
//
// The check digit catches one wrong character only if the two do not share a
// value (A, J and 1 do): such a slip cannot be found here.
func Slips(s string) []string {
	all := candidates(s)
	if len(all) > MaxSlips {
		all = all[:MaxSlips]
	}
	return all
}

// candidates is Slips without the cap.
func candidates(s string) []string {
	text := clean(s)
	base := strings.Map(func(r rune) rune {
		if d := forbidden(r); d != 0 {
			return d
		}
		return r
	}, text)
	for _, r := range base {
		if !allowed(r) {
			return nil
		}
	}
	var found []slip
	switch len(base) {
	case Length:
		if passes(base) {
			if base == text {
				return nil
			}
			found = append(found, slip{base, rankForbidden})
		}
		found = append(found, swaps(base)...)
		found = append(found, substitutions(base)...)
	case Length + 1:
		found = deletions(base)
	case Length - 1:
		found = doublings(base)
	}
	return ranked(found)
}

// ranked orders the finds by likelihood, keeping the order of places within a
// rank, and drops repeats.
func ranked(found []slip) []string {
	slices.SortStableFunc(found, func(a, b slip) int { return a.rank - b.rank })
	var out []string
	for _, f := range found {
		if !slices.Contains(out, f.text) {
			out = append(out, f.text)
		}
	}
	return out
}

func passes(s string) bool { return s[8] == digit(sum(s)) }

func swaps(base string) []slip {
	var found []slip
	for i := range Length - 1 {
		b := []byte(base)
		b[i], b[i+1] = b[i+1], b[i]
		if t := string(b); t != base && passes(t) {
			found = append(found, slip{t, rankSwapped})
		}
	}
	return found
}

func substitutions(base string) []slip {
	var found []slip
	for i := range Length {
		for _, c := range []byte("0123456789ABCDEFGHJKLMNPRSTUVWXYZ") {
			if c == base[i] {
				continue
			}
			if t := base[:i] + string(rune(c)) + base[i+1:]; passes(t) {
				found = append(found, slip{t, substitutionRank(base[i], c)})
			}
		}
	}
	return found
}

func substitutionRank(a, b byte) int {
	switch {
	case paired(alike, a, b):
		return rankAlike
	case paired(similar, a, b):
		return rankSimilar
	case (a <= '9') == (b <= '9'):
		return rankSameKind
	}
	return rankOther
}

func paired(pairs []string, a, b byte) bool {
	for _, p := range pairs {
		if p[0] == a && p[1] == b || p[0] == b && p[1] == a {
			return true
		}
	}
	return false
}

// deletions takes one character out of a text that is one too long.
func deletions(base string) []slip {
	var found []slip
	for i := range len(base) {
		t := base[:i] + base[i+1:]
		if !passes(t) {
			continue
		}
		rank := rankOther
		if i > 0 && base[i] == base[i-1] {
			rank = rankDoubled
		}
		found = append(found, slip{t, rank})
	}
	return found
}

// doublings repeats one character of a text that is one too short: the second
// of a pair is what the hand leaves out.
func doublings(base string) []slip {
	var found []slip
	for i := range len(base) {
		if t := base[:i+1] + base[i:]; passes(t) {
			found = append(found, slip{t, rankDoubled})
		}
	}
	return found
}
