package cause

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
)

// Seen is what is known of one variable: a State, or a Likelihood when it was not seen clearly. The likelihood gives for each state
// how probable the impression ("looks slightly damp") is when that state is the true one; only ratios matter to the posterior; states that are not
// listed have 0. Source: virtual evidence, Pearl 1988, 2.2.2.
type Seen struct {
	State      string
	Likelihood map[string]float64
}

// Is is a state that was seen clearly: Is(Present), or Is(Absent) for "looked, and it is not there".
func Is(state string) Seen { return Seen{State: state} }

// Looks is an impression: how probable it is when the finding is present, and when it is absent.
func Looks(present, absent float64) Seen {
	return Seen{Likelihood: map[string]float64{Present: present, Absent: absent}}
}

// Evidence is what is known, by variable. What was not looked at is not in it: that is no evidence.
type Evidence map[string]Seen

// With is a copy of the evidence with one more piece.
func (e Evidence) With(variable string, s Seen) Evidence {
	out := make(Evidence, len(e)+1)
	maps.Copy(out, e)
	out[variable] = s
	return out
}

// Without is a copy of the evidence without one variable.
func (e Evidence) Without(variable string) Evidence {
	out := make(Evidence, len(e))
	maps.Copy(out, e)
	delete(out, variable)
	return out
}

// String is the state, or the likelihoods in the order of the states' names.
func (s Seen) String() string {
	if s.Likelihood == nil {
		return s.State
	}
	var parts []string
	for _, state := range slices.Sorted(maps.Keys(s.Likelihood)) {
		parts = append(parts, fmt.Sprintf("%s:%g", state, s.Likelihood[state]))
	}
	return "likelihood " + strings.Join(parts, " ")
}

// ErrEvidence is wrapped by errors about evidence that can't be read: an unknown variable or state, a likelihood that is negative,
// infinite or zero everywhere.
var ErrEvidence = errors.New("evidence")

// known is evidence by node: like is nil where nothing is known; hard is the only state that is left, or -1.
type known struct {
	like [][]float64
	hard []int
}

// resolve translates names into numbers.
func (n *Network) resolve(e Evidence) (known, error) {
	k := known{like: make([][]float64, len(n.nodes)), hard: make([]int, len(n.nodes))}
	for i := range k.hard {
		k.hard[i] = -1
	}
	var wrong []error
	for _, id := range slices.Sorted(maps.Keys(e)) {
		i, ok := n.index[id]
		if !ok {
			wrong = append(wrong, fmt.Errorf("%w: there is no variable %q", ErrEvidence, id))
			continue
		}
		if err := k.set(i, &n.nodes[i], e[id]); err != nil {
			wrong = append(wrong, err)
		}
	}
	return k, errors.Join(wrong...)
}

func (k known) set(i int, nd *node, s Seen) error {
	like := make([]float64, len(nd.states))
	given := s.Likelihood
	if given == nil {
		given = map[string]float64{s.State: 1}
	} else if s.State != "" {
		return fmt.Errorf("%w: %q has a state and a likelihood; give one", ErrEvidence, nd.id)
	}
	left := 0
	for _, state := range slices.Sorted(maps.Keys(given)) {
		at, l := slices.Index(nd.states, state), given[state]
		if at < 0 {
			return fmt.Errorf("%w: %q has no state %q; it has %s", ErrEvidence, nd.id, state, strings.Join(nd.states, ", "))
		}
		if l < 0 || math.IsNaN(l) || math.IsInf(l, 0) {
			return fmt.Errorf("%w: %q: %v is no likelihood", ErrEvidence, nd.id, l)
		}
		if like[at] = l; l > 0 {
			left++
			k.hard[i] = at
		}
	}
	if left == 0 {
		return fmt.Errorf("%w: %q: no state is left that could be true", ErrEvidence, nd.id)
	}
	if left > 1 {
		k.hard[i] = -1
	}
	k.like[i] = like
	return nil
}
