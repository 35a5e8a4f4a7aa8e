package estimate

import (
	"testing"

	"pgregory.net/rapid"

	"witnessmark/core/money"
)

// TestTotalsAddUp: whatever the currency, the rule of tax, the discounts and the answers, the totals are the sum of the lines that
// are shown and count; nothing is lost to rounding but what the rounding line says.
func TestTotalsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := drawn(t)
		if err := Check(e); err != nil {
			t.Fatal(err)
		}
		answers := answered(t, e)
		got, err := Total(e, answers)
		if err != nil {
			t.Fatal(err)
		}
		on := accepted(e, answers)
		var shown, tax, blocks, gross money.Amount
		count := func(lines []Line) {
			for _, l := range lines {
				shown += got.Lines[l.ID].Amount
				tax += got.Lines[l.ID].Tax
			}
		}
		for i, it := range e.Items {
			if got.Items[i].On != on[it.ID] {
				t.Fatalf("item %s counts: %v", it.ID, got.Items[i].On)
			}
			if on[it.ID] {
				count(it.Lines)
				blocks, gross = blocks+got.Items[i].Amount, gross+got.Items[i].Gross
			}
		}
		for i, s := range e.Shared {
			if got.Shared[i].On != (on[s.Items[0]] || on[s.Items[1]]) {
				t.Fatalf("%s counts: %v", s.Setup, got.Shared[i].On)
			}
			if got.Shared[i].On {
				count(s.Lines)
				blocks, gross = blocks+got.Shared[i].Amount, gross+got.Shared[i].Gross
			}
		}
		var rates, bases money.Amount
		for _, x := range got.Taxes {
			rates, bases = rates+x.Amount, bases+x.Base
		}
		want := got.Net
		if e.Terms.Included {
			want = got.Gross
		}
		for what, pair := range map[string][2]money.Amount{
			"lines": {shown, want}, "blocks": {blocks, want}, "taxes of lines": {tax, rates}, "net and taxes": {got.Net + rates, got.Gross},
			"bases": {bases, got.Net}, "blocks with tax": {gross, got.Gross}, "rounding": {got.Gross + got.Rounding, got.ToPay},
		} {
			if pair[0] != pair[1] {
				t.Fatalf("%s: %d and %d", what, pair[0], pair[1])
			}
		}
		if step := e.Terms.Round; step > 1 && (got.ToPay%step != 0 || 2*max(got.Rounding, -got.Rounding) > step) {
			t.Fatalf("%d rounded to %d by steps of %d", got.Gross, got.ToPay, step)
		}
		if !e.Terms.PerLine {
			checkRates(t, e, got)
		}
	})
}

// checkRates: by rate, the tax is that of the whole base, rounded once.
func checkRates(t *rapid.T, e Estimate, got Totals) {
	for _, x := range got.Taxes {
		want, err := money.Share(x.Base, x.Tax.Rate)
		if e.Terms.Included {
			want, err = money.Within(x.Base+x.Amount, x.Tax.Rate)
		}
		if err != nil || want != x.Amount {
			t.Fatalf("tax of %s on %d: %d, expected %d, %v", x.Tax.Rate.Percent(), x.Base, x.Amount, want, err)
		}
	}
}

// A worked estimate, by hand: 1.5 h at 80.00, pads 64.90, 0.25 L at 11.98 with 10 % off; 20 % tax is added.
func TestWorked(t *testing.T) {
	eur, _ := money.Known("EUR")
	lines := []Line{
		{ID: "a", Kind: Labour, Name: "Work", Milli: 1500, Unit: "h", Price: 8000, Tax: "n"},
		{ID: "b", Kind: Part, Name: "Pads", Milli: 1000, Unit: "set", Price: 6490, Tax: "n"},
		{ID: "c", Kind: Fluid, Name: "Fluid", Milli: 250, Unit: "L", Price: 1198, Tax: "n", Discount: 100_000},
	}
	e := Estimate{Number: "E-1", Version: 1, VisitOn: "2026-12-01", ValidUntil: "2026-12-31", Items: []Item{{ID: "i", Name: "Front pads", Lines: lines}},
		Shared: []Shared{{Setup: "lift", Name: "On the lift", Items: []string{"i"}, Lines: []Line{{ID: "d", Kind: Labour, Name: "On the lift", Milli: 100, Unit: "h", Price: 8000, Tax: "n"}}}},
		Terms:  Terms{Currency: eur, Taxes: []Tax{{ID: "n", Name: "Tax", Rate: 200_000}}, Round: 5}}
	got, err := Total(e, nil)
	if err != nil {
		t.Fatal(err)
	}
	// 120.00 + 64.90 + (3.00 - 0.30) + 8.00 = 195.60; tax 39.12; 234.72, to 234.70.
	if got.Net != 19560 || got.Taxes[0].Amount != 3912 || got.Gross != 23472 || got.ToPay != 23470 || got.Rounding != -2 || got.Items[0].Hours != 1500 {
		t.Errorf("%+v", got)
	}
	declined, err := Total(e, []Answer{{Item: "i", Answer: Decline}})
	if err != nil || declined.ToPay != 0 || declined.Shared[0].On || len(declined.Taxes) != 0 {
		t.Errorf("declined: %+v, %v", declined, err)
	}
}

// BenchmarkTotal: an estimate of 20 items with 5 lines each in under 50 µs, as each page works it out again.
func BenchmarkTotal(b *testing.B) {
	eur, _ := money.Known("EUR")
	e := Estimate{Terms: Terms{Currency: eur, Taxes: []Tax{{ID: "n", Rate: 200_000}}}}
	for i := range 20 {
		it := Item{ID: string(rune('a' + i))}
		for k := range 5 {
			it.Lines = append(it.Lines, Line{ID: it.ID + string(rune('0'+k)), Milli: 1250, Price: 4999, Tax: "n"})
		}
		e.Items = append(e.Items, it)
	}
	for b.Loop() {
		if _, err := Total(e, nil); err != nil {
			b.Fatal(err)
		}
	}
}
