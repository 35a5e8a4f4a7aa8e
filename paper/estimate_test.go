package paper

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
)

// sampleEstimate is an invented estimate in a currency, with every part that one can have.
func sampleEstimate(code string) estimate.Estimate {
	cur, _ := money.Known(code)
	warning := "We rate this as unsafe: Renew the brake hoses. Do not drive the car until it is put right; the law may forbid driving it."
	return estimate.Estimate{
		Number: "2026-0007", Version: 3, Workshop: []string{"Quarry Lane Garage", "Steinbruchweg 4", "Příkrá 12, Žďár"}, Car: []string{"XQ 417 KD", "Estate 2.0 petrol, 2009"},
		Owner: "Ελένη Дорошенко", VisitOn: "2026-04-02", ValidUntil: "2026-04-20", Note: "The car can stay overnight.", Discount: 50_000,
		Terms: estimate.Terms{Currency: cur, Taxes: []estimate.Tax{{ID: "n", Name: "Tax", Rate: 190_000}, {ID: "r", Name: "Reduced", Rate: 70_000}}, Round: 5},
		Items: []estimate.Item{
			{ID: "hoses", Name: "Renew the brake hoses of the axle, front axle", Why: "Brake hoses: front left bulged or leaking.", Wait: "It can burst at the next hard stop.",
				Verdict: "unsafe", Category: "Directive 2014/45/EU 1.1.12: dangerous", Must: true, Warning: warning, Lines: []estimate.Line{
					{ID: "h1", Kind: estimate.Labour, Name: "Labour", Milli: 583, Unit: "h", Price: 8437, Tax: "n"},
					{ID: "h2", Kind: estimate.Part, Name: "Шланг тормозной " + strings.Repeat("very long name ", 11) + "end", Number: "H-1", Milli: 2000, Unit: "piece", Price: 123_456_789, Tax: "n", Discount: 100_000},
					{ID: "h3", Kind: estimate.Part, Name: "Seal ring", Milli: 4000, Unit: "piece", Tax: "r", Open: true}}},
			{ID: "own", Name: "Umýt vůz", Lines: []estimate.Line{{ID: "o1", Kind: estimate.Sundries, Name: "Wash", Milli: 1000, Unit: "piece", Price: 1234, Tax: "r"}}},
		},
		Shared: []estimate.Shared{{Setup: "lift", Name: "On the lift", Items: []string{"hoses", "own"}, Lines: []estimate.Line{
			{ID: "l1", Kind: estimate.Labour, Name: "Labour", Milli: 133, Unit: "h", Price: 8437, Tax: "n"}}}},
	}
}

func estimatePDF(t testing.TB, e estimate.Estimate) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Estimate(&b, e); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestEstimateReadsAsItShould(t *testing.T) {
	golden(t, "estimate.txt", strings.Join(pages(t, estimatePDF(t, sampleEstimate("EUR"))), "--- next page\n"))
}

// TestEstimateAmounts: in currencies of 0, 2 and 3 decimals every amount on paper is one of the estimate, and every one of the
// estimate is on paper.
func TestEstimateAmounts(t *testing.T) {
	for code, pattern := range map[string]string{"EUR": `−?\d{1,3}(?: \d{3})*\.\d{2}\b`, "KWD": `−?\d{1,3}(?: \d{3})*\.\d{3}\b`, "JPY": ""} {
		e := sampleEstimate(code)
		total, err := estimate.Total(e, nil)
		if err != nil {
			t.Fatal(err)
		}
		p := priced{e: e, t: total}
		known := map[string]bool{p.amount(e.Terms.Round): true, p.amount(total.Net): true, p.amount(total.Gross): true, p.amount(total.Rounding): true, p.amount(total.ToPay): true}
		for l := range estimate.Lines(&e) {
			if !l.Open {
				known[p.amount(l.Price)], known[p.amount(total.Lines[l.ID].Amount)] = true, true
			}
		}
		for _, x := range total.Taxes {
			known[p.amount(x.Base)], known[p.amount(x.Amount)] = true, true
		}
		for _, x := range total.Items {
			known[p.amount(x.Amount)] = true
		}
		for _, x := range total.Shared {
			known[p.amount(x.Amount)] = true
		}
		text := flat(t, estimatePDF(t, e))
		even := func(s string) string { return strings.Join(strings.Fields(strings.ReplaceAll(s, "\u202f", " ")), " ") }
		shown := map[string]bool{}
		for k := range known {
			if shown[even(k)] = true; !strings.Contains(text, even(k)) {
				t.Errorf("%s: %s is not on paper", code, even(k))
			}
		}
		if pattern == "" {
			continue // a whole number can't be told from other numbers on the page
		}
		body, _, _ := strings.Cut(text, "SHA-256")
		body = strings.ReplaceAll(body, e.Items[0].Category, "")
		body = regexp.MustCompile(`\d+(\.\d+)? (h|piece)\b`).ReplaceAllString(body, "") // how much of it
		for _, got := range regexp.MustCompile(pattern).FindAllString(body, -1) {
			if !shown[got] {
				t.Errorf("%s: %s is on paper and in no total", code, got)
			}
		}
	}
}

