package judge

import (
	"math"

	"witnessmark/core/brake"
	"witnessmark/core/point"
)

// Derived values of a brake tester's forces.
const (
	balanceRule    = "balance-of-forces"
	efficiencyRule = "efficiency-of-forces"
)

// testMass is the specification with the mass that the forces are set against.
const testMass = "largest-mass-kg"

// balance is the weaker wheel's share of the stronger in percent, from the forces of an axle (core/brake).
func (j *judging) balance(f *Finding) (float64, string, string) {
	left, ok1 := f.Reading.Value("left_N")
	right, ok2 := f.Reading.Value("right_N")
	switch {
	case !ok1 && !ok2:
		return 0, "", notRead
	case !ok1 || !ok2:
		return 0, "", "the force of the other wheel was not given"
	}
	b, err := brake.Balanced(left, right)
	if err != nil {
		return 0, "", err.Error()
	}
	return math.Round(b.Weaker*10) / 10, "percent", ""
}

// efficiency is the sum of all forces over the weight of the largest permitted mass in percent (core/brake).
func (j *judging) efficiency(f *Finding) (float64, string, string) {
	all, ok := f.Reading.Value("all_N")
	if !ok {
		return 0, "", notRead
	}
	mass, _, lack := j.spec(testMass, "", point.Source{From: "car"})
	if lack != "" {
		return 0, "", lack
	}
	e, err := brake.Efficiency(all, mass)
	if err != nil {
		return 0, "", err.Error()
	}
	return math.Round(e*10) / 10, "percent", ""
}
