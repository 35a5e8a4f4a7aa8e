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

// cases are a car with a few looks, one with two hundred, looks that err, and a wide prior.
var cases = []struct {
	name  string
	prior Prior
	obs   []Observation
}{
	{"few", oil, with(clears(8000, 9000), darks(14000))},
	{"interval", oil, []Observation{{Kind: Between, Lower: 8000, Upper: 14000}}},
	{"erring", oil, looksAt(5, 1, 2.8, 13000, 3000, 24000, 0.95, 0.95)},
	{"wide", Prior{0.7, 0.8, 9.9, 1.2}, clears(10000)},
	{"200", oil, looksAt(200, 1, 2.8, 13000, 3000, 24000, 1, 1)},
	{"10000", oil, looksAt(10000, 1, 2.8, 13000, 3000, 24000, 1, 1)},
}

// BenchmarkPosterior makes posteriors and asks them for the answers of the contract. Budget: 1 ms for the few looks of a car; 200
// different looks take a few times as long, 10 000 some tens of milliseconds.
func BenchmarkPosterior(b *testing.B) {
	for _, c := range cases {
		for _, m := range models[:2] {
			prior := c.prior
			if m == Lognormal {
				prior.LogShapeMean *= -1
			}
			b.Run(c.name+"/"+m.String(), func(b *testing.B) {
				for b.Loop() {
					p, err := NewPosterior(m, prior, c.obs)
					if err != nil || math.IsNaN(contract(p)) {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
