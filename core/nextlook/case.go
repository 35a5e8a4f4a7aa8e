// Package nextlook chooses what to do next about a complaint: a check, a repair, or handing the car on, so that the expected cost until the
// job is done is smallest. Exactly one cause is taken to be present; costs may be in any one unit (money; minutes times a rate).
//
// Sources: D. Heckerman, J. Breese & K. Rommelse, "Decision-theoretic troubleshooting", Comm. ACM 38(3) (1995) 49, for the model and the
// one-step look-ahead; R. Bellman, Dynamic Programming (1957), for the exact solution over what has been tried and seen.
package nextlook

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Case is one troubleshooting problem. A cause that no repair fixes ends only with handing the car on.
type Case struct {
	Causes   []string
	Prior    []float64 // sum 1
	Repairs  []Repair
	Checks   []Check
	Setups   []Setup
	Escalate float64 // cost of handing the car on; it ends the job for certain
}

// Repair costs Cost, its verification included. If one of the causes that it fixes is the true one, the job ends; otherwise these are ruled
// out and work goes on.
type Repair struct {
	ID    string
	Fixes []int
	Cost  float64
}

// Check has two outcomes; Positive is P(positive | cause) by cause. Checks are independent given the cause, and repeating one gives nothing new.
type Check struct {
	ID       string
	Cost     float64
	Positive []float64
}

// Setup is labour that is paid once each time any of its repairs are done (wheels off, coolant drained): their own costs are without
// it. Repairs that share one set-up can be done together, as one action that pays it once.
type Setup struct {
	Cost    float64
	Repairs []int
}

// Most causes and checks that a case may have: both are kept as bits of a word.
const (
	MaxCauses = 64
	MaxChecks = 64
)

// MaxPriorError is how far the priors may sum from 1; they are taken as they stand.
const MaxPriorError = 1e-6

// maxTogether is the number of repairs under one set-up up to which every combination is tried; beyond it only those in the order of
// probability over cost.
const maxTogether = 4

// cost says whether x can be one.
func cost(x float64) bool { return x >= 0 && x <= 1e12 }

// Check says everything that is wrong with the case.
func (c Case) Check() error {
	var wrong []error
	bad := func(format string, args ...any) { wrong = append(wrong, fmt.Errorf(format, args...)) }
	n := len(c.Causes)
	if n == 0 || n > MaxCauses {
		bad("%d causes; 1 to %d can be handled", n, MaxCauses)
	}
	if len(c.Checks) > MaxChecks {
		bad("%d checks; at most %d can be handled", len(c.Checks), MaxChecks)
	}
	if len(c.Prior) != n {
		bad("%d priors for %d causes", len(c.Prior), n)
	}
	sum := 0.0
	for i, p := range c.Prior {
		if !(p >= 0 && p <= 1) {
			bad("prior %d is %v; expected a probability", i+1, p)
		}
		sum += p
	}
	if !(math.Abs(sum-1) <= MaxPriorError) {
		bad("the priors sum to %.9g; exactly one cause is present, so expected 1", sum)
	}
	if !cost(c.Escalate) {
		bad("handing on costs %v; expected 0 to 1e12", c.Escalate)
	}
	c.names(bad)
	for _, k := range c.Checks {
		if !cost(k.Cost) {
			bad("check %q costs %v; expected 0 to 1e12", k.ID, k.Cost)
		}
		if len(k.Positive) != n {
			bad("check %q has %d probabilities for %d causes", k.ID, len(k.Positive), n)
		}
		for _, p := range k.Positive {
			if !(p >= 0 && p <= 1) {
				bad("check %q: %v is no probability", k.ID, p)
			}
		}
	}
	c.repairs(bad)
	return errors.Join(wrong...)
}

func (c Case) names(bad func(string, ...any)) {
	seen := map[string]bool{}
	name := func(kind, id string) {
		if key := kind + " " + id; id == "" || seen[key] {
			bad("%s %q has no name or is there twice", kind, id)
		} else {
			seen[key] = true
		}
	}
	for _, id := range c.Causes {
		name("cause", id)
	}
	for _, k := range c.Checks {
		name("check", k.ID)
	}
	for _, r := range c.Repairs {
		name("repair", r.ID)
	}
}

func (c Case) repairs(bad func(string, ...any)) {
	for _, r := range c.Repairs {
		if !cost(r.Cost) {
			bad("repair %q costs %v; expected 0 to 1e12", r.ID, r.Cost)
		}
		for _, f := range r.Fixes {
			if f < 0 || f >= len(c.Causes) {
				bad("repair %q fixes cause %d of %d", r.ID, f+1, len(c.Causes))
			}
		}
	}
	in := make([]bool, len(c.Repairs))
	for k, s := range c.Setups {
		if !cost(s.Cost) {
			bad("set-up %d costs %v; expected 0 to 1e12", k+1, s.Cost)
		}
		for _, r := range s.Repairs {
			if r < 0 || r >= len(in) || in[r] {
				bad("set-up %d: repair %d does not exist or has a set-up already", k+1, r+1)
			} else {
				in[r] = true
			}
		}
	}
}

// actions lists the repairs with their set-ups paid, and those that share one done together.
func (c Case) actions() []Repair {
	out := make([]Repair, len(c.Repairs))
	copy(out, c.Repairs)
	for _, s := range c.Setups {
		for _, r := range s.Repairs {
			out[r].Cost += s.Cost
		}
		for _, group := range c.groups(s) {
			joint := Repair{Cost: s.Cost}
			var ids []string
			for _, r := range group {
				ids = append(ids, c.Repairs[r].ID)
				joint.Cost += c.Repairs[r].Cost
				joint.Fixes = append(joint.Fixes, c.Repairs[r].Fixes...)
			}
			joint.ID = strings.Join(ids, "+")
			out = append(out, joint)
		}
	}
	return out
}

// groups are the combinations of two repairs or more under one set-up.
func (c Case) groups(s Setup) (out [][]int) {
	order := slices.Clone(s.Repairs)
	if len(order) > maxTogether {
		gain := func(r int) float64 {
			p := 0.0
			for _, f := range c.Repairs[r].Fixes {
				p += c.Prior[f]
			}
			return p / max(c.Repairs[r].Cost, 1e-12)
		}
		slices.SortStableFunc(order, func(a, b int) int {
			if x, y := gain(a), gain(b); x > y {
				return -1
			} else if x < y {
				return 1
			}
			return 0
		})
		for k := 2; k <= len(order); k++ {
			out = append(out, order[:k])
		}
		return out
	}
	for set := 1; set < 1<<len(order); set++ {
		var group []int
		for k, r := range order {
			if set>>k&1 == 1 {
				group = append(group, r)
			}
		}
		if len(group) > 1 {
			out = append(out, group)
		}
	}
	return out
}
