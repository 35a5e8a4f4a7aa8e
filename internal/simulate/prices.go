package simulate

import (
	"fmt"
	"hash/fnv"
	"maps"
	"slices"
	"strings"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/core/point"
	"witnessmark/shop"
)

// Terms are how the invented workshop charges. Rate, tax and sundries are made up, like everything of it.
func Terms() shop.Terms {
	c, _ := money.Known("EUR")
	return shop.Terms{
		Estimate: estimate.Terms{Currency: c, Taxes: []estimate.Tax{{ID: "full", Name: "Tax (invented)", Rate: 200_000}, {ID: "low", Name: "Tax, low (invented)", Rate: 50_000}}},
		Address:  []string{"Weir Lane 3", "Nowhere"}, HourRate: 7800, LabourTax: "full", PartsTax: "full",
		SundriesRate: 20_000, SundriesMost: 1200, ValidDays: 21, VisitMinutes: 420, VisitCost: 3500, RemindDays: 21,
	}
}

// priceClasses are words of a part's name with the range of its invented price in cents; the first that fits counts.
var priceClasses = []struct {
	words    []string
	from, to int64
}{
	{[]string{"clip", "clamp", "screw", "bolt", "nut", "washer", "ring", "union", "cap", "plug", "bulb", "fuse", "grease"}, 90, 790},
	{[]string{"boot", "gasket", "seal", "filter", "blade", "sensor", "switch", "hose", "pipe", "bush", "link", "mount", "relay", "valve", "cable"}, 690, 5900},
	{[]string{"gear", "servo", "caliper", "master cylinder", "pump", "radiator", "compressor", "alternator", "starter", "battery", "catalyst", "silencer", "damper", "motor", "module", "unit"}, 8900, 38900},
}

// PriceList is an invented list with a price for every part of the catalogue, and some for one family. Numbers and amounts follow from
// the parts' ids and mean nothing.
func PriceList(cat *point.Catalogue) shop.PriceList {
	list := shop.PriceList{Currency: Terms().Estimate.Currency.Code, Source: "invented.csv"}
	for _, id := range slices.Sorted(maps.Keys(cat.Parts)) {
		p := cat.Parts[id]
		price := inventedPrice(p)
		list.Prices = append(list.Prices, shop.Price{Number: "N-" + digits(id, 5), Name: p.Name, Part: id, Unit: p.Unit, Price: price})
		if len(cat.Families) > 0 && within(id+" family", 0, 9) == 0 {
			fam := cat.Families[int(within(id, 0, int64(len(cat.Families)-1)))].ID
			list.Prices = append(list.Prices, shop.Price{Number: "S-" + digits(id, 5), Name: p.Name + ", special", Part: id, Unit: p.Unit, Price: price + price/4, For: fam})
		}
	}
	list.Prices = append(list.Prices, shop.Price{Number: "K-00001", Name: "Key tag", Unit: "piece", Price: 150, Tax: "low"})
	return list
}

// inventedPrice spreads the parts over the range of their class.
func inventedPrice(p *point.PartKind) money.Amount {
	from, to := int64(2400), int64(9900)
	switch {
	case p.Unit == "L":
		from, to = 350, 2200
	case p.Unit == "m":
		from, to = 240, 1400
	case p.Unit == "kg":
		from, to = 600, 3900
	case p.Sundry:
		from, to = 120, 690
	default:
		name := strings.ToLower(p.Name)
		for _, c := range priceClasses {
			if slices.ContainsFunc(c.words, func(w string) bool { return strings.Contains(name, w) }) {
				from, to = c.from, c.to
				break
			}
		}
	}
	return money.Amount(within(p.ID, from, to)/10*10 + 9) // as price tags end
}

// within gives a number from a to b that follows from a text (FNV-1a, 64 bits).
func within(text string, a, b int64) int64 {
	h := fnv.New64a()
	h.Write([]byte(text))
	return a + int64(h.Sum64()%uint64(b-a+1))
}

// digits gives so many digits that follow from a text.
func digits(text string, n int) string {
	return fmt.Sprintf("%0*d", n, within(text, 0, 99_999))
}
