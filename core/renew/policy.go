package renew

import (
	"errors"
	"fmt"
	"math"
)

// Policy is the best age to renew at and what it is worth.
type Policy struct {
	T            float64 // the age to renew at, in units of age; 0 when there is none
	Finite       bool    // whether there is such an age; otherwise the part runs to failure
	CostRate     float64 // cost in one unit of age under this policy
	RunToFailure float64 // cost in one unit of age when nothing is renewed before it fails; 0 when Unbounded
	Unbounded    bool    // the mean life has no bound: the cost of running to failure can't be determined
	FlatLow      float64 // from here ...
	FlatHigh     float64 // ... to here the cost is within 1 % of the best; +Inf: renewing later never costs 1 % more
	Saving       float64 // share of the cost of running to failure that is saved, 0 to 1
	Reason       string  // one sentence
}

// flatness is how much dearer than the best the flat region may be.
const flatness = 0.01

// leastSaving is the share below which a saving is rounding and the part runs to failure.
const leastSaving = 1e-14

// Optimum finds the age at which renewal costs least in the long run. The hazard may rise and fall: every local minimum
// is compared, and with running to failure. Age and cost are precise to about 1e-10 of their value.
//
// An error tells which parameter is out of range. No finite age is the answer, not an error, when a failure costs no
// more than a planned renewal, when the hazard does not rise enough, or when the saving is below 1e-14.
//
// With an unbounded mean life (a heavy-tailed posterior) running to failure has no cost that can be stated; the best
// finite age up to the age that one life in 100 survives is then given, with Unbounded set.
func Optimum(d Dist, cp, cf float64) (Policy, error) {
	if err := check(d, cp, cf); err != nil {
		return Policy{}, err
	}
	s := newSearch(d, cp, cf)
	p := Policy{RunToFailure: s.never, Unbounded: s.unbounded}
	var best minimum
	switch {
	case cf > cp:
		best = s.best()
	case s.unbounded:
		best.t = 0
	}
	if best.t > 0 {
		p.T, p.Finite, p.CostRate, p.Saving = best.t, true, s.cost(best.t), best.saving
		p.FlatLow, p.FlatHigh = s.flat(best.t, p.CostRate)
	} else {
		p.CostRate = s.never
		p.FlatLow, p.FlatHigh = s.flat(math.Inf(1), p.CostRate)
	}
	p.Reason = reason(p, d, cp, cf)
	return p, p.sound()
}

func check(d Dist, cp, cf float64) error {
	if d == nil {
		return errors.New("there is no distribution of the life")
	}
	if err := d.Check(); err != nil {
		return err
	}
	if err := within("cp", cp, leastCost, mostCost); err != nil {
		return err
	}
	return within("cf", cf, leastCost, mostCost)
}

// sound refuses a policy with a figure that is no number, so that none can reach a user.
func (p Policy) sound() error {
	for _, v := range []float64{p.T, p.CostRate, p.RunToFailure, p.FlatLow, p.Saving} {
		if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
			return errors.New("the life is spread so widely that no cost rate can be computed")
		}
	}
	if math.IsNaN(p.FlatHigh) {
		return errors.New("the flat region can't be computed")
	}
	return nil
}

// reason says in one sentence why the policy is what it is.
func reason(p Policy, d Dist, cp, cf float64) string {
	w, isWeibull := d.(Weibull)
	switch {
	case cf <= cp:
		return "A failure costs no more than a planned renewal, so renewing early gains nothing."
	case p.Finite && p.Unbounded:
		return "The mean life has no bound, so what running to failure costs can't be determined; this is the best age within what is known of the life."
	case p.Unbounded:
		return "The mean life has no bound, so neither a best age nor what running to failure costs can be determined."
	case p.Finite && p.Saving < flatness:
		return "Renewing at this age saves less than 1 % against running to failure: hardly worth a plan."
	case p.Finite:
		return fmt.Sprintf("Renewing at this age saves %.0f %% against running to failure.", 100*p.Saving)
	case isWeibull && w.Shape <= 1:
		return "The risk of failure does not rise with age (shape 1 or less), so a new part is no safer from failing than the old one."
	}
	return "The risk of failure rises too little for what a failure costs: renewing early saves nothing."
}
