package shop

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/catalogue"
	"witnessmark/core/estimate"
	"witnessmark/core/facet"
	"witnessmark/core/judge"
	"witnessmark/core/money"
	"witnessmark/core/verdict"
)

// TestDraftLinesAddUp: whatever a car asks for and however the workshop charges, the draft can be computed, each doing is one item, each
// preparation stands once and is needed by somebody, and the total is the sum of the lines that are shown.
func TestDraftLinesAddUp(t *testing.T) {
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	var jobs []string
	for id := range cat.Jobs {
		jobs = append(jobs, id)
	}
	slices.Sort(jobs)
	rapid.Check(t, func(t *rapid.T) {
		cur, _ := money.Known(rapid.SampledFrom([]string{"EUR", "JPY", "KWD"}).Draw(t, "currency"))
		terms := Terms{HourRate: money.Amount(rapid.IntRange(1, 1_000_000).Draw(t, "rate")), LabourTax: "a", PartsTax: "b",
			SundriesRate: money.Rate(rapid.IntRange(0, 200_000).Draw(t, "sundries")), SundriesMost: money.Amount(rapid.IntRange(0, 5000).Draw(t, "most"))}
		terms.Estimate = estimate.Terms{Currency: cur, Included: rapid.Bool().Draw(t, "included"), PerLine: rapid.Bool().Draw(t, "per line"),
			Taxes: []estimate.Tax{{ID: "a", Name: "A", Rate: money.Rate(rapid.IntRange(0, 300_000).Draw(t, "a"))}, {ID: "b", Name: "B", Rate: 70_000}}}
		d := drafting{cat: cat, facets: facet.Set{}, terms: terms, price: func(part string) (Price, bool) {
			kind := cat.Parts[part]
			return Price{Name: part, Unit: kind.Unit, Price: money.Amount(10 * len(part))}, len(part)%3 != 0
		}}
		wants := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Want {
			job := rapid.SampledFrom(jobs).Draw(t, "job")
			litres := rapid.Float64Range(-1, 20).Draw(t, "litres")
			w := Want{Job: job, At: rapid.SampledFrom([]string{"", "F", "R"}).Draw(t, "at"), Name: job, Must: rapid.Bool().Draw(t, "must"), Verdict: verdict.Unsafe}
			w.Quantities = []judge.Quantity{{Job: job, What: "engine oil", Litres: &litres}}
			return w
		}), 0, 12).Draw(t, "wants")
		items, shared, err := d.items(wants)
		if err != nil {
			t.Fatal(err)
		}
		e := estimate.Estimate{Number: "n", Version: 1, VisitOn: "2026-01-01", ValidUntil: "2026-02-01", Terms: terms.Estimate, Items: items, Shared: shared}
		if err := estimate.Check(e); err != nil {
			t.Fatal(err)
		}
		sumsUp(t, e)
		for _, w := range wants {
			if n := len(slices.DeleteFunc(slices.Clone(items), func(it estimate.Item) bool { return it.Job != w.Job || it.At != w.At })); n != 1 {
				t.Fatalf("%s at %q stands %d times", w.Job, w.At, n)
			}
		}
		seen := map[string]bool{}
		for _, s := range shared {
			if seen[s.Setup] || len(s.Items) == 0 {
				t.Fatalf("%s stands twice, or nobody needs it", s.Setup)
			}
			seen[s.Setup] = true
		}
	})
}

// TestFilledOnce: jobs that share a drained fluid take one filling between them; one alone keeps it.
func TestFilledOnce(t *testing.T) {
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	eur, _ := money.Known("EUR")
	d := drafting{cat: cat, facets: facet.Set{}, terms: Terms{HourRate: 8000, LabourTax: "a", PartsTax: "a", Estimate: estimate.Terms{Currency: eur, Taxes: []estimate.Tax{{ID: "a"}}}},
		takes: func(job string) []judge.Quantity {
			x := 4.5
			return []judge.Quantity{{Job: job, What: "engine oil", Litres: &x}}
		},
		price: func(part string) (Price, bool) { return Price{Unit: cat.Parts[part].Unit, Price: 1000}, true }}
	oil := cat.FluidPart("engine oil").ID
	litres := func(jobs ...string) (inItems, inShared money.Milli) {
		var wants []Want
		for _, j := range jobs {
			wants = append(wants, Want{Job: j, Name: j})
		}
		items, shared, err := d.items(wants)
		if err != nil {
			t.Fatal(err)
		}
		for _, it := range items {
			for _, l := range it.Lines {
				if l.Part == oil {
					inItems += l.Milli
				}
			}
		}
		for _, s := range shared {
			for _, l := range s.Lines {
				if l.Part == oil {
					inShared += l.Milli
				}
			}
		}
		return inItems, inShared
	}
	if a, b := litres("reseal-sump"); a != 4500 || b != 0 {
		t.Errorf("one job takes %d + %d", a, b)
	}
	if a, b := litres("reseal-sump", "renew-timing-chain"); a != 0 || b != 4500 {
		t.Errorf("two jobs take %d + %d, expected one filling", a, b)
	}
}

// sumsUp adds the shown lines up by hand.
func sumsUp(t *rapid.T, e estimate.Estimate) {
	got, err := estimate.Total(e, nil)
	if err != nil {
		t.Fatal(err)
	}
	var shown, tax money.Amount
	for l := range estimate.Lines(&e) {
		shown, tax = shown+got.Lines[l.ID].Amount, tax+got.Lines[l.ID].Tax
		if l.Open && got.Lines[l.ID].Amount != 0 {
			t.Fatalf("%s has no price and counts", l.Name)
		}
	}
	want := shown
	if !e.Terms.Included {
		want += tax
	}
	if got.Gross != want || got.ToPay != got.Gross+got.Rounding {
		t.Fatalf("lines come to %d, the total says %d, to pay %d", want, got.Gross, got.ToPay)
	}
}

func TestHours(t *testing.T) {
	for minutes, want := range map[int]money.Milli{0: 0, 1: 17, 15: 250, 25: 417, 60: 1000, 90: 1500} { // by hand: minutes / 60, half up
		if got := hours(minutes); got != want {
			t.Errorf("%d minutes are %s h, expected %s", minutes, got, want)
		}
	}
}
