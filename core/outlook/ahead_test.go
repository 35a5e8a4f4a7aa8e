package outlook

import (
	"math"
	"testing"

	"witnessmark/core/use"
)

// TestAheadAgainstUse holds the tabulated law of the distance against core/use's own days, for even driving and for a car that
// rests in winter.
func TestAheadAgainstUse(t *testing.T) {
	for name, winter := range map[string]float64{"even": 1, "rests in winter": 0.05} {
		var rs []use.Reading
		km, day := 60000.0, 17000.0
		for i := range 30 {
			rs = append(rs, use.Reading{Day: day, Km: km})
			pace := 32.0
			if math.Mod(day, daysPerYear) > 300 || math.Mod(day, daysPerYear) < 60 {
				pace *= winter
			}
			day += 61
			km += 61*pace + float64((i*7919)%300)
		}
		u, err := use.Fit(rs, use.Usual())
		if err != nil {
			t.Fatal(err)
		}
		last := u.Last()
		a := newAhead(u, last.Day+40, last.Day+40+horizonYears*daysPerYear)
		quantile := func(p float64) float64 { return last.Km + 14000*math.Exp(0.2*score(p)) }
		var kms [combined]float64
		for i := range kms {
			kms[i] = quantile((float64(i) + 0.5) / combined)
		}
		want := use.Combine(u, quantile, []float64{0.05, 0.1, 0.5, 0.9})
		for i, q := range [...]float64{0.05, 0.1, 0.5, 0.9} {
			got := a.day(&kms, q, last.Day+3000)
			if math.Abs(got-want[i]) > 0.04*(want[i]-last.Day)+12 {
				t.Errorf("%s: day of probability %g is %.0f, by core/use %.0f days after the last reading", name, q, got-last.Day, want[i]-last.Day)
			}
		}
	}
}
