package estimate

import (
	"fmt"

	"pgregory.net/rapid"

	"witnessmark/core/money"
)

// drawn makes an estimate that Check accepts, in any currency and under any rule of tax and rounding.
func drawn(t *rapid.T) Estimate {
	c, _ := money.Known(rapid.SampledFrom([]string{"JPY", "EUR", "KWD", "CHF"}).Draw(t, "currency"))
	e := Estimate{
		Number: "E-1", Version: 1, Owner: "Ada Muster", VisitOn: "2026-12-01", ValidUntil: "2026-12-31",
		Terms: Terms{Currency: c, Included: rapid.Bool().Draw(t, "included"), PerLine: rapid.Bool().Draw(t, "per line"),
			Round: money.Amount(rapid.SampledFrom([]int64{0, 1, 5, 10, 100}).Draw(t, "round"))},
		Discount: money.Rate(rapid.SampledFrom([]int64{0, 0, 50_000, 333_333, 1_000_000}).Draw(t, "discount")),
	}
	for i := range rapid.IntRange(1, 3).Draw(t, "taxes") {
		e.Terms.Taxes = append(e.Terms.Taxes, Tax{ID: fmt.Sprint("t", i), Name: fmt.Sprint("Tax ", i), Rate: money.Rate(rapid.Int64Range(0, 300_000).Draw(t, "rate"))})
	}
	n := 0
	lines := func() (out []Line) {
		for range rapid.IntRange(1, 4).Draw(t, "lines") {
			n++
			out = append(out, Line{ID: fmt.Sprint("l", n), Kind: rapid.SampledFrom([]string{Labour, Part, Fluid, Sundries}).Draw(t, "kind"), Name: "Line", Unit: "h",
				Milli: money.Milli(rapid.Int64Range(1, 20_000).Draw(t, "milli")), Price: money.Amount(rapid.Int64Range(0, 500_000).Draw(t, "price")),
				Open:     rapid.IntRange(0, 9).Draw(t, "open") == 0,
				Discount: money.Rate(rapid.SampledFrom([]int64{0, 0, 125_000}).Draw(t, "own discount")), Tax: rapid.SampledFrom(e.Terms.Taxes).Draw(t, "tax").ID})
		}
		return out
	}
	for i := range rapid.IntRange(1, 5).Draw(t, "items") {
		e.Items = append(e.Items, Item{ID: fmt.Sprint("i", i), Name: fmt.Sprint("Item ", i), Lines: lines()})
	}
	for i := range rapid.IntRange(0, 2).Draw(t, "shared") {
		e.Shared = append(e.Shared, Shared{Setup: fmt.Sprint("s", i), Name: "On the lift", Lines: lines(), Items: []string{rapid.SampledFrom(e.Items).Draw(t, "needs").ID, e.Items[0].ID}})
	}
	return e
}

// answered draws an answer for each item, or none at all.
func answered(t *rapid.T, e Estimate) []Answer {
	if rapid.Bool().Draw(t, "all accepted") {
		return nil
	}
	out := []Answer{}
	for _, it := range e.Items {
		a := Answer{Item: it.ID, Answer: rapid.SampledFrom([]string{Accept, Decline, PutOff}).Draw(t, "answer")}
		if a.Answer == PutOff {
			a.UntilOn = "2027-03-01"
		}
		out = append(out, a)
	}
	return out
}
