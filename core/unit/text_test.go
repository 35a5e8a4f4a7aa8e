package unit

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParse(t *testing.T) {
	for _, c := range []struct {
		text string
		want Quantity
	}{
		{"13/32in", Quantity{0.40625, Inch}},
		{"13/32 in", Quantity{0.40625, Inch}},
		{"2.6/32 in", Quantity{2.6, In32}},
		{"4 32nds", Quantity{4, In32}},
		{`1/8"`, Quantity{0.125, Inch}},
		{"1/8″", Quantity{0.125, Inch}},
		{"1 1/4 in", Quantity{1.25, Inch}},
		{"1-1/8in", Quantity{1.125, Inch}},
		{"-1/2 in", Quantity{-0.5, Inch}},
		{"1 13/32in", Quantity{1.40625, Inch}},
		{"4.5mm", Quantity{4.5, MM}},
		{"4,5 mm", Quantity{4.5, MM}},
		{"4,125 mm", Quantity{4.125, MM}},
		{" .5 MM ", Quantity{0.5, MM}},
		{"406mm", Quantity{406, MM}},
		{"28psi", Quantity{28, PSI}},
		{"2.3bar", Quantity{2.3, Bar}},
		{"230kPa", Quantity{230, KPa}},
		{"-25C", Quantity{-25, DegC}},
		{"−25 °C", Quantity{-25, DegC}},
		{"-13F", Quantity{-13, DegF}},
		{"+20c", Quantity{20, DegC}},
		{"-0C", Quantity{0, DegC}},
		{"7.5L", Quantity{7.5, L}},
		{"7,5 l", Quantity{7.5, L}},
		{"12.45V", Quantity{12.45, V}},
		{"12,45 volts", Quantity{12.45, V}},
		{"0,125 A", Quantity{0.125, A}},
		{"55%", Quantity{55, Percent}},
		{"182400km", Quantity{182400, KM}},
		{"182 400 km", Quantity{182400, KM}},
		{"182\u00a0400 km", Quantity{182400, KM}},
		{"182,400 km", Quantity{182400, KM}},
		{"1.182.400 km", Quantity{1182400, KM}},
		{"1,182,400.5 km", Quantity{1182400.5, KM}},
		{"1.250,5 N", Quantity{1250.5, N}},
		{"1 250,75 N", Quantity{1250.75, N}},
		{"182.4 km", Quantity{182.4, KM}},
		{"113000mi", Quantity{113000, Mile}},
		{"0.5 per m", Quantity{0.5, PerM}},
		{"0.5 1/m", Quantity{0.5, PerM}},
		{"0.5/m", Quantity{0.5, PerM}},
		{"850 1/min", Quantity{850, RPM}},
		{"0.99 lambda", Quantity{0.99, Lambda}},
		{"12'", Quantity{12, Minutes}},
		{"1.25°", Quantity{1.25, Degrees}},
		{"46 mm2/s", Quantity{46, MM2PerS}},
		{"46 cSt", Quantity{46, MM2PerS}},
		{"24 months", Quantity{24, Months}},
	} {
		got, err := Parse(c.text)
		if err != nil || got != c.want || math.Signbit(got.Value) != (got.Value < 0) {
			t.Errorf("%q: %v, %v; want %v", c.text, got, err, c.want)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"":                             "nothing was entered",
		"4.5":                          "the unit is missing",
		"-25":                          "the unit is missing",
		"mm":                           "the number is missing",
		"4.5 furlongs":                 "the unit at the end is not known",
		"4.5 gramm":                    "the unit at the end is not known",
		"4..5mm":                       "can't be read",
		".mm":                          "can't be read",
		"4,5,6mm":                      "can't be read",
		"1e3 mm":                       "can't be read",
		"0x10 mm":                      "can't be read",
		"inf mm":                       "can't be read",
		"NaN bar":                      "can't be read",
		"--4mm":                        "can't be read",
		"18 24 km":                     "can't be read",
		"1/0 in":                       "divided by nought",
		"1//8 in":                      "can't be read",
		"1/-8 in":                      "can't be read",
		"182 400/32 in":                "can't be read",
		"1.5/8 in":                     "can't be read",
		"1,250 rpm":                    "can mean 1.250 or 1250",
		"1,250 N":                      "can mean 1.250 or 1250",
		strings.Repeat("9", 50) + "mm": "can't be read",
		strings.Repeat("9", 99) + "mm": "not a quantity",
		"4\xffmm":                      "not a quantity",
	} {
		got, err := Parse(text)
		if err == nil || !strings.Contains(err.Error(), want) || got != (Quantity{}) {
			t.Errorf("%q: %v, %v; want an error with %q", text, got, err, want)
		}
	}
}

func TestParseAs(t *testing.T) {
	for _, c := range []struct {
		text string
		unit Unit
		want float64
		err  string
	}{
		{"4.5", MM, 4.5, ""},
		{"4,5", MM, 4.5, ""},
		{"2/32 in", MM, 1.5875, ""},
		{"1/8\"", MM, 3.175, ""},
		{"-13F", DegC, -25, ""},
		{"-25°", DegC, -25, ""},
		{"-25 deg", DegC, -25, ""},
		{"30°", Degrees, 30, ""},
		{"182,400", KM, 182400, ""},
		{"182 400", KM, 182400, ""},
		{"230kPa", Bar, 2.3, ""},
		{"55%", Fraction, 0.55, ""},
		{"0.4", Fraction, 0.4, ""},
		{"3/4", Fraction, 0.75, ""},
		{"4.5 bar", MM, 0, `"4.5 bar": bar can't be turned into mm: they measure different things`},
		{"x", MM, 0, "the unit at the end is not known; write a number, alone or with mm or in or cm or m"},
		{"far", KM, 0, "the unit at the end is not known; write a number, alone or with km or mi"},
		{"some", Lambda, 0, "the unit at the end is not known; write a number, alone or with lambda"},
		{"4", None, 0, "no known unit"},
		{"4", numUnits, 0, "no known unit"},
	} {
		got, err := ParseAs(c.text, c.unit)
		if c.err != "" {
			if err == nil || !strings.Contains(err.Error(), c.err) {
				t.Errorf("%q as %s: %v, %v; want %q", c.text, c.unit, got, err, c.err)
			}
			continue
		}
		if err != nil || got != (Quantity{c.want, c.unit}) {
			t.Errorf("%q as %s: %v, %v; want %v", c.text, c.unit, got, err, c.want)
		}
	}
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		v        float64
		u        Unit
		decimals int
		metric   string
		us       string
	}{
		{4.5, MM, 1, "4.5 mm", "5.7/32 in"},
		{4.7625, MM, 1, "4.8 mm", "6/32 in"},
		{1.5, MM, 1, "1.5 mm", "1.9/32 in"}, // under 2/32 in, and seen to be
		{22.4, MM, 2, "22.40 mm", "0.882 in"},
		{0.05, MM, 2, "0.05 mm", "0.002 in"},
		{406.4, MM, 0, "406 mm", "16.0 in"},
		{2.3, Bar, 1, "2.3 bar", "33 psi"},
		{230, KPa, 0, "230 kPa", "33 psi"},
		{-25, DegC, 0, "-25 °C", "-13 °F"},
		{-0.2, DegC, 0, "0 °C", "32 °F"},
		{182400, KM, 0, "182 400 km", "113 338 mi"},
		{9000, KM, 0, "9000 km", "5592 mi"},
		{7.5, L, 1, "7.5 L", "7.9 qt"},
		{400, N, 0, "400 N", "90 lbf"},
		{12.45, V, 2, "12.45 V", "12.45 V"},
		{55, Percent, 0, "55 %", "55 %"},
		{0.35, Fraction, 2, "0.35", "0.35"},
		{1, Months, 0, "1 month", "1 month"},
		{24, Months, 0, "24 months", "24 months"},
		{12, Minutes, 0, "12'", "12'"},
		{0.5, PerM, 1, "0.5 per m", "0.5 per m"},
		{1182400, KM, -3, "1 182 400 km", "734 709 mi"},
		{3, None, 0, "3", "3"},
	} {
		if got := Format(c.v, c.u, Metric, c.decimals); got != c.metric {
			t.Errorf("%v %s metric: %q, want %q", c.v, c.u, got, c.metric)
		}
		if got := Format(c.v, c.u, US, c.decimals); got != c.us {
			t.Errorf("%v %s US: %q, want %q", c.v, c.u, got, c.us)
		}
	}
	if got := Format(3, numUnits, US, 0); got != "3" {
		t.Errorf("no such unit: %q", got)
	}
	if MM.Symbol() != "mm" || In32.Symbol() != "/32 in" || numUnits.Symbol() != "" || numUnits.String() != "" {
		t.Error("symbols")
	}
}

