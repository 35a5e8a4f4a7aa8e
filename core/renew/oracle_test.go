package renew

import (
	"encoding/json"
	"math"
	"strconv"
	"testing"

	"witnessmark/internal/published"
)

// number is a JSON number or a decimal string.
type number float64

func (n *number) UnmarshalJSON(b []byte) error {
	var text string
	if json.Unmarshal(b, &text) != nil {
		text = string(b)
	}
	v, err := strconv.ParseFloat(text, 64)
	*n = number(v)
	return err
}

// referenceCase is one case of the reference answers: the policy computed with 30 digits.
type referenceCase struct {
	ID, Dist                    string
	Shape, Scale, Sigma, Median number
	CP, CF                      number
	Weights                     []number
	Components                  []struct{ Shape, Scale number }
	Expected                    struct {
		T    *float64   `json:"T_star"`
		Cost float64    `json:"cost_rate"`
		RTF  float64    `json:"run_to_failure_cost_rate"`
		Mean float64    `json:"mean_life"`
		Save float64    `json:"saving_vs_run_to_failure"`
		Flat []*float64 `json:"interval_within_1pct_cost"`
	}
}

func (c referenceCase) dist() Dist {
	switch c.Dist {
	case "weibull":
		return Weibull{float64(c.Shape), float64(c.Scale)}
	case "lognormal":
		return Lognormal{float64(c.Sigma), float64(c.Median)}
	}
	var m Mixture
	for i, p := range c.Components {
		m.Weights = append(m.Weights, float64(c.Weights[i]))
		m.Parts = append(m.Parts, Weibull{float64(p.Shape), float64(p.Scale)})
	}
	return m
}

func near(got, want, relative float64) bool { return math.Abs(got-want) <= relative*math.Abs(want) }

// The reference answers were made with 30-digit arithmetic from Barlow & Proschan (1965) ch. 4; tolerances: T* 1e-6,
// cost rates 1e-9 relative. The ends of the flat region are flat themselves, 1e-6.
func TestReferenceAnswers(t *testing.T) {
	text, ok := published.File(t, "oracle", "policy", "expected.json")
	if !ok {
		return
	}
	var cases []referenceCase
	if err := json.Unmarshal(text, &cases); err != nil {
		t.Fatal(err)
	}
	worstT, worstC := 0.0, 0.0
	for _, c := range cases {
		p, err := Optimum(c.dist(), float64(c.CP), float64(c.CF))
		if err != nil {
			t.Errorf("%s: %v", c.ID, err)
			continue
		}
		e := c.Expected
		if p.Finite != (e.T != nil) || !near(p.CostRate, e.Cost, 1e-9) || !near(p.RunToFailure, e.RTF, 1e-9) || !near(c.dist().Mean(), e.Mean, 1e-12) {
			t.Errorf("%s: %+v, want %+v", c.ID, p, e)
			continue
		}
		worstC = math.Max(worstC, math.Abs(p.CostRate/e.Cost-1))
		if e.T == nil {
			continue
		}
		worstT = math.Max(worstT, math.Abs(p.T / *e.T - 1))
		if !near(p.T, *e.T, 1e-6) || !near(p.Saving, e.Save, 1e-9) {
			t.Errorf("%s: T %v, saving %v; want %v, %v", c.ID, p.T, p.Saving, *e.T, e.Save)
		}
		for i, end := range []float64{p.FlatLow, p.FlatHigh} {
			if want := e.Flat[i]; want == nil && !math.IsInf(end, 1) || want != nil && !near(end, *want, 1e-6) {
				t.Errorf("%s: flat region %v to %v, want %v", c.ID, p.FlatLow, p.FlatHigh, e.Flat)
			}
		}
	}
	t.Logf("%d cases; T* within %.1e, cost rate within %.1e of the reference", len(cases), worstT, worstC)
}
