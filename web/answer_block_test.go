package web

import (
	"testing"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/shop"
)

// TestPreparationOfOneItem: what a single item needs is in its price, on the page that asks and on the one that repeats the answers; what
// several need stands once beside them; and all together is still the total.
func TestPreparationOfOneItem(t *testing.T) {
	eur, _ := money.Known("EUR")
	line := func(id string, price money.Amount) []estimate.Line {
		return []estimate.Line{{ID: id, Kind: estimate.Labour, Name: "Labour", Milli: 1000, Unit: "h", Price: price, Tax: "n"}}
	}
	for _, terms := range []estimate.Terms{{}, {PerLine: true}, {Included: true}, {Included: true, PerLine: true}} {
		terms.Currency, terms.Taxes = eur, []estimate.Tax{{ID: "n", Name: "Tax", Rate: 190_000}}
		e := estimate.Estimate{Number: "E-1", Version: 1, Terms: terms,
			Items: []estimate.Item{{ID: "pads", Name: "Pads", Lines: line("a", 10_001)}, {ID: "coolant", Name: "Coolant", Lines: line("b", 5_003)}},
			Shared: []estimate.Shared{{Setup: "lift", Name: "On the lift", Items: []string{"pads", "coolant"}, Lines: line("c", 1_197)},
				{Setup: "drain", Name: "Coolant drained", Items: []string{"coolant"}, Lines: line("d", 4_507)}}}
		o := &shop.Offered{Draft: shop.Kept[shop.EstimateDraft]{Said: shop.EstimateDraft{Estimate: e}}}
		a, err := newAsking(o, nil, newForm(nil), false)
		if err != nil {
			t.Fatal(err)
		}
		if len(a.Shared) != 1 || a.Shared[0].Name != "On the lift" || len(a.Shared[0].For) != 2 {
			t.Errorf("%+v: shared are %+v", terms, a.Shared)
		}
		if b := a.Blocks[1]; len(b.Lines) != 2 || b.Lines[1].Name != "Coolant drained: labour" {
			t.Errorf("%+v: the coolant is made of %+v", terms, b.Lines)
		}
		total, err := estimate.Total(e, nil)
		if err != nil {
			t.Fatal(err)
		}
		gross, err := grossAlone(e, total)
		if err != nil {
			t.Fatal(err)
		}
		if sum := gross[0] + gross[1] + total.Shared[0].Gross; sum != total.Gross {
			t.Errorf("%+v: %d shown, %d in all", terms, sum, total.Gross)
		}
		if gross[0] != total.Items[0].Gross || gross[1] != total.Items[1].Gross+total.Shared[1].Gross {
			t.Errorf("%+v: %v", terms, gross)
		}
		x, err := (&server{}).newSaid(o, []estimate.Answer{{Item: "pads", Answer: estimate.Decline}, {Item: "coolant", Answer: estimate.Accept}})
		if err != nil {
			t.Fatal(err)
		}
		if len(x.Accepted) != 1 || len(x.Shared) != 1 || x.Shared[0].Name != "On the lift" {
			t.Errorf("%+v: accepted %+v, shared %+v", terms, x.Accepted, x.Shared)
		}
	}
}

// TestPlaceBeside: a place is not said twice.
func TestPlaceBeside(t *testing.T) {
	for _, c := range []struct{ name, place, want string }{
		{"Renew the pads, front axle", "front axle", ""},
		{"Renew the pads", "front axle", "front axle"},
		{"Wash the car", "", ""},
	} {
		if got := placeBeside(c.name, c.place); got != c.want {
			t.Errorf("%q, %q: %q", c.name, c.place, got)
		}
	}
}
