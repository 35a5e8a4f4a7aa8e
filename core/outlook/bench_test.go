//go:build !js

package outlook_test

import (
	"testing"

	"witnessmark/core/outlook"
	"witnessmark/internal/simulate"
)

// BenchmarkOf is the outlook of a car, some of a simulated workshop in turn. Budget: 20 ms for a car with 60 items, 100 000 cars
// within 15 minutes on two cores (18 ms a car).
func BenchmarkOf(b *testing.B) {
	cat := loaded(b)
	cars := workshop(b, cat, simulate.Options{Seed: 3, Cars: 12, ReadingsPerRound: 130})
	items, i := 0, 0
	for b.Loop() {
		o := outlook.Of(cat, cars[i%len(cars)].h, nil)
		items += len(o.Items)
		i++
	}
	b.ReportMetric(float64(items)/float64(i), "items/op")
}

// BenchmarkOfLearnt is the same with the classes that 40 cars teach.
func BenchmarkOfLearnt(b *testing.B) {
	cat := loaded(b)
	cars := workshop(b, cat, simulate.Options{Seed: 3, Cars: 40, ReadingsPerRound: 130})
	classes := learnt(b, cat, cars)
	items, i := 0, 0
	for b.Loop() {
		o := outlook.Of(cat, cars[i%len(cars)].h, classes)
		items += len(o.Items)
		i++
	}
	b.ReportMetric(float64(items)/float64(i), "items/op")
}

// BenchmarkGather is what is taken from one car's history for learning.
func BenchmarkGather(b *testing.B) {
	cat := loaded(b)
	cars := workshop(b, cat, simulate.Options{Seed: 3, Cars: 12, ReadingsPerRound: 130})
	i := 0
	for b.Loop() {
		outlook.Gather(cat, cars[i%len(cars)].h)
		i++
	}
}

// BenchmarkFit learns the classes of 40 cars.
func BenchmarkFit(b *testing.B) {
	cat := loaded(b)
	var l outlook.Learner
	for _, c := range workshop(b, cat, simulate.Options{Seed: 3, Cars: 40, ReadingsPerRound: 130}) {
		l.Add(outlook.Gather(cat, c.h))
	}
	for b.Loop() {
		l.Fit(cat, nil)
	}
}
