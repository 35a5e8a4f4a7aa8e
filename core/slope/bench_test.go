package slope

import (
	"math"
	"testing"
)

// fleet is an invented class of units: thickness falling at rates of their own, read off a gauge. The disturbances come from an additive
// recurrence, which is spread evenly and the same on every machine.
func fleet(units, readings int) [][]Point {
	groups := make([][]Point, units)
	turn := 0.0
	draw := func() float64 { // roughly normal: three uniform draws
		s := 0.0
		for range 3 {
			turn += 0.6180339887498949 + 1e-7
			turn -= math.Floor(turn)
			s += math.Mod(turn*7919, 1)
		}
		return 2 * (s - 1.5)
	}
	for i := range groups {
		a, b := 12+0.2*draw(), -0.12-0.03*draw()
		for j := range readings {
			x := 10*float64(j+1) + 2*draw()
			groups[i] = append(groups[i], Point{x, a + b*x + 0.15*draw()})
		}
	}
	return groups
}

// BenchmarkFitTenThousand fits 10 000 groups of 5 readings; budget 400 ms (lme4: 800 ms), aim 80 ms.
func BenchmarkFitTenThousand(b *testing.B) {
	groups := fleet(10000, 5)
	for name, o := range variants {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Fit(groups, o); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkFitWorkshop fits the history of one class in one workshop, 30 groups of 6; budget 5 ms.
func BenchmarkFitWorkshop(b *testing.B) {
	groups := fleet(30, 6)
	for b.Loop() {
		if _, err := Fit(groups, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkCriterion evaluates value and derivative over 10 000 groups once; budget 1 ms.
func BenchmarkCriterion(b *testing.B) {
	d, err := reduce(fleet(10000, 5))
	if err != nil {
		b.Fatal(err)
	}
	c, cov := over(d.groups, d.rest, d.n, Options{}), d.start(Options{}, 1.5, 0.8, -0.3)
	for b.Loop() {
		c.at(cov)
	}
}
