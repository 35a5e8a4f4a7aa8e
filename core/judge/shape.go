package judge

import (
	"fmt"
	"math"

	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/verdict"
)

// Depth differences across one tyre that make a shape, in mm (practice: well above a tread gauge's half graduation).
const (
	shoulderMM = 0.8
	oneSideMM  = 1.0
)

// shapePoint is the point that a tyre's wear shape is kept under.
const shapePoint = "tyre-wear-shape"

// Shape names the wear shape that three tread depths make, in mm from inner to outer, as a state of tyre-wear-shape.
// Feathering and cupping can't be told from three depths.
func Shape(inner, middle, outer float64) string {
	low, high := math.Min(inner, outer), math.Max(inner, outer)
	switch {
	case tidy(middle-high) >= shoulderMM:
		return "both-shoulders"
	case tidy(low-middle) >= shoulderMM:
		return "centre"
	case tidy(high-low) >= oneSideMM:
		return "one-shoulder"
	}
	return "even"
}

// derivedShapes gives the wear shape of every tyre whose three depths were measured: a finding of its own where nobody
// looked at the shape, or where the depths say worse than the look.
func (j *judging) derivedShapes(p *point.Point) []Finding {
	shapes := j.cat.Point(shapePoint)
	if shapes == nil || !hasRule(p, "wear-shape") {
		return nil
	}
	var out []Finding
	for _, corner := range point.Corners {
		in, mid, outer, ok := j.depths(p, corner)
		if !ok {
			continue
		}
		s := shapes.StateByID(Shape(in, mid, outer))
		if s == nil {
			continue
		}
		if look := covering(j.by[shapePoint], corner); look != nil && look.Skipped == "" {
			if seen := shapes.StateByID(look.State); seen != nil && !s.Verdict.Worse(seen.Verdict) {
				continue
			}
		}
		f := Finding{Point: shapes, At: corner, Verdict: verdict.Unjudged, units: j.car.Units, Reading: &round.Reading{Point: shapePoint, At: corner, State: s.ID}}
		j.state(&f)
		f.Why = fmt.Sprintf("Inner %s, middle %s, outer %s: %s", f.amount(in, "mm"), f.amount(mid, "mm"), f.amount(outer, "mm"), lowerFirst(f.Why))
		out = append(out, f)
	}
	return out
}

func hasRule(p *point.Point, name string) bool {
	for _, r := range p.Rules {
		if r.Name == name {
			return true
		}
	}
	return false
}

func (j *judging) depths(p *point.Point, corner string) (in, mid, out float64, ok bool) {
	in, ok1 := value(j.by[p.ID][corner+"/inner"], "mm")
	mid, ok2 := value(j.by[p.ID][corner+"/middle"], "mm")
	out, ok3 := value(j.by[p.ID][corner+"/outer"], "mm")
	return in, mid, out, ok1 && ok2 && ok3
}

// derived reports whether a place without a reading of its own is known from other readings.
func (j *judging) derived(p *point.Point, slot string) bool {
	if p.ID != shapePoint {
		return false
	}
	for _, q := range j.cat.Points {
		if hasRule(q, "wear-shape") {
			_, _, _, ok := j.depths(q, slot)
			return ok
		}
	}
	return false
}
