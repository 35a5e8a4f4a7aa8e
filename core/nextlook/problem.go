package nextlook

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"witnessmark/core/cause"
)

// Problem is a complaint about a car, put in terms of a network: what may be behind it, what can be looked at and what can be done. Times are
// in minutes, money in any one unit, Rate in money per minute.
type Problem struct {
	Net     *cause.Network
	Seen    cause.Evidence
	Causes  []string // nodes with the state Present that may be behind the complaint
	Repairs []Job
	Looks   []Look
	Setups  []Setup // by index into Repairs; Cost in money
	Rate    float64
	HandOn  float64 // money
}

// Job is a repair of one or more causes.
type Job struct {
	ID             string
	Fixes          []string
	Minutes, Money float64
}

// Look is a check: a node of the network that was not looked at yet, and the state that counts as positive (Present when empty).
type Look struct {
	ID, Variable, Positive string
	Minutes, Money         float64
}

// Other is the cause that stands for everything that is not listed: no repair fixes it.
const Other = "something else"

// MaxCandidates bounds the causes that a case takes from a network; the less probable ones are left out.
const MaxCandidates = 12

// ErrSeveral says that no single cause explains what was seen.
var ErrSeveral = errors.New("no single cause explains what was seen")

// candidate is one cause as the only one, with its weight P(evidence, only this one).
type candidate struct {
	id    string
	log   float64
	alone *cause.Belief
}

// Pose turns a problem into a case under the assumption that one of its causes alone is present, or none of them (Other): the prior is P(only this
// cause | seen) and a check's probability P(positive | seen, only this cause), both exact in the network. Looks that are in the
// evidence, and those that tell nothing apart, are left out. Errors: those of cause.Network.Posterior, unknown names, ErrSeveral.
func Pose(p Problem) (Case, error) {
	known, err := p.candidates()
	if err != nil {
		return Case{}, err
	}
	c := Case{Escalate: p.HandOn, Setups: p.Setups}
	top := known[0].log
	sum := 0.0
	for _, k := range known {
		w := math.Exp(k.log - top)
		c.Causes, c.Prior = append(c.Causes, k.id), append(c.Prior, w)
		sum += w
	}
	for i := range c.Prior {
		c.Prior[i] /= sum
	}
	for _, j := range p.Repairs {
		r := Repair{ID: j.ID, Cost: j.Minutes*p.Rate + j.Money}
		for _, f := range j.Fixes {
			if i := slices.Index(c.Causes, f); i >= 0 {
				r.Fixes = append(r.Fixes, i)
			} else if !slices.Contains(p.Causes, f) {
				return Case{}, fmt.Errorf("repair %q fixes %q, which is not among the causes", j.ID, f)
			}
		}
		c.Repairs = append(c.Repairs, r)
	}
	for _, l := range p.Looks {
		if _, done := p.Seen[l.Variable]; done {
			continue
		}
		check := Check{ID: l.ID, Cost: l.Minutes*p.Rate + l.Money}
		state := l.Positive
		if state == "" {
			state = cause.Present
		}
		for _, k := range known {
			x, err := k.alone.P(l.Variable, state)
			if err != nil {
				return Case{}, fmt.Errorf("check %q: %w", l.ID, err)
			}
			check.Positive = append(check.Positive, x)
		}
		if slices.Max(check.Positive)-slices.Min(check.Positive) > 1e-9 {
			c.Checks = append(c.Checks, check)
		}
	}
	return c, c.Check()
}

// candidates weighs every cause as the only one, the heaviest first, and Other where that can be.
func (p Problem) candidates() ([]candidate, error) {
	if _, err := p.Net.Posterior(p.Seen); err != nil {
		return nil, err
	}
	none := p.Seen
	for _, id := range p.Causes {
		states, ok := p.Net.States(id)
		if !ok || !slices.Contains(states, cause.Present) || !slices.Contains(states, cause.Absent) {
			return nil, fmt.Errorf("cause %q is not in the network, or can't be present and absent", id)
		}
		if _, seen := p.Seen[id]; !seen {
			none = none.With(id, cause.Is(cause.Absent))
		}
	}
	var out []candidate
	add := func(id string, e cause.Evidence) error {
		b, err := p.Net.Posterior(e)
		var never *cause.Impossible
		if errors.As(err, &never) || errors.Is(err, cause.ErrFaint) {
			return nil
		}
		if err == nil {
			out = append(out, candidate{id, b.LogProbEvidence(), b})
		}
		return err
	}
	for _, id := range p.Causes {
		if _, seen := p.Seen[id]; seen {
			continue // settled already
		}
		if err := add(id, none.With(id, cause.Is(cause.Present))); err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(out, func(a, b candidate) int { return cmp.Compare(b.log, a.log) })
	out = out[:min(len(out), MaxCandidates)]
	if err := add(Other, none); err != nil {
		return nil, err
	}
	if len(out) == 0 {
		return nil, ErrSeveral
	}
	slices.SortStableFunc(out, func(a, b candidate) int { return cmp.Compare(b.log, a.log) })
	return out, nil
}