func TestSystem(t *testing.T) {
	for _, s := range []System{Metric, US} {
		if got, err := ParseSystem(" " + strings.ToUpper(s.String())); got != s || err != nil {
			t.Errorf("%s: %v, %v", s, got, err)
		}
	}
	if _, err := ParseSystem("imperial"); err == nil {
		t.Error("imperial was accepted")
	}
}

// What is shown can be typed in again and means the same, within its rounding.
func TestFormatCanBeTypedAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := anyUnit(t, "unit")
		sys := System(rapid.IntRange(0, 1).Draw(t, "system"))
		decimals := rapid.IntRange(0, 3).Draw(t, "decimals")
		v := rapid.Float64Range(-3e5, 3e5).Draw(t, "v")
		text := Format(v, u, sys, decimals)
		to, places := Show(v, u, sys, decimals)
		got, err := ParseAs(text, to)
		if err != nil {
			t.Fatalf("%v %s is shown as %q: %v", v, u, text, err)
		}
		want, _ := Convert(v, u, to)
		if math.Abs(got.Value-want) > 0.5000001*math.Pow(10, -float64(places))+1e-9*math.Abs(want) {
			t.Fatalf("%v %s is shown as %q, which reads as %v, not %v", v, u, text, got, want)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"13/32in", "4,5 mm", `1/8"`, "-13F", "182 400 km", "2.6/32 in", "1,250 rpm",
		"0.5 1/m", "12'", "1.2.3.4mm", "−25 °C", "1-1/8in", "0.000000001 V", "4 32nds"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, u := range []Unit{MM, DegC, KM} {
			if q, err := ParseAs(s, u); err == nil && (q.Unit != u || math.IsNaN(q.Value) || math.IsInf(q.Value, 0)) {
				t.Fatalf("%q as %s reads as %v", s, u, q)
			}
		}
		q, err := Parse(s)
		if err != nil {
			if q != (Quantity{}) {
				t.Fatalf("%q refused but gives %v", s, q)
			}
			return
		}
		if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) || q.Unit == None {
			t.Fatalf("%q reads as %v", s, q)
		}
		again, err := Parse(q.String())
		if err != nil || again != q || again.String() != q.String() {
			t.Fatalf("%q reads as %q, again as %v, %v", s, q.String(), again, err)
		}
	})
}
