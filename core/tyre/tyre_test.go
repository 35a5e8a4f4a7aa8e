package tyre

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func day(y int, m time.Month, d int) time.Time { return time.Date(y, m, d, 0, 0, 0, 0, time.UTC) }

func TestParseDate(t *testing.T) {
	for _, c := range []struct {
		code, text string
		start      time.Time
		years      []int
	}{
		{"0301", "2001-W03", day(2001, 1, 21), []int{2001}}, // handbook example: third week of 2001
		{"0198", "1998-W01", day(1998, 1, 4), []int{1998}},  // the regulation's example: Sunday 4 January 1998
		{" 1217 ", "2017-W12", day(2017, 3, 19), []int{2017}},
		{"5299", "1999-W52", day(1999, 12, 26), []int{1999}},
		{"0100", "2000-W01", day(2000, 1, 2), []int{2000}},
		{"5323", "2023-W53", day(2023, 12, 31), []int{2023}}, // reaches six days into the next year
		{"0197", "2097-W01", day(2097, 1, 6), []int{2097}},
		{"031", "1991-W03 or 1981-W03 or 1971-W03", day(1991, 1, 20), []int{1991, 1981, 1971}},
		{"120", "1990-W12 or 1980-W12", day(1990, 3, 25), []int{1990, 1980}},
		{"031<", "1991-W03", day(1991, 1, 20), []int{1991}},
		{"018 ◁", "1998-W01", day(1998, 1, 4), []int{1998}},
	} {
		m, err := ParseDate(c.code)
		if err != nil {
			t.Errorf("%q: %v", c.code, err)
			continue
		}
		if m.String() != c.text || !m.Start().Equal(c.start) || !slices.Equal(m.Years(), c.years) {
			t.Errorf("%q: %s, starts %s, years %v", c.code, m, m.Start().Format(time.DateOnly), m.Years())
		}
		if m.Start().Weekday() != time.Sunday {
			t.Errorf("%q starts on a %s", c.code, m.Start().Weekday())
		}
	}
}

func TestParseDateRefuses(t *testing.T) {
	for code, want := range map[string]string{
		"":        "empty",
		"  ":      "empty",
		"0017":    "week 00",
		"5417":    "week 54",
		"9912":    "week 99",
		"001":     "week 00",
		"541":     "week 54",
		"12":      "has 2 digits",
		"12174":   "has 5 digits",
		"12/17":   "holds '/'",
		"1217<":   "triangle",
		"DOT1217": "holds 'D'",
		"-117":    "holds '-'",
		"١٢١٧":    "holds",
		"<":       "empty",
	} {
		m, err := ParseDate(code)
		if err == nil || !strings.Contains(err.Error(), want) || m != (Made{}) {
			t.Errorf("%q: %+v, %v; want an error naming %q", code, m, err, want)
		}
	}
}

func TestAge(t *testing.T) {
	m, _ := ParseDate("1217")
	got, err := Age(m, day(2026, 3, 21))
	if want := 9.00498; err != nil || math.Abs(got-want) > 1e-4 {
		t.Errorf("age %.5f, %v; want %.5f", got, err, want)
	}
	if got, err := Age(m, m.Start()); got != 0 || err != nil {
		t.Errorf("on its first day: %v, %v", got, err)
	}
	if _, err := Age(m, day(2017, 3, 18)); err == nil ||
		err.Error() != "the date code 1217 means week 12 of 2017, which is after 18 March 2017: read it again" {
		t.Errorf("in the future: %v", err)
	}
	if got := AgeYears(m, day(2016, 3, 19)); got > -0.99 || got < -1.01 {
		t.Errorf("AgeYears in the future: %v, want about -1", got)
	}
	if _, err := Age(Made{}, day(2026, 1, 1)); err == nil {
		t.Error("no date has an age")
	}
	if AgeYears(Made{}, day(2026, 1, 1)) != 0 || Made.String(Made{}) != "" || !(Made{}).Start().IsZero() {
		t.Error("the zero value claims something")
	}
	old, _ := ParseDate("031")
	if got, _ := Age(old, day(2026, 1, 1)); got < 25 {
		t.Errorf("three digits give %v years; at least 25 are certain", got)
	}
}

func TestWeeksFollowEachOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		y := rapid.IntRange(1971, 2097).Draw(t, "year")
		w := rapid.IntRange(1, 52).Draw(t, "week")
		a, b := Made{Year: y, Week: w, Stated: true}, Made{Year: y, Week: w + 1, Stated: true}
		if b.Start().Sub(a.Start()) != 7*24*time.Hour {
			t.Fatalf("%s to %s", a.Start(), b.Start())
		}
		// An ISO week of the same number is never more than six days away.
		iso := day(y, 1, 4)
		iso = iso.AddDate(0, 0, -(int(iso.Weekday())+6)%7+7*(w-1))
		if off := a.Start().Sub(iso).Hours() / 24; off < -1 || off > 6 {
			t.Fatalf("%v is %v days from the ISO week", a, off)
		}
	})
}

func FuzzParseDate(f *testing.F) {
	for _, s := range []string{"1217", "031", "031<", "018◁", "0198", "5400", "", "12 17"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m, err := ParseDate(s)
		if err != nil {
			if m != (Made{}) {
				t.Fatalf("%q refused but gives %+v", s, m)
			}
			return
		}
		again, err := ParseDate(m.Code())
		if err != nil || again != m {
			t.Fatalf("%q is %+v, written %q, read as %+v, %v", s, m, m.Code(), again, err)
		}
		if plain := strings.TrimSpace(s); m.Stated && len(plain) == 4 && plain[3] != '<' && m.Code() != plain {
			t.Fatalf("%q is written back as %q", s, m.Code())
		}
	})
}

// tyreRows reads the reference table; nil, said loudly, where it is missing.
func tyreRows(t *testing.T) [][]string {
	t.Helper()
	dir := os.Getenv("WITNESSMARK_CHECKS")
	if dir == "" {
		dir = filepath.Join("..", "..", "..", "shared", "checks")
	}
	f, err := os.Open(filepath.Join(dir, "standards", "07_tyres.csv"))
	if os.IsNotExist(err) {
		t.Logf("REFERENCE TABLE MISSING: %v; only the committed examples were checked", err)
		return nil
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

// TestStandardTable reads the date-code examples of the reference table.
func TestStandardTable(t *testing.T) {
	rows := tyreRows(t)
	if rows == nil {
		return
	}
	want := map[string]string{ // the table says it in words
		"3rd week of 2001": "2001-01-21",
		"first full week of 1998, Sunday 4 to Saturday 10 January 1998": "1998-01-04",
	}
	seen := 0
	for _, r := range rows {
		_, code, ok := strings.Cut(r[3], "example ")
		if r[2] != "date code" || !ok {
			continue
		}
		m, err := ParseDate(code)
		if err != nil || m.Start().Format(time.DateOnly) != want[r[4]] {
			t.Errorf("%s %s: %v, %v; want %s", r[0], code, m.Start(), err, r[4])
		}
		seen++
	}
	if seen != len(want) {
		t.Errorf("%d examples found, want %d", seen, len(want))
	}
}
