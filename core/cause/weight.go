package cause

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
)

// MaxLogOdds bounds log-odds: a probability of 0 or 1 has none that is finite.
const MaxLogOdds = 35.0

// Moved says how one piece of evidence moves a cause: the posterior with all evidence and without this piece.
type Moved struct {
	Variable      string
	Seen          Seen
	With, Without float64
	LogOdds       float64 // natural, With less Without: positive speaks for the cause; within -2..2 times MaxLogOdds
	Points        float64 // percentage points, With less Without
}

// LogOdds is ln(p/(1-p)), held within -MaxLogOdds..MaxLogOdds.
func LogOdds(p float64) float64 {
	if p <= 0 {
		return -MaxLogOdds
	}
	if p >= 1 {
		return MaxLogOdds
	}
	return max(-MaxLogOdds, min(MaxLogOdds, math.Log(p)-math.Log1p(-p)))
}

// Weight gives for each piece of evidence how it moves the presence of a cause, the strongest first: the posterior is worked out
// again without the piece. Two pieces that say the same each seem weak, because the other one remains. Evidence about the cause itself is left
// out. Errors as Posterior; the cause must have the state Present.
func (n *Network) Weight(e Evidence, cause string) ([]Moved, error) {
	with, err := n.presence(e, cause)
	if err != nil {
		return nil, err
	}
	out := []Moved{}
	for _, v := range slices.Sorted(maps.Keys(e)) {
		if v == cause {
			continue
		}
		without, err := n.presence(e.Without(v), cause)
		if err != nil {
			return nil, fmt.Errorf("without %q: %w", v, err)
		}
		out = append(out, Moved{Variable: v, Seen: e[v], With: with, Without: without,
			LogOdds: LogOdds(with) - LogOdds(without), Points: 100 * (with - without)})
	}
	slices.SortStableFunc(out, func(a, b Moved) int { return cmp.Compare(math.Abs(b.LogOdds), math.Abs(a.LogOdds)) })
	return out, nil
}

func (n *Network) presence(e Evidence, cause string) (float64, error) {
	b, err := n.Posterior(e)
	if err != nil {
		return 0, err
	}
	return b.P(cause, Present)
}
