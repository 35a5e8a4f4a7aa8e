package vin

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestSlips(t *testing.T) {
	const right = "1M8GDM9AXKP042788"
	for _, c := range []struct {
		name, in, first string
	}{
		{"O for 0", "1M8GDM9AXKPO42788", right},
		{"I and O", "IM8GDM9AXKPO42788", right},
		{"Q for 0, small", "1m8gdm9axkpq42788", right},
		{"B for 8", "1MBGDM9AXKP042788", "1M8GDM9AXKP042788"},
		{"Z for 2", "1M8GDM9AXKP04Z788", right},
		{"6 for G", "1M86DM9AXKP042788", right},
		{"8 typed twice", "1M8GDM9AXKP0427888", right},
		{"8 typed once", "1M8GDM9AXKP04278", right},
	} {
		got := Slips(c.in)
		if len(got) == 0 || got[0] != c.first || len(got) > MaxSlips {
			// The check digit need not single the slip out, but for these it does.
			t.Errorf("%s: %v, want %s first", c.name, got, c.first)
		}
	}
	// Likelier misreads of other places may come before an exchange.
	if got := Slips("1M8GDM9AXKP047288"); !slices.Contains(got[:3], right) {
		t.Errorf("exchanged neighbours: %v, want %s among the first three", got, right)
	}
	for _, none := range []string{right, "", "short", "1M8GDM9AXKP0427.8", strings.Repeat("1", 40)} {
		if got := Slips(none); got != nil {
			t.Errorf("%q: %v, want none", none, got)
		}
	}
}

// Whatever single character was spoiled, the original is among the candidates,
// unless the spoiled number passes by itself.
func TestCandidatesHoldTheOriginal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyVIN(t)
		i := rapid.IntRange(0, Length-1).Draw(t, "place")
		c := rapid.SampledFrom([]byte(characters)).Draw(t, "other")
		wrong := s[:i] + string(rune(c)) + s[i+1:]
		if passes(wrong) {
			if got := Slips(wrong); got != nil {
				t.Fatalf("%s passes, yet has slips %v", wrong, got)
			}
			return
		}
		if !slices.Contains(candidates(wrong), s) {
			t.Fatalf("%s spoiled to %s is not found", s, wrong)
		}
	})
}

// A misread of the common kinds is among the few that are shown.
func TestSlipsShowCommonMisreads(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyVIN(t)
		i := rapid.IntRange(0, Length-1).Draw(t, "place")
		pair := rapid.SampledFrom([]string{"0O", "0Q", "1I", "5S", "8B", "2Z", "6G"}).Draw(t, "pair")
		b := []byte(s)
		b[i] = pair[0]
		b[8] = digit(sum(string(b)))
		if i == 8 {
			t.Skip("the check digit is not free")
		}
		s = string(b)
		wrong := s[:i] + pair[1:] + s[i+1:]
		if VIN(wrong).Check().OK && forbidden(rune(pair[1])) == 0 {
			t.Skip("the two share a value")
		}
		if got := Slips(wrong); !slices.Contains(got, s) {
			t.Fatalf("%s misread as %s: %v", s, wrong, got)
		}
	})
}

func TestSlipsAreSteady(t *testing.T) {
	a, b := Slips("1M8GDM9AXKP042789"), Slips("1M8GDM9AXKP042789")
	if len(a) != MaxSlips || !slices.Equal(a, b) {
		t.Errorf("%v, then %v", a, b)
	}
}
