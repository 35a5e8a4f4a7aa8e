package shop_test

import (
	"testing"

	"witnessmark/shop"
)

// A look counts until what it was about is renewed: on the same day afterwards, later, at its own axle or the whole car.
func TestRenewedSince(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil)
	for name, x := range map[string]struct {
		item, at, on, place string
		want                bool
	}{
		"the axle later":        {"pads", "F", "2026-04-01", "FL/inner", true},
		"the other axle":        {"pads", "R", "2026-04-01", "FL/inner", false},
		"before the look":       {"pads", "F", "2026-03-01", "FL/inner", false},
		"the whole car":         {"pads", "", "2026-04-01", "FL/inner", true},
		"something else":        {"coolant", "", "2026-04-01", "FL/inner", false},
		"the corner, its inner": {"pads", "FL", "2026-04-01", "FL/inner", true},
	} {
		p := &shop.CarPage{Car: c, Renewals: []shop.RenewalFact{{Item: x.item, At: x.at, On: x.on, ReceivedAt: 1}}}
		it := &shop.ItemHistory{Point: b.Catalogue().Point("pad-thickness"), At: x.place, Looks: []shop.Look{{On: "2026-03-21", Reading: shop.ReadingFact{ReceivedAt: 5}}}}
		if _, got := b.RenewedSince(p, it); got != x.want {
			t.Errorf("%s: %v", name, got)
		}
	}
	same := &shop.CarPage{Car: c, Renewals: []shop.RenewalFact{{Item: "pads", At: "F", On: "2026-03-21", ReceivedAt: 9}}}
	it := &shop.ItemHistory{Point: b.Catalogue().Point("pad-thickness"), At: "FL/inner", Looks: []shop.Look{{On: "2026-03-21", Reading: shop.ReadingFact{ReceivedAt: 5}}}}
	if _, ok := b.RenewedSince(same, it); !ok {
		t.Error("renewed on the day of the look, after it: still counts")
	}
	it.Looks[0].Reading.ReceivedAt = 12
	if _, ok := b.RenewedSince(same, it); ok {
		t.Error("looked at after the renewal of the same day: counts no longer")
	}
}
