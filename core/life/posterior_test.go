package life

import (
	"encoding/json"
	"math"
	"strconv"
	"testing"

	"witnessmark/internal/published"
)

type scenario struct {
	Name  string `json:"name"`
	Dist  string `json:"dist"`
	Prior struct {
		AMean float64 `json:"log_a_mean"`
		ASD   float64 `json:"log_a_sd"`
		MMean float64 `json:"log_m_mean"`
		MSD   float64 `json:"log_m_sd"`
	} `json:"prior"`
	Observations []struct {
		Type        string  `json:"type"`
		Distance    float64 `json:"distance"`
		Sensitivity float64 `json:"sensitivity"`
		Specificity float64 `json:"specificity"`
		Lower       float64 `json:"lower"`
		Upper       float64 `json:"upper"`
	} `json:"observations"`
}

func (s scenario) read(t testing.TB) (Model, Prior, []Observation) {
	m, err := ParseModel(s.Dist)
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[string]Kind{"clear": Clear, "dark": Dark, "exact": Exact, "interval": Between}
	var obs []Observation
	for _, o := range s.Observations {
		obs = append(obs, Observation{Kind: kinds[o.Type], At: o.Distance, Lower: o.Lower, Upper: o.Upper, Sensitivity: o.Sensitivity, Specificity: o.Specificity})
	}
	return m, Prior{s.Prior.AMean, s.Prior.ASD, s.Prior.MMean, s.Prior.MSD}, obs
}

func scenarios(t testing.TB) (all []scenario) {
	text, ok := published.File(t, "oracle", "life", "bayes_scenarios.json")
	if !ok {
		return nil
	}
	var file struct {
		Scenarios []scenario `json:"scenarios"`
	}
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	return file.Scenarios
}

// TestPosteriorReference compares with dense quadrature.
func TestPosteriorReference(t *testing.T) {
	text, ok := published.File(t, "oracle", "life", "expected_bayes.json")
	if !ok {
		return
	}
	type lives struct {
		Quantiles map[string]float64 `json:"quantiles"`
	}
	var all map[string]struct {
		LogMarginal float64            `json:"log_marginal_likelihood"`
		Survival    map[string]float64 `json:"predictive_survival"`
		Quantiles   map[string]float64 `json:"predictive_life_quantiles"`
		Life05      lives              `json:"life_0.05"`
		Life10      lives              `json:"life_0.1"`
		Life50      lives              `json:"life_0.5"`
	}
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	for _, s := range scenarios(t) {
		m, prior, obs := s.read(t)
		p, err := NewPosterior(m, prior, obs)
		if err != nil {
			t.Fatal(err)
		}
		want := all[s.Name]
		t.Logf("%s: %d rows, %d panels, %d nodes", s.Name, len(p.grid.rows), len(p.grid.panels), len(p.grid.nodes))
		if math.Abs(p.LogMarginal()-want.LogMarginal) > 1e-6 {
			t.Errorf("%s: log marginal %.9f, want %.9f", s.Name, p.LogMarginal(), want.LogMarginal)
		}
		for x, v := range want.Survival {
			near(t, s.Name+" survival "+x, p.Survival(number(t, x)), v, 1e-5)
		}
		for q, v := range want.Quantiles {
			near(t, s.Name+" quantile "+q, p.Quantile(number(t, q)), v, 1e-5)
		}
		for lifeP, set := range map[float64]lives{0.05: want.Life05, 0.1: want.Life10, 0.5: want.Life50} {
			for q, v := range set.Quantiles {
				near(t, s.Name+" life "+q, p.LifeQuantile(lifeP, number(t, q)), v, 2e-5)
			}
		}
	}
}

func number(t testing.TB, s string) float64 {
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}
