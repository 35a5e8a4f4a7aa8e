// Package brake is the arithmetic of a brake test: balance of an axle, efficiency from all forces, and what several
// readings of a disc say.
package brake

import (
	"fmt"
	"math"

	"witnessmark/core/verdict"
)

// Gravity in m/s2 as brake testers take it (standard value 9.80665, rounded as is usual).
const Gravity = 9.81

// Balance is what the two forces of an axle say, in percent. Weaker is the weaker wheel's share of the stronger,
// Imbalance what is missing to 100.
type Balance struct{ Weaker, Imbalance float64 }

// Balanced compares the brake forces in N of the two wheels of one axle (0 to 30 000, one of them above 0).
// Source: Directive 2014/45/EU Annex I, 1.2.1 (weaker as a share of the stronger).
func Balanced(left, right float64) (Balance, error) {
	for _, f := range [2]float64{left, right} {
		if !(f >= 0 && f <= 30000) {
			return Balance{}, fmt.Errorf("a brake force of %v N cannot be right; expected 0 to 30 000 N", f)
		}
	}
	strong := max(left, right)
	if strong == 0 {
		return Balance{}, fmt.Errorf("neither wheel brakes, so there is nothing to compare")
	}
	w := 100 * min(left, right) / strong
	return Balance{w, 100 - w}, nil
}

// Judge gives the verdict on a balance. Below 50 % on the steered axle unsafe, below 70 % overdue, below 80 % watch (in
// the US, where the limit lies there, overdue). The wheels are compared at one instant, highest force without locking.
// Source: Directive 2014/45/EU Annex I, 1.2.1(b), from memory; the 30 % was read in a UK notice. 49 CFR 570.5(d)(1),
// from memory: 20 %, and not the 25 % of Subpart B, which is for heavy vehicles.
func (b Balance) Judge(steered, us bool) verdict.Verdict {
	switch {
	case steered && b.Weaker < 50:
		return verdict.Unsafe
	case b.Weaker < 70 || us && b.Weaker < 80:
		return verdict.Overdue
	case b.Weaker < 80:
		return verdict.Watch
	}
	return verdict.Sound
}

// Efficiency gives the braking efficiency in percent: the sum of all forces in N over the weight of a mass in kg
// (100 to 10 000), which is the largest permitted mass where the rule asks for it.
// Source: Directive 2014/45/EU Annex I, 1.2.2. Accuracy: the tester's; Gravity is rounded by 0.03 %.
func Efficiency(forces, mass float64) (float64, error) {
	if !(forces >= 0 && forces <= 120000) {
		return 0, fmt.Errorf("a sum of forces of %v N cannot be right; expected 0 to 120 000 N", forces)
	}
	if !(mass >= 100 && mass <= 10000) {
		return 0, fmt.Errorf("a mass of %v kg is none of a car; expected 100 to 10 000 kg", mass)
	}
	return 100 * forces / (mass * Gravity), nil
}

// Required gives the least service-brake efficiency in percent for a car first registered in a year: 58 from 2012 on,
// 50 before. Older cars without ABS may have 48. Source: Directive 2014/45/EU Annex I, 1.2.2, from memory; the 58 % was
// read in a UK notice.
func Required(year int) float64 {
	if year >= 2012 {
		return 58
	}
	return 50
}

// Parking is the least parking-brake efficiency in percent. Source: Directive 2014/45/EU Annex I, 1.4.2, from memory.
const Parking = 16

// JudgeEfficiency gives the verdict on an efficiency against what is required, both in percent: below half unsafe,
// below it overdue, else sound. Source: Directive 2014/45/EU Annex I, 1.2.2, from memory.
func JudgeEfficiency(percent, required float64) verdict.Verdict {
	switch {
	case percent < required/2:
		return verdict.Unsafe
	case percent < required:
		return verdict.Overdue
	}
	return verdict.Sound
}

// Deceleration gives the mean deceleration in m/s2 of a stop from a speed in km/h within a way in m: v^2 / 2s.
func Deceleration(kmh, metres float64) (float64, error) {
	if !(kmh > 0 && kmh <= 300) || !(metres > 0) || math.IsInf(metres, 1) {
		return 0, fmt.Errorf("a stop from %v km/h within %v m cannot be reckoned", kmh, metres)
	}
	v := kmh / 3.6
	return v * v / (2 * metres), nil
}
