package cause_test

import (
	"encoding/json"
	"math"
	"testing"

	"witnessmark/core/cause"
	"witnessmark/internal/published"
)

// twoLayer is a network of causes and findings as the reference data write it.
type twoLayer struct {
	ID     string
	Causes []struct {
		ID    string
		Prior float64
	}
	Findings []struct {
		ID    string
		Leak  float64
		Links []struct {
			Cause string
			Q     float64
		}
	}
}

func (n twoLayer) build(t testing.TB) *cause.Network {
	t.Helper()
	var b cause.Builder
	for _, c := range n.Causes {
		b.AddCause(c.ID, c.Prior)
	}
	for _, f := range n.Findings {
		var links []cause.Link
		for _, l := range f.Links {
			links = append(links, cause.Link{Cause: l.Cause, Q: l.Q})
		}
		b.AddFinding(f.ID, f.Leak, links)
	}
	net, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	return net
}

// noisyCase is one set of findings with its answer, worked out in 60 digits.
type noisyCase struct {
	Net                string
	Positive, Negative []string
	Prob               float64 `json:"prob_evidence"`
	LogProb            float64 `json:"log_prob_evidence"`
	Posterior          map[string]float64
}

func (c noisyCase) evidence() cause.Evidence {
	e := cause.Evidence{}
	for _, f := range c.Positive {
		e[f] = cause.Is(cause.Present)
	}
	for _, f := range c.Negative {
		e[f] = cause.Is(cause.Absent)
	}
	return e
}

func loadNoisy(t testing.TB) (map[string]*cause.Network, []noisyCase) {
	t.Helper()
	text, ok := published.File(t, "oracle", "noisyor", "networks.json")
	if !ok {
		return nil, nil
	}
	var nets struct{ Networks []twoLayer }
	if err := json.Unmarshal(text, &nets); err != nil {
		t.Fatal(err)
	}
	text, _ = published.File(t, "oracle", "noisyor", "expected.json")
	var want struct{ Cases []noisyCase }
	if err := json.Unmarshal(text, &want); err != nil {
		t.Fatal(err)
	}
	built := map[string]*cause.Network{}
	for _, n := range nets.Networks {
		built[n.ID] = n.build(t)
	}
	return built, want.Cases
}

// TestNoisyOrReference compares with inclusion and exclusion in 60-digit arithmetic (quickscore, Heckerman 1989): 1e-9 absolute on
// posteriors as the reference states, 1e-10 relative on the probability of the evidence.
func TestNoisyOrReference(t *testing.T) {
	nets, cases := loadNoisy(t)
	for _, c := range cases {
		b, err := nets[c.Net].Posterior(c.evidence())
		if err != nil {
			t.Fatalf("%s %v: %v", c.Net, c.Positive, err)
		}
		if math.Abs(b.ProbEvidence()/c.Prob-1) > 1e-10 || math.Abs(b.LogProbEvidence()-c.LogProb) > 1e-10 {
			t.Errorf("%s %v: P(evidence) %v, want %v", c.Net, c.Positive, b.ProbEvidence(), c.Prob)
		}
		for id, want := range c.Posterior {
			if got, err := b.P(id, cause.Present); err != nil || math.Abs(got-want) > 1e-9 {
				t.Errorf("%s %v: P(%s) = %v, want %v (%v)", c.Net, c.Positive, id, got, want, err)
			}
		}
	}
}

// BenchmarkNoisyOr is the reference set of 60 causes and 15 findings that are present. Budget: 5 ms.
func BenchmarkNoisyOr(b *testing.B) {
	nets, cases := loadNoisy(b)
	for _, c := range cases {
		if len(c.Positive) < 15 {
			continue
		}
		e := c.evidence()
		b.Run(c.Net, func(b *testing.B) {
			for b.Loop() {
				if _, err := nets[c.Net].Posterior(e); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
