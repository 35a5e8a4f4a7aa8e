package life

import (
	"math"
	"testing"
)

// contract are the answers that the command gives for one scenario.
func contract(p *Posterior) (sum float64) {
	sum = p.LogMarginal()
	for _, x := range []float64{5000, 8000, 10000, 12000, 15000, 20000, 30000} {
		sum += p.Survival(x)
	}
	for _, q := range []float64{0.05, 0.1, 0.5, 0.9} {
		sum += p.Quantile(q)
	}
	for _, q := range []float64{0.05, 0.5, 0.95} {
		sum += p.LifeQuantile(0.1, q)
	}
	return sum
}

// BenchmarkPosterior makes posteriors and asks them for the answers of the contract. Budget: 1 ms for each.
func BenchmarkPosterior(b *testing.B) {
	for _, s := range scenarios(b) {
		m, prior, obs := s.read(b)
		b.Run(s.Name, func(b *testing.B) {
			for b.Loop() {
				p, err := NewPosterior(m, prior, obs)
				if err != nil || math.IsNaN(contract(p)) {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkBuild makes posteriors and asks nothing.
func BenchmarkBuild(b *testing.B) {
	for _, s := range scenarios(b) {
		m, prior, obs := s.read(b)
		b.Run(s.Name, func(b *testing.B) {
			for b.Loop() {
				if _, err := NewPosterior(m, prior, obs); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
