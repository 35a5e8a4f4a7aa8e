package vin

import (
	"errors"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The published samples: two that circulate as documentation numbers and the
// worked example of 49 CFR 565.15(c).
var published = []struct {
	text  string
	sum   int
	digit string
	ok    bool
	years []int
}{
	{"1M8GDM9AXKP042788", 351, "X", true, []int{1989}},
	{"11111111111111111", 89, "1", true, []int{2001}},
	{"1G4AH59H45G118341", 411, "4", true, []int{2005}},
	{"1G4AH59H45G118331", 408, "1", false, []int{2005}}, // one digit of the example changed
	{"1M8GDM9A1KP042788", 351, "X", false, []int{1989}}, // the check digit changed
}

func TestPublishedSamples(t *testing.T) {
	for _, c := range published {
		v, err := Parse(c.text)
		if err != nil {
			t.Fatalf("%s: %v", c.text, err)
		}
		if got := sum(c.text); got != c.sum {
			t.Errorf("%s: sum %d, want %d", c.text, got, c.sum)
		}
		if got := v.Check(); got != (Check{Digit: c.digit, OK: c.ok, Binding: true}) {
			t.Errorf("%s: check %+v", c.text, got)
		}
		if got := v.Years(); len(got) != 1 || got[0] != c.years[0] {
			t.Errorf("%s: years %v, want %v", c.text, got, c.years)
		}
	}
}

func TestParse(t *testing.T) {
	for _, c := range []struct{ in, want, err string }{
		{" 1m8gdm9axkp042788 ", "1M8GDM9AXKP042788", ""},
		{"1M8-GDM9A-XKP 042788", "1M8GDM9AXKP042788", ""},
		{"1M8GDM9AXKPO42788", "", "the letter O at place 12 is never used in a VIN; it is probably a zero, 0"},
		{"IM8GDM9AXKP042788", "", "the letter I at place 1 is never used in a VIN; it is probably a one, 1"},
		{"1M8GDM9AXKP042Q88", "", "the letter Q at place 15 is never used in a VIN; it is probably a zero, 0"},
		{"1M8GDM9AXKP04278", "", "a VIN has 17 characters, this one has 16"},
		{"1M8GDM9AXKP0427888", "", "a VIN has 17 characters, this one has 18"},
		{"1M8GDM9AXKP0427.8", "", "'.' at place 16 is not a letter A to Z or a digit"},
		{"1М8GDM9AXKP042788", "", "'М' at place 2 is not a letter A to Z or a digit"}, // Cyrillic
		{"", "", "the VIN is empty; it has 17 characters"},
	} {
		v, err := Parse(c.in)
		if c.err == "" {
			if err != nil || string(v) != c.want {
				t.Errorf("%q: %q, %v", c.in, v, err)
			}
			continue
		}
		var pe *ParseError
		if !errors.As(err, &pe) || err.Error() != c.err || v != "" {
			t.Errorf("%q: %q, %v; want %s", c.in, v, err, c.err)
		}
	}
}

func TestMarketAndBinding(t *testing.T) {
	rest := "ZZZ9AZXK042788"
	for prefix, us := range map[string]bool{
		"1AA": true, "2AA": true, "3AA": true, "4AA": true, "5AA": true,
		"7FA": true, "7Z1": true, "70A": true, "71A": true,
		"7AA": false, "7EA": false, "6AA": false, "8AA": false, "9AA": false,
		"WAA": false, "SAA": false, "JAA": false, "0AA": false,
	} {
		v, err := Parse(prefix + rest)
		if err != nil {
			t.Fatal(err)
		}
		market := map[bool]string{true: "us", false: "eu"}[us]
		if v.Check().Binding != us || v.Market() != market || v.WMI() != prefix {
			t.Errorf("%s: binding %v, market %s", v, v.Check().Binding, v.Market())
		}
	}
}

func TestYears(t *testing.T) {
	for _, c := range []struct {
		text string
		want []int
	}{
		{"1AAAAA1A0KA000000", []int{1989}},
		{"1AAAAAAA0KA000000", []int{2019}},
		{"WAAAAA1A0KA000000", []int{1989, 2019}},
		{"WAAAAA1A00A000000", nil},
		{"WAAAAA1A0UA000000", nil},
		{"1AAAAA1A0ZA000000", nil},
		{"1AAAAA1A0AA000000", []int{1980}},
		{"1AAAAAAA09A000000", []int{2039}},
	} {
		got := VIN(c.text).Years()
		if len(got) != len(c.want) {
			t.Fatalf("%s: %v, want %v", c.text, got, c.want)
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%s: %v, want %v", c.text, got, c.want)
			}
		}
	}
}

func TestZeroValueAnswers(t *testing.T) {
	var v VIN
	if v.Check() != (Check{}) || v.Years() != nil || v.WMI() != "" || CheckDigit(v) != 0 || v.Market() != "eu" {
		t.Error("the zero VIN claims something")
	}
}

const characters = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ"

// anyVIN draws a well-formed number with a right check digit.
func anyVIN(t *rapid.T) string {
	b := make([]byte, Length)
	for i := range b {
		b[i] = rapid.SampledFrom([]byte(characters)).Draw(t, "c")
	}
	b[8] = digit(sum(string(b)))
	return string(b)
}

// One wrong character passes exactly when the two share a value.
func TestOneWrongCharacterIsCaught(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyVIN(t)
		i := rapid.IntRange(0, Length-1).Draw(t, "place")
		c := rapid.SampledFrom([]byte(characters)).Draw(t, "other")
		if c == s[i] {
			t.Skip("no change")
		}
		wrong := s[:i] + string(rune(c)) + s[i+1:]
		collides := i != 8 && value(c) == value(s[i])
		if got := VIN(wrong).Check().OK; got != collides {
			t.Fatalf("%s -> %s: passes %v, values collide %v", s, wrong, got, collides)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, c := range published {
		f.Add(c.text)
	}
	f.Add("1m8-gdm9a xkp042788")
	f.Add("OOOOOOOOOOOOOOOOO")
	f.Fuzz(func(t *testing.T, s string) {
		for _, c := range Slips(s) {
			if v, err := Parse(c); err != nil || !v.Check().OK {
				t.Fatalf("slip %q of %q does not pass: %v", c, s, err)
			}
		}
		v, err := Parse(s)
		if err != nil {
			if v != "" {
				t.Fatalf("%q refused but returned %q", s, v)
			}
			return
		}
		again, err := Parse(v.String())
		if err != nil || again != v || !strings.EqualFold(v.String(), clean(s)) {
			t.Fatalf("%q reads as %q, again as %q, %v", s, v, again, err)
		}
	})
}
