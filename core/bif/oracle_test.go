package bif_test

import (
	"encoding/json"
	"math"
	"testing"

	"witnessmark/core/bif"
	"witnessmark/core/cause"
	"witnessmark/internal/published"
)

type reference struct {
	States map[string][]string
	Sets   []struct {
		Evidence   map[string]string
		Prob       float64 `json:"prob_evidence"`
		Posterior  map[string][]float64
		Impossible bool
	}
}

func load(t testing.TB, name string) *cause.Network {
	t.Helper()
	text, ok := published.File(t, "oracle", "network", "bif", name+".bif")
	if !ok {
		return nil
	}
	doc, err := bif.Parse(text)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	net, err := doc.Network()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return net
}

func references(t testing.TB) map[string]reference {
	t.Helper()
	var all map[string]reference
	if text, ok := published.File(t, "oracle", "network", "expected.json"); ok {
		if err := json.Unmarshal(text, &all); err != nil {
			t.Fatal(err)
		}
	}
	return all
}

func evidence(given map[string]string) cause.Evidence {
	e := cause.Evidence{}
	for v, s := range given {
		e[v] = cause.Is(s)
	}
	return e
}

// TestPublishedNetworks compares with variable elimination and, where they are small, brute force: 1e-9 absolute, rows taken as given.
// Networks: Lauritzen & Spiegelhalter 1988 (asia), Korb & Nicholson (cancer, earthquake), Scutari & Denis (survey), Sachs et al.
// 2005, Beinlich et al. 1989 (alarm), Binder et al. 1997 (insurance), win95pts.
func TestPublishedNetworks(t *testing.T) {
	for name, ref := range references(t) {
		net := load(t, name)
		for k, set := range ref.Sets {
			b, err := net.Posterior(evidence(set.Evidence))
			if set.Impossible {
				if imp, ok := err.(*cause.Impossible); !ok || len(imp.Conflict) == 0 {
					t.Errorf("%s %d: impossible evidence gives %v", name, k, err)
				}
				continue
			}
			if err != nil {
				t.Fatalf("%s %d: %v", name, k, err)
			}
			if math.Abs(b.ProbEvidence()-set.Prob) > 1e-9 {
				t.Errorf("%s %d: P(evidence) %v, want %v", name, k, b.ProbEvidence(), set.Prob)
			}
			for v, want := range set.Posterior {
				for s, p := range want {
					if got, err := b.P(v, ref.States[v][s]); err != nil || math.Abs(got-p) > 1e-9 {
						t.Errorf("%s %d: P(%s=%s) = %v, want %v (%v)", name, k, v, ref.States[v][s], got, p, err)
					}
				}
			}
		}
	}
}

// BenchmarkPublished asks for all marginals with one evidence set. Budget: 20 ms for the largest.
func BenchmarkPublished(b *testing.B) {
	refs := references(b)
	for _, name := range []string{"alarm", "insurance", "win95pts"} {
		ref, ok := refs[name]
		if !ok {
			continue
		}
		net := load(b, name)
		b.Run(name, func(b *testing.B) {
			for k := 0; b.Loop(); k++ {
				if _, err := net.Posterior(evidence(ref.Sets[k%len(ref.Sets)].Evidence)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
