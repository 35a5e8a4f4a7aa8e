package shop_test

import (
	"slices"
	"strings"
	"testing"

	"witnessmark/core/estimate"
	"witnessmark/internal/simulate"
	"witnessmark/shop"
)

// TestAnsweredIsNotForecastToo: what an owner put off or agreed to has a line of its own, and is not told as a forecast beside it. What was
// declined is, as before.
func TestAnsweredIsNotForecastToo(t *testing.T) {
	b, _ := fleet(t, simulate.Options{Seed: 11, Cars: 12, Years: 4})
	answers := []estimate.Answer{{Answer: estimate.PutOff, UntilOn: "2100-01-01"}, {Answer: estimate.Accept}, {Answer: estimate.Decline}}
	tried := 0
	for _, id := range b.cars(t) {
		said := func() bool {
			return slices.ContainsFunc(b.dues(t, id, shop.DueForecast), func(l shop.DueLine) bool { return strings.HasPrefix(l.ID, "forecast/brake-fluid") })
		}
		if !said() {
			continue
		}
		a := answers[tried%len(answers)]
		b.answered(t, id, "renew-brake-fluid", "", a)
		tried++
		if said() != (a.Answer == estimate.Decline) {
			t.Errorf("%s: answered %q, forecast all the same: %t", id, a.Answer, said())
		}
	}
	if tried < 3 {
		t.Errorf("%d cars were tried", tried)
	}
}
