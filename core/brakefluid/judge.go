package brakefluid

import (
	"fmt"
	"math"

	"witnessmark/core/curve"
	"witnessmark/core/verdict"
)

// Margin is how far above the wet minimum in degC the fluid is renewed: common practice.
const Margin = 25

// Water shares in percent at which a glycol fluid is watched and renewed: common practice. FMVSS 116 sets no limit;
// its wet boiling point belongs to about 3.7 % (S6.2, the reference fluid's end point).
const (
	WatchWater = 1
	DueWater   = 3
)

// Finding is a verdict with its reason.
type Finding struct {
	Verdict verdict.Verdict
	Why     string
}

// JudgeBoiling judges a boiling point in degC measured in a car whose cap names the class: overdue below the class's
// wet minimum, due within Margin above it, else sound. Domain: 80 to 330 degC, what testers show.
// Source: 49 CFR 571.116 S5.1.2; Margin is common practice.
func JudgeBoiling(c Class, degC float64) (Finding, error) {
	l, ok := c.Limits()
	if !ok {
		return Finding{}, fmt.Errorf("no limits are known for %s", c)
	}
	if !(degC >= 80 && degC <= 330) {
		return Finding{}, fmt.Errorf("a boiling point of %v °C cannot be right; expected 80 to 330 °C", degC)
	}
	switch {
	case degC < l.Wet:
		return Finding{verdict.Overdue, "It boils below the wet minimum of its class."}, nil
	case degC < l.Wet+Margin:
		return Finding{verdict.Due, "It boils less than 25 degrees above the wet minimum of its class."}, nil
	}
	return Finding{verdict.Sound, "It boils well above the wet minimum of its class."}, nil
}

// JudgeWater judges a water share in percent by mass (0 to 15): due above DueWater, watch from WatchWater on. Silicone
// fluid does not take water up, so that a tester for glycol fluid says nothing of it: unjudged. Common practice.
func JudgeWater(c Class, percent float64) (Finding, error) {
	if _, ok := c.Limits(); !ok {
		return Finding{}, fmt.Errorf("no limits are known for %s", c)
	}
	if !(percent >= 0 && percent <= 15) {
		return Finding{}, fmt.Errorf("a water share of %v %% cannot be right; expected 0 to 15 %%", percent)
	}
	switch {
	case c.Silicone():
		return Finding{verdict.Unjudged, "Silicone fluid does not mix with water, so a water tester made for glycol fluid says nothing of it."}, nil
	case percent > DueWater:
		return Finding{verdict.Due, "It holds more than 3 % of water."}, nil
	case percent >= WatchWater:
		return Finding{verdict.Watch, "It has begun to take up water."}, nil
	}
	return Finding{verdict.Sound, "It holds less than 1 % of water."}, nil
}

// Worse gives the finding that is further from sound. The boiling point goes before a finding that judges nothing.
func Worse(a, b Finding) Finding {
	if b.Verdict.Worse(a.Verdict) {
		return b
	}
	return a
}

// dot3AtWater is the boiling point in degC of a DOT 3 fluid in service by percent of water. Source: a trade column and
// a published graph, both tertiary; typical, not a limit.
var dot3AtWater = curve.Curve{{X: 0, Y: 257}, {X: 1, Y: 187}, {X: 2, Y: 160}, {X: 3, Y: 145}, {X: 5, Y: 138}}

// Two ends of the graph for DOT 4: dry and at 5 % of water. Between them it is curved, and no point was read.
const (
	dot4Dry    = 268
	dot4AtFive = 166
)

// TypicalBoiling gives about where DOT 3 fluid boils, in degC, at a water share in percent from 0 to 5, and NaN for
// every other class: no points were at hand. Source: see dot3AtWater. Accuracy: 15 degrees.
func TypicalBoiling(c Class, water float64) float64 {
	if v, ok := dot3AtWater.At(water); ok && (c == DOT3 || c == ISO3) {
		return v
	}
	return math.NaN()
}
