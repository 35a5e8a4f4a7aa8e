package diagnose_test

import (
	"slices"
	"testing"
	"time"

	"witnessmark/catalogue"
	"witnessmark/core/diagnose"
	"witnessmark/core/judge"
	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/verdict"
)

var noDay time.Time

// car is a full round: every place read, the last state at every n-th point, a sound one elsewhere; 0 is sound throughout.
func car(b testing.TB, every int) (*point.Catalogue, diagnose.Input) {
	b.Helper()
	cat, err := catalogue.Default()
	if err != nil {
		b.Fatal(err)
	}
	facets := round.Resolve(cat, map[string]string{"fan-drive": "electric"}, "", noDay)
	res := judge.Result{}
	for i, p := range cat.Points {
		if ok, _ := p.Applies.Holds(facets); !ok || len(p.States) == 0 {
			continue
		}
		at := slices.IndexFunc(p.States, func(s point.StateOf) bool { return s.Verdict == verdict.Sound })
		if every > 0 && i%every == 0 {
			at = len(p.States) - 1
		}
		for _, slot := range p.Positions.Slots(facets) {
			s := p.States[at]
			res.Findings = append(res.Findings, judge.Finding{Point: p, At: slot, Verdict: s.Verdict, Why: s.Why,
				Reading: &round.Reading{Point: p.ID, At: slot, State: s.ID}})
		}
	}
	return cat, diagnose.Input{Facets: facets, Result: &res}
}

// BenchmarkPanels answers a car with every state looked at and every twelfth point bad: some twenty complaints. Budget: 30 ms.
func BenchmarkPanels(b *testing.B) {
	cat, in := car(b, 12)
	n := 0
	for b.Loop() {
		n = len(diagnose.Panels(cat, in))
	}
	b.ReportMetric(float64(n), "panels")
}

// BenchmarkPanelsHeap answers a heap of a car: every fourth point bad.
func BenchmarkPanelsHeap(b *testing.B) {
	cat, in := car(b, 4)
	n := 0
	for b.Loop() {
		n = len(diagnose.Panels(cat, in))
	}
	b.ReportMetric(float64(n), "panels")
}

// BenchmarkPanelsSound answers a car on which all is well. Budget: 2 ms.
func BenchmarkPanelsSound(b *testing.B) {
	cat, in := car(b, 0)
	for b.Loop() {
		diagnose.Panels(cat, in)
	}
}
