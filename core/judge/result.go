// Package judge turns readings into findings: a verdict with its reason in one sentence, the limit and where it comes
// from, what follows, and what could not be judged. It is pure: the same readings, car and catalogue give the same bytes.
package judge

import (
	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/unit"
	"witnessmark/core/verdict"
)

// Finding is what a look or a measurement says about the car.
type Finding struct {
	Point *point.Point
	// At is the position the finding speaks of: a slot's, an axle's for left against right, a corner's for inner against outer, or empty.
	At string
	// Where is At in words, empty for the car as a whole.
	Where   string
	Verdict verdict.Verdict
	// Why is one sentence in the technician's words.
	Why string
	// Limit is what it was judged against; nil when there is only a source.
	Limit *LimitShown
	// Source says where the verdict comes from, in words.
	Source string
	// Category is the regulation's own class for a failing finding ("major"), Regulation the item; both empty if none.
	Category, Regulation string
	Jobs                 []string
	Cautions             []string
	Recheck              string
	// Quantities is what the jobs take on this car.
	Quantities []Quantity
	// Means and Wait speak to the owner: what it means, and what happens if one waits.
	Means, Wait string
	// Reading is what was read; nil for findings that compare several.
	Reading *round.Reading
	// units is how the sentence writes its numbers.
	units unit.System
}

// LimitShown is the figure that a value was judged against.
type LimitShown struct {
	Value  float64
	Unit   string
	Source string
	// Falls is true when smaller values are worse.
	Falls bool
	// Got is the value that was compared, in the same unit (a derived value where the point has one).
	Got float64
}

// NotLooked is an applicable place without a reading, with the reason.
type NotLooked struct {
	Point  *point.Point
	At     string
	Reason string
}

// NotApplicable is a point that the car does not have, with the reason.
type NotApplicable struct {
	Point  *point.Point
	Reason string
}

// Result is a whole round, judged.
type Result struct {
	// Findings are in order: worst first, then by consequence, then in walking order.
	Findings      []Finding
	NotLooked     []NotLooked
	NotApplicable []NotApplicable
	// Places and Looked count the places (points x positions) that apply and that were looked at.
	Places, Looked int
	// Catalogue is the version that judged.
	Catalogue string
}

// Worst gives the worst verdict of the findings, and sound when there is none.
func (r *Result) Worst() verdict.Verdict {
	w := verdict.Sound
	for i := range r.Findings {
		w = w.AtLeast(r.Findings[i].Verdict)
	}
	return w
}

// Count gives the number of findings with a verdict.
func (r *Result) Count(v verdict.Verdict) int {
	n := 0
	for i := range r.Findings {
		if r.Findings[i].Verdict == v {
			n++
		}
	}
	return n
}
