package simulate

import (
	"bytes"
	"slices"
	"testing"

	"witnessmark/catalogue"
	"witnessmark/core/point"
	"witnessmark/shop"
)

// TestPriceListCoversTheCatalogue: every part has a price for every car, and the list passes through its own file unchanged, which holds
// it to all that an import checks.
func TestPriceListCoversTheCatalogue(t *testing.T) {
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	list, terms := PriceList(cat), Terms()
	for id := range cat.Parts {
		if p, ok := shop.PriceFor(&list, id, shop.CarVersion{}, nil); !ok || p.Price <= 0 || p.For != "" {
			t.Errorf("%s has the price %+v", id, p)
		}
	}
	families := 0
	for _, p := range list.Prices {
		if p.For != "" {
			families++
			if got, _ := shop.PriceFor(&list, p.Part, shop.CarVersion{}, []string{p.For}); got != p {
				t.Errorf("%+v does not count for its family", p)
			}
		}
	}
	if families == 0 {
		t.Error("no price is for one family")
	}
	rules := shop.PriceRules{Currency: terms.Estimate.Currency, Taxes: terms.Estimate.Taxes, Parts: cat.Parts, Families: familyIDs(cat)}
	var file bytes.Buffer
	if err := shop.WritePrices(&file, terms.Estimate.Currency, &list); err != nil {
		t.Fatal(err)
	}
	again, faults, err := shop.ReadPrices(&file, rules)
	if err != nil || len(faults) > 0 || !slices.Equal(again.Prices, list.Prices) {
		t.Errorf("%v, %v", faults, err)
	}
}

func familyIDs(cat *point.Catalogue) (ids []string) {
	for _, f := range cat.Families {
		ids = append(ids, f.ID)
	}
	return ids
}