// TestEstimateSays: scripts of several alphabets, the digest, and that a price is missing; never that a car is safe.
func TestEstimateSays(t *testing.T) {
	e := sampleEstimate("EUR")
	text := flat(t, estimatePDF(t, e))
	for _, want := range []string{"Ελένη Дорошенко", "Příkrá 12, Žďár", "Umýt vůz", "Шланг тормозной", "What must not be put off", "Directive 2014/45/EU 1.1.12: dangerous",
		"price missing", "prices are missing (1)", "20 April 2026", "version 3", "Paid once", "less 10 %", "less 5 %", "Name and signature"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in %s", want, text)
		}
	}
	if !strings.Contains(strings.ReplaceAll(text, " ", ""), estimate.Digest(e)) {
		t.Error("the digest is missing")
	}
	if n := strings.Count(strings.ReplaceAll(text, "unsafe", ""), "safe"); n != 1 || !strings.Contains(text, "It does not say that the car is safe") {
		t.Errorf("the word stands %d times", n)
	}
}

// TestEstimateOnManyPages: every page but the first repeats the head.
// TestPreparationOfOneItem: what only one item needs stands in it and in its sum, as on the owner's page.
func TestPreparationOfOneItem(t *testing.T) {
	e := sampleEstimate("EUR")
	e.Shared[0].Items = []string{"own"}
	total, err := estimate.Total(e, nil)
	if err != nil {
		t.Fatal(err)
	}
	text := flat(t, estimatePDF(t, e))
	sum := money.Plain(e.Terms.Currency, total.Items[1].Amount+total.Shared[0].Amount)
	if !strings.Contains(text, "On the lift: Labour") || !strings.Contains(text, "This item "+sum) || strings.Contains(text, "Paid once") {
		t.Errorf("expected the lift within the item, which comes to %s, on paper:\n%s", sum, text)
	}
}

func TestEstimateOnManyPages(t *testing.T) {
	e := sampleEstimate("EUR")
	for i := range 60 {
		e.Items[1].Lines = append(e.Items[1].Lines, estimate.Line{ID: fmt.Sprint("x", i), Kind: estimate.Part, Name: fmt.Sprint("Part ", i), Milli: 1000, Unit: "piece", Price: 100, Tax: "n"})
	}
	all := pages(t, estimatePDF(t, e))
	if len(all) < 3 {
		t.Fatalf("%d pages", len(all))
	}
	for i, page := range all[1:] {
		if !strings.Contains(page, "Estimate 2026-0007, version 3") || !strings.Contains(page, fmt.Sprintf("%d of %d", i+2, len(all))) {
			t.Errorf("page %d has no head:\n%s", i+2, page)
		}
	}
}

func TestEstimateIsReproducible(t *testing.T) {
	first := estimatePDF(t, sampleEstimate("EUR"))
	for range 3 {
		if !bytes.Equal(first, estimatePDF(t, sampleEstimate("EUR"))) {
			t.Fatal("the same estimate gave other bytes")
		}
	}
}

// TestEstimateUnknownAmount: what only stands in for a time that is not known is no quantity on paper.
func TestEstimateUnknownAmount(t *testing.T) {
	e := sampleEstimate("EUR")
	l := &e.Items[0].Lines[0]
	l.Name, l.Milli, l.Open = "Labour, time not known yet", 77_000, true
	if text := flat(t, estimatePDF(t, e)); strings.Contains(text, "77 h") || !strings.Contains(text, "not known price missing") {
		t.Error(text)
	}
}

func TestEstimatePassesOnErrors(t *testing.T) {
	full := errors.New("disk full")
	if err := Estimate(failing{full}, sampleEstimate("EUR")); !errors.Is(err, full) {
		t.Errorf("%v, expected the writer's error", err)
	}
	bad := sampleEstimate("EUR")
	bad.Items[0].Lines[0].Tax = "none"
	if err := Estimate(&bytes.Buffer{}, bad); err == nil {
		t.Error("an estimate that can't be added up was written")
	}
}

// TestEstimateTakesAnyText: whatever stands in the texts, the document is made and stays above the title block.
func TestEstimateTakesAnyText(t *testing.T) {
	text := anyText(1500)
	rapid.Check(t, func(rt *rapid.T) {
		e := sampleEstimate(rapid.SampledFrom([]string{"EUR", "JPY", "KWD"}).Draw(rt, "currency"))
		s := func(name string) string { return text.Draw(rt, name) }
		e.Number, e.Owner, e.Note, e.VisitOn, e.ValidUntil = s("number"), s("owner"), s("note"), s("on"), s("until")
		e.Workshop, e.Car = []string{s("workshop"), s("street")}, []string{s("plate"), s("car")}
		it := &e.Items[0]
		it.Name, it.Why, it.Wait, it.Category, it.Verdict = s("name"), s("why"), s("wait"), s("category"), s("verdict")
		it.Lines[0].Name, it.Lines[0].Price = s("line"), money.Amount(rapid.Int64Range(0, 1e13).Draw(rt, "price"))
		e.Shared[0].Name, e.Terms.Taxes[0].Name = s("shared"), s("tax")
		d, err := layEstimate(e)
		if err != nil {
			rt.Fatal(err)
		}
		var b bytes.Buffer
		if err := d.pdf.Output(&b); err != nil {
			rt.Fatal(err)
		}
		if d.lowest > blockTop {
			rt.Fatalf("text at %.1f mm runs into the title block", d.lowest)
		}
	})
}

// Budget, on a core with nothing else to do: 60 ms.
func BenchmarkEstimate(b *testing.B) {
	e := sampleEstimate("EUR")
	for b.Loop() {
		if err := Estimate(&bytes.Buffer{}, e); err != nil {
			b.Fatal(err)
		}
	}
}
