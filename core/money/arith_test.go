package money

import (
	"errors"
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// exact is a x b / d rounded half away from zero in arbitrary precision, as a second opinion.
func exact(a, b, d int64) *big.Int {
	p := new(big.Int).Mul(big.NewInt(a), big.NewInt(b))
	negative := p.Sign() < 0
	p.Abs(p)
	p.Mul(p, big.NewInt(2)).Add(p, big.NewInt(d))
	p.Quo(p, new(big.Int).Mul(big.NewInt(2), big.NewInt(d)))
	if negative {
		p.Neg(p)
	}
	return p
}

func TestProductsAreExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Int64().Draw(t, "a"), rapid.Int64().Draw(t, "b")
		if rapid.Bool().Draw(t, "small") {
			a, b = a%10_000_000, b%10_000_000
		}
		for name, c := range map[string]struct {
			got func() (Amount, error)
			d   int64
		}{
			"Times": {func() (Amount, error) { return Times(Amount(a), Milli(b)) }, 1000},
			"Share": {func() (Amount, error) { return Share(Amount(a), Rate(b)) }, 1_000_000},
		} {
			want := exact(a, b, c.d)
			got, err := c.got()
			if new(big.Int).Abs(want).Cmp(big.NewInt(int64(Most))) > 0 {
				if !errors.Is(err, ErrTooLarge) {
					t.Fatalf("%s(%d, %d) = %d, %v; expected ErrTooLarge", name, a, b, got, err)
				}
				continue
			}
			if err != nil || want.Cmp(big.NewInt(int64(got))) != 0 {
				t.Fatalf("%s(%d, %d) = %d, %v; expected %s", name, a, b, got, err, want)
			}
		}
	})
}

func TestRounding(t *testing.T) {
	for _, c := range []struct {
		name string
		got  func() (Amount, error)
		want Amount
	}{
		{"half a cent goes up", func() (Amount, error) { return Times(1, 500) }, 1},
		{"less than half goes down", func() (Amount, error) { return Times(1, 499) }, 0},
		{"half below zero goes away from zero", func() (Amount, error) { return Times(-1, 500) }, -1},
		{"1.45 hours at 84.00", func() (Amount, error) { return Times(8400, 1450) }, 12180},
		{"19 % of 99.99", func() (Amount, error) { return Share(9999, 190_000) }, 1900},
		{"19 % within 119.00", func() (Amount, error) { return Within(11900, 190_000) }, 1900},
		{"7.7 % within 100.00", func() (Amount, error) { return Within(10000, 77_000) }, 715},
		{"to five cents, up", func() (Amount, error) { return ToStep(1003, 5) }, 1005},
		{"to five cents, down", func() (Amount, error) { return ToStep(1002, 5) }, 1000},
		{"to nothing", func() (Amount, error) { return ToStep(1002, 0) }, 1002},
		{"to a whole hundred, half", func() (Amount, error) { return ToStep(150, 100) }, 200},
	} {
		if got, err := c.got(); err != nil || got != c.want {
			t.Errorf("%s: %d, %v; expected %d", c.name, got, err, c.want)
		}
	}
	for name, f := range map[string]func() (Amount, error){
		"a sum":           func() (Amount, error) { return Add(Most, 1) },
		"a summand":       func() (Amount, error) { return Add(math.MaxInt64, math.MinInt64) },
		"a negative step": func() (Amount, error) { return ToStep(1, -5) },
		"within below 0":  func() (Amount, error) { return Within(1, -1) },
		"the smallest":    func() (Amount, error) { return Times(math.MinInt64, math.MinInt64) },
	} {
		if got, err := f(); err == nil {
			t.Errorf("%s gave %d; expected an error", name, got)
		}
	}
}

func TestTextBothWays(t *testing.T) {
	for _, code := range Codes() {
		c, ok := Known(code)
		if !ok || c.Exponent < 0 || c.Exponent > 3 || c.Exponent == 1 {
			t.Errorf("%s has %d decimals", code, c.Exponent)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		c, _ := Known(rapid.SampledFrom([]string{"JPY", "EUR", "KWD"}).Draw(t, "currency"))
		a := Amount(rapid.Int64Range(-int64(Most), int64(Most)).Draw(t, "amount"))
		for _, text := range []string{Plain(c, a), Format(c, a)[:len(Format(c, a))-len("\u00a0"+c.Code)]} {
			if got, err := Parse(c, text); err != nil || got != a {
				t.Fatalf("Parse(%s, %q) = %d, %v; expected %d", c.Code, text, got, err, a)
			}
		}
		m := Milli(rapid.Int64Range(-1e12, 1e12).Draw(t, "quantity"))
		if got, err := ParseMilli(m.String()); err != nil || got != m {
			t.Fatalf("ParseMilli(%q) = %d, %v; expected %d", m.String(), got, err, m)
		}
		r := Rate(rapid.Int64Range(0, 1_000_000).Draw(t, "rate"))
		if got, err := ParsePercent(r.Percent()); err != nil || got != r {
			t.Fatalf("ParsePercent(%q) = %d, %v; expected %d", r.Percent(), got, err, r)
		}
	})
}

func TestParse(t *testing.T) {
	eur, _ := Known("EUR")
	yen, _ := Known("JPY")
	for text, want := range map[string]Amount{"12": 1200, "12.5": 1250, "12,50": 1250, " 1 234,56 ": 123456, "1'234.00": 123400, "\u22125": -500, ".5": -1, "0.00": 0} {
		got, err := Parse(eur, text)
		if want == -1 {
			if err == nil {
				t.Errorf("Parse(%q) = %d; expected an error", text, got)
			}
			continue
		}
		if err != nil || got != want {
			t.Errorf("Parse(%q) = %d, %v; expected %d", text, got, err, want)
		}
	}
	for _, text := range []string{"", " ", "12.", "12.345", "1,234.56", "1 23", "12e3", "0x10", "NaN", "--5", "99999999999999999999", "1.2.3"} {
		if got, err := Parse(eur, text); err == nil {
			t.Errorf("Parse(%q) = %d; expected an error", text, got)
		}
	}
	if got, err := Parse(yen, "12.0"); err == nil {
		t.Errorf("yen have no decimals, and 12.0 gave %d", got)
	}
	for a, want := range map[Amount]string{123456789: "1\u202f234\u202f567.89\u00a0EUR", -5: "\u22120.05\u00a0EUR", 0: "0.00\u00a0EUR"} {
		if got := Format(eur, a); got != want {
			t.Errorf("Format(%d) = %q; expected %q", a, got, want)
		}
	}
}

// FuzzParse: what is accepted is written again as the same amount.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"12,50", "1 234.56", "-0", "007", "\u2212 1", "1''2"} {
		f.Add(s, 2)
	}
	f.Fuzz(func(t *testing.T, text string, exponent int) {
		c := Currency{Code: "XXX", Exponent: []int{0, 2, 3}[uint(exponent)%3]}
		a, err := Parse(c, text)
		if err != nil {
			return
		}
		if again, err := Parse(c, Plain(c, a)); err != nil || again != a {
			t.Errorf("%q is %d, written %q, read %d, %v", text, a, Plain(c, a), again, err)
		}
	})
}
