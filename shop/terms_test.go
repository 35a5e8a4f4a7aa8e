package shop_test

import (
	"context"
	"errors"
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
}

func TestTermsRefused(t *testing.T) {
	ctx, s := context.Background(), newBench(t)
	for want, spoil := range map[string]func(*shop.Terms){
		"is not known":        func(x *shop.Terms) { x.Estimate.Currency.Exponent = 3 },
		"0 to 100":            func(x *shop.Terms) { x.Estimate.Taxes[0].Rate = -1 },
		"no tax \"q\" for":    func(x *shop.Terms) { x.LabourTax = "q" },
		"costs nothing":       func(x *shop.Terms) { x.HourRate = 0 },
		"expected 1 to 365":   func(x *shop.Terms) { x.ValidDays = 0 },
		"expected 1 to 10000": func(x *shop.Terms) { x.VisitMinutes = 0 },
		"sundries can't be":   func(x *shop.Terms) { x.SundriesMost = -1 },
		"is empty or stands":  func(x *shop.Terms) { x.Estimate.Taxes = append(x.Estimate.Taxes, x.Estimate.Taxes[0]) },
		"the days ahead":      func(x *shop.Terms) { x.RemindDays = 400 },
		"terms: rounding":     func(x *shop.Terms) { x.Estimate.Round = -5 },
	} {
		bad := euros()
		spoil(&bad)
		if err := s.SaveTerms(ctx, "x", "An", bad); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("expected %q, got %v", want, err)
		}
	}
	if _, set, _ := s.Terms(ctx); set {
		t.Error("something was stored")
	}
}
