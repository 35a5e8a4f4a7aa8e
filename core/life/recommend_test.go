package life

import (
	"math"
	"strings"
	"testing"
)

func TestRecommend(t *testing.T) {
	obs := []Observation{{Kind: Between, Lower: 8000, Upper: 13900}, {Kind: Clear, At: 8000, Count: 2}}
	p, err := NewPosterior(Weibull, oil, obs)
	if err != nil {
		t.Fatal(err)
	}
	r := Rule{Risk: 0.1, Cap: 30000, CapName: "two years", Step: 500, Fixed: 15000, Unit: "km"}
	got := Recommend(p, obs, 0, r)
	if got.Interval != math.Floor(got.Unrounded/500)*500 || got.Capped || !(got.Range[0] < got.Unrounded && got.Unrounded < got.Range[1]) {
		t.Errorf("%+v", got)
	}
	near(t, "probability of the unrounded interval", 1-p.Survival(got.Unrounded), 0.1, 1e-5)
	near(t, "probability of the interval", got.Risk, 1-p.Survival(got.Interval), 1e-9)
	want := "change at " + Number(got.Interval) + " km instead of 15 000: turned once by 13 900, clear twice at 8 000"
	if got.Reason != want {
		t.Errorf("reason %q, want %q", got.Reason, want)
	}
	r.Cap = 3000
	if capped := Recommend(p, obs, 0, r); !capped.Capped || capped.Interval != 3000 || !strings.Contains(capped.Reason, "3 000 km instead of 15 000, the longest by two years") {
		t.Errorf("%+v", capped)
	}
	if more := Recommend(p, obs, 9000, Rule{Risk: 0.1}); !(more.Unrounded > 9000 && more.Unrounded > got.Unrounded) || more.Range[0] < 9000 || !strings.Contains(more.Reason, "this one still good at 9 000") {
		t.Errorf("%+v", more)
	}
}

func TestWords(t *testing.T) {
	for x, want := range map[float64]string{0: "0", 11500: "11 500", 1234567: "1 234 567", 999: "999", 12.34: "12.3", 12: "12", 8000.4: "8 000", -1500: "-1 500", -500: "-500", 99.96: "100"} {
		if got := Number(x); got != want {
			t.Errorf("Number(%v) = %q, want %q", x, got, want)
		}
	}
	for want, obs := range map[string][]Observation{
		"nothing seen on this car yet":        nil,
		"turned twice, first by 9 000":        darks(9000, 14000),
		"clear 3 times, up to 8 000":          clears(8000, 5000, 3000),
		"one fill with looks that may err":    {{Kind: Steps}},
		"turned once by 9 000, clear once at": with(darks(9000), clears(4000)),
	} {
		if got := count(obs).words(Number); !strings.HasPrefix(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for _, c := range []struct{ x, step, want float64 }{{11743, 500, 11500}, {12000, 500, 12000}, {11999.9999999999, 500, 12000}, {430, 500, 400}, {30, 500, 30}, {7.9, 1, 7}, {0.47, 1, 0.4}, {430, 0, 430}} {
		if got := roundDown(c.x, c.step); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%v in steps of %v: %v, want %v", c.x, c.step, got, c.want)
		}
	}
}

// TestBeyond inverts the conditional distribution of every model, far into the tail.
func TestBeyond(t *testing.T) {
	for _, m := range models {
		for _, z0 := range []float64{-30, -3, 0, 1, 3, 6, 37, 60} {
			for _, q := range []float64{1e-6, 0.05, 0.5, 0.99} {
				z := m.beyond(q, z0)
				if got := -math.Expm1(m.logAbove(z) - m.logAbove(z0)); !(math.Abs(got-q) < 1e-6*(1+math.Abs(m.logAbove(z0))*1e-8)+1e-9) && math.Abs(m.logAbove(z0)) < 1e8 {
					t.Errorf("%v: beyond %v with %v is %v, which has %v", m, z0, q, z, got)
				}
			}
		}
	}
}

func TestNewPosteriorRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for want, o := range map[string]Observation{
		"dark at 0":                   {Kind: Dark},
		"clear at -3":                 {Kind: Clear, At: -3},
		"clear at NaN":                {Kind: Clear, At: nan},
		"exact at +Inf":               {Kind: Exact, At: inf},
		"upper is 3":                  {Kind: Between, Lower: 5, Upper: 3},
		"lower is 0":                  {Kind: Between, Upper: 3},
		"sensitivity is 1.2":          {Kind: Dark, At: 3, Sensitivity: 1.2},
		"specificity is NaN":          {Kind: Clear, At: 3, Specificity: nan},
		"count is -1":                 {Kind: Clear, At: 3, Count: -1},
		"an exact life has no":        {Kind: Exact, At: 3, Sensitivity: 0.9},
		"Kind(9) is no kind":          {Kind: 9, At: 3},
		"1 breaks and 1 weights":      {Kind: Steps, Breaks: []float64{3}, Weights: []float64{1}},
		"break 2 follows 3":           {Kind: Steps, Breaks: []float64{3, 2}, Weights: []float64{1, 1, 1}},
		"weight -1":                   {Kind: Steps, Breaks: []float64{3}, Weights: []float64{1, -1}},
		"all weights are 0":           {Kind: Steps, Breaks: []float64{3}, Weights: []float64{0, 0}},
		"an interval has no":          {Kind: Between, Lower: 1, Upper: 3, Specificity: 0.9},
		"expected an exposure above ": {Kind: Between, Lower: nan, Upper: 3},
	} {
		if _, err := NewPosterior(Weibull, oil, []Observation{{Kind: Clear, At: 5}, o}); err == nil || !strings.HasPrefix(err.Error(), "observation 2: ") || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: %v, want %q", o, err, want)
		}
	}
	for _, p := range []Prior{{}, {1, 0, 1, 1}, {1, 1, 1, -1}, {nan, 1, 1, 1}, {1, 1, inf, 1}, {1, nan, 1, 1}, {1, 1, 1, 21}, {31, 1, 1, 1}, {1, 1, 601, 1}} {
		if _, err := NewPosterior(Weibull, p, nil); err == nil {
			t.Errorf("%+v passes", p)
		}
	}
	if _, err := NewPosterior(5, oil, nil); err == nil {
		t.Error("an unknown model passes")
	}
}
