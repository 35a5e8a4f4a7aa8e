package life

import (
	"fmt"
	"math"
)

// Kind is what an observation says of a life T.
type Kind int

// The kinds of observations.
const (
	Clear   Kind = iota // seen still good at At
	Dark                // seen turned at At
	Exact               // turned at At
	Between             // turned between Lower and Upper
	Steps               // imperfect looks at one fill together, see Observation
)

// String gives the kind's name.
func (k Kind) String() string {
	if k < Clear || k > Steps {
		return fmt.Sprintf("Kind(%d)", int(k))
	}
	return [...]string{"clear", "dark", "exact", "interval", "steps"}[k]
}

// Observation is what was seen of one life. At, Lower and Upper are exposures since renewal, positive and finite.
//
// Sensitivity is the probability that a look at a turned thing says so, Specificity that a look at a good one says that it is good;
// both apply to Clear and Dark only, and 0 means 1 (the look does not err). Count is how many equal observations, of different lives,
// there are; 0 means 1.
//
// Steps is the likelihood of several imperfect looks at one life: they err independently of each other given T, so the likelihood
// is constant between looks. Breaks are the exposures of the looks in order; Weights, one more than Breaks, are the likelihood of
// all looks for T up to the first break, between the first and the second, ..., beyond the last. Merge makes them.
type Observation struct {
	Kind                     Kind
	At, Lower, Upper         float64
	Sensitivity, Specificity float64
	Count                    int
	Breaks, Weights          []float64
}

// ErrObservation is an observation that cannot be.
type ErrObservation struct {
	Index int    // in the list handed over, from 0
	Field string // at, lower, upper, sensitivity, specificity, count, steps or kind
	Text  string
}

// Error names the observation, counted from 1, and what was expected.
func (e *ErrObservation) Error() string {
	return fmt.Sprintf("observation %d: %s", e.Index+1, e.Text)
}

// orOne is 1 for the zero value.
func orOne(x float64) float64 {
	if x == 0 {
		return 1
	}
	return x
}

func (o Observation) count() float64 { return math.Max(1, float64(o.Count)) }

// perfect says whether a look cannot err.
func (o Observation) perfect() bool { return orOne(o.Sensitivity) == 1 && orOne(o.Specificity) == 1 }

// check gives what is wrong, and with which field.
func (o Observation) check() (field, text string) {
	exposure := func(x float64) bool { return x > 0 && !math.IsInf(x, 0) }
	part := func(x float64) bool { return x == 0 || x > 0 && x <= 1 }
	if o.Count < 0 {
		return "count", fmt.Sprintf("count is %d; expected 1 or more", o.Count)
	}
	switch o.Kind {
	case Clear, Dark, Exact:
		if !exposure(o.At) {
			return "at", fmt.Sprintf("%v at %v; expected an exposure above 0", o.Kind, o.At)
		}
		if !part(o.Sensitivity) {
			return "sensitivity", fmt.Sprintf("sensitivity is %v; expected above 0, at most 1", o.Sensitivity)
		}
		if !part(o.Specificity) {
			return "specificity", fmt.Sprintf("specificity is %v; expected above 0, at most 1", o.Specificity)
		}
		if o.Kind == Exact && !o.perfect() {
			return "kind", "an exact life has no sensitivity or specificity"
		}
	case Between:
		if !exposure(o.Lower) {
			return "lower", fmt.Sprintf("lower is %v; expected an exposure above 0", o.Lower)
		}
		if !exposure(o.Upper) || o.Upper <= o.Lower {
			return "upper", fmt.Sprintf("upper is %v; expected an exposure above lower, %v", o.Upper, o.Lower)
		}
		if !o.perfect() {
			return "kind", "an interval has no sensitivity or specificity; looks that can err go through Merge"
		}
	case Steps:
		return o.checkSteps()
	default:
		return "kind", fmt.Sprintf("%v is no kind of observation", o.Kind)
	}
	return "", ""
}

func (o Observation) checkSteps() (field, text string) {
	if len(o.Breaks) == 0 || len(o.Weights) != len(o.Breaks)+1 {
		return "steps", fmt.Sprintf("%d breaks and %d weights; expected at least one break and one weight more than breaks", len(o.Breaks), len(o.Weights))
	}
	last := 0.0
	for _, b := range o.Breaks {
		if !(b > last) || math.IsInf(b, 0) {
			return "steps", fmt.Sprintf("break %v follows %v; expected exposures above 0 that rise", b, last)
		}
		last = b
	}
	some := false
	for _, w := range o.Weights {
		if !(w >= 0) || math.IsInf(w, 0) {
			return "steps", fmt.Sprintf("weight %v; expected a finite likelihood of at least 0", w)
		}
		some = some || w > 0
	}
	if !some {
		return "steps", "all weights are 0: the looks contradict each other"
	}
	return "", ""
}
