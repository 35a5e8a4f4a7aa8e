package shop_test

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/shop"
)

func euros() shop.Terms {
	eur, _ := money.Known("EUR")
	return shop.Terms{Estimate: estimate.Terms{Currency: eur, Taxes: []estimate.Tax{{ID: "n", Name: "Tax", Rate: 200_000}}},
		HourRate: 8400, LabourTax: "n", PartsTax: "n", ValidDays: 30, VisitMinutes: 480, VisitCost: 3000, RemindDays: 21}
}

// TestTermsAreKept: the last saved count, the same form twice is one, another text under its id is a conflict.
func TestTermsAreKept(t *testing.T) {
	ctx, s := context.Background(), newBench(t)
	if _, set, err := s.Terms(ctx); err != nil || set {
		t.Fatalf("before: %v, %v", set, err)
	}
	first, second := euros(), euros()
	second.HourRate = 9000
	for _, err := range []error{s.SaveTerms(ctx, "t1", "An", first), s.SaveTerms(ctx, "t1", "An", first), s.SaveTerms(ctx, "t2", "An", second)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := s.SaveTerms(ctx, "t1", "An", second); !errors.Is(err, shop.ErrConflict) {
		t.Errorf("another text under the same id: %v", err)
	}
	if got, set, err := s.Terms(ctx); err != nil || !set || got.HourRate != 9000 {
		t.Errorf("%+v, %v, %v", got, set, err)
	}
	list, err := s.TermsHistory(ctx, 9)
	if err != nil || len(list) != 2 || list[0].ID != "t2" || list[1].Said.HourRate != 8400 {
		t.Errorf("history: %+v, %v", list, err)
	}
}

// fields are the names of the fields that an error blames.
func fields(err error) []string {
	var bad shop.Invalid
	errors.As(err, &bad)
	var out []string
	for _, f := range bad {
		out = append(out, f.Field)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func TestTermsRefused(t *testing.T) {
	ctx, s := context.Background(), newBench(t)
	for _, c := range []struct {
		fields string
		spoil  func(*shop.Terms)
	}{
		{"currency", func(x *shop.Terms) { x.Estimate.Currency.Exponent = 3 }},
		{"currency", func(x *shop.Terms) { x.Estimate.Currency.Code = "ZZZ" }},
		{"tax-rate-0", func(x *shop.Terms) { x.Estimate.Taxes[0].Rate = -1 }},
		{"tax-rate-0", func(x *shop.Terms) { x.Estimate.Taxes[0].Rate = 1_000_001 }},
		{"tax-name-0", func(x *shop.Terms) { x.Estimate.Taxes[0].Name = "" }},
		{"tax-id-1", func(x *shop.Terms) { x.Estimate.Taxes = append(x.Estimate.Taxes, x.Estimate.Taxes[0]) }},
		{"labour-tax parts-tax tax-id-0", func(x *shop.Terms) { x.Estimate.Taxes[0].ID = "N n" }},
		{"labour-tax parts-tax taxes", func(x *shop.Terms) { x.Estimate.Taxes = nil }},
		{"labour-tax", func(x *shop.Terms) { x.LabourTax = "q" }},
		{"parts-tax", func(x *shop.Terms) { x.PartsTax = "" }},
		{"round", func(x *shop.Terms) { x.Estimate.Round = -5 }},
		{"hour-rate", func(x *shop.Terms) { x.HourRate = 0 }},
		{"hour-rate", func(x *shop.Terms) { x.HourRate = money.Most }},
		{"sundries-rate", func(x *shop.Terms) { x.SundriesRate = 1_000_001 }},
		{"sundries-most", func(x *shop.Terms) { x.SundriesMost = -1 }},
		{"valid-days", func(x *shop.Terms) { x.ValidDays = 0 }},
		{"valid-days", func(x *shop.Terms) { x.ValidDays = 366 }},
		{"visit-minutes", func(x *shop.Terms) { x.VisitMinutes = 0 }},
		{"visit-cost", func(x *shop.Terms) { x.VisitCost = -1 }},
		{"remind-days", func(x *shop.Terms) { x.RemindDays = 400 }},
		{"address", func(x *shop.Terms) { x.Address = []string{strings.Repeat("x", 81)} }},
	} {
		bad := euros()
		c.spoil(&bad)
		if got := strings.Join(fields(s.SaveTerms(ctx, "x", "An", bad)), " "); got != c.fields {
			t.Errorf("blamed %q, expected %q", got, c.fields)
		}
	}
	if _, set, _ := s.Terms(ctx); set {
		t.Error("something was stored")
	}
}

// TestTermsImported: terms that the form would refuse are refused on the way in too.
func TestTermsImported(t *testing.T) {
	bad := shop.Fact{Record: &shop.Record{ID: "t", Kind: shop.KindTerms, Body: []byte(`{"estimate":{"currency":{"code":"EUR","exponent":2},"taxes":[],"included":false,"per_line":false,"round":0},"hour_rate":0,"labour_tax":"","parts_tax":"","valid_days":0,"visit_minutes":0,"visit_cost":0,"remind_days":0}`)}}
	if err := bad.Check(); err == nil || !strings.Contains(err.Error(), "at least one tax") {
		t.Errorf("got %v", err)
	}
}

// TestTypedTerms: what a form shows is read back as it was; all that can't be read is blamed at once.
func TestTypedTerms(t *testing.T) {
	ctx, s := context.Background(), newBench(t)
	want := euros()
	want.Address = []string{"Millrace Garage", "Weir Lane 3"}
	want.SundriesRate, want.SundriesMost, want.Estimate.Round, want.Estimate.PerLine = 25_000, 1250, 5, true
	in := shop.TermsAsTyped(want)
	in.ID, in.By = "t1", "An"
	if err := s.SaveTypedTerms(ctx, in); err != nil {
		t.Fatal(err)
	}
	got, _, _ := s.Terms(ctx)
	if a, b := shop.TermsAsTyped(got), shop.TermsAsTyped(want); a.HourRate != "84.00" || a.SundriesMost != b.SundriesMost || a.Address != b.Address || a.Taxes[0] != b.Taxes[0] || !a.PerLine {
		t.Errorf("%+v", a)
	}
	in.ID, in.HourRate, in.ValidDays, in.Taxes[0].Rate, in.SundriesRate = "t2", "84.005", "soon", "2x", "101"
	if got := strings.Join(fields(s.SaveTypedTerms(ctx, in)), " "); got != "hour-rate sundries-rate tax-rate-0 valid-days" {
		t.Errorf("blamed %q", got)
	}
	in.Currency = "shells"
	if got := strings.Join(fields(s.SaveTypedTerms(ctx, in)), " "); got != "currency sundries-rate tax-rate-0 valid-days" {
		t.Errorf("blamed %q", got)
	}
	suggested := shop.TermsAsTyped(shop.SuggestedTerms())
	suggested.ID = "t3"
	if got := strings.Join(fields(s.SaveTypedTerms(ctx, suggested)), " "); got != "currency hour-rate tax-rate-0" {
		t.Errorf("a bare suggestion: blamed %q", got)
	}
}

// TestTermsKeepTaxesInUse: a tax that the price list names can't go while the list counts.
func TestTermsKeepTaxesInUse(t *testing.T) {
	ctx, s := context.Background(), newBench(t)
	x := euros()
	x.Estimate.Taxes = append(x.Estimate.Taxes, estimate.Tax{ID: "low", Name: "Low", Rate: 50_000})
	list := shop.PriceList{Currency: "EUR", Source: "a.csv", Prices: []shop.Price{{Number: "1", Name: "Oil", Part: "engine-oil", Unit: "L", Price: 900, Tax: "low"}}}
	if err := errors.Join(s.SaveTerms(ctx, "t1", "", x), s.SavePrices(ctx, "p1", "", "", list)); err != nil {
		t.Fatal(err)
	}
	err := s.SaveTerms(ctx, "t2", "", euros())
	if got := fields(err); !slices.Equal(got, []string{"taxes"}) || !strings.Contains(err.Error(), `The price list has 1 price with the tax "low"`) {
		t.Errorf("got %v", err)
	}
	yen := euros()
	yen.Estimate.Currency, _ = money.Known("JPY")
	if err := s.SaveTerms(ctx, "t3", "", yen); err != nil {
		t.Errorf("another currency: %v", err)
	}
	if now, err := s.Prices(ctx); err != nil || len(now.Prices) != 0 {
		t.Errorf("a list in euros counts in yen: %+v, %v", now, err)
	}
	if err := s.SaveTerms(ctx, "t4", "", x); err != nil {
		t.Error(err)
	}
	if now, _ := s.Prices(ctx); len(now.Prices) != 1 {
		t.Error("the list does not count again")
	}
}
