package simulate

import (
	"witnessmark/core/round"
)

// spot is a place of the walk.
type spot struct {
	step round.Step
	at   string
}

// list gives the places of the round in walking order, thinned if the workshop asks for it: parts that wear and lives with a
// law of their own first, then an even choice of the others.
func (v *visit) list(i, n int) []spot {
	var all []spot
	for _, s := range v.c.walk(v.depth, v.hot) {
		for _, at := range s.Slots {
			all = append(all, spot{s, at})
		}
	}
	want := v.c.w.o.ReadingsPerRound
	if want <= 0 || want >= len(all) || n-i <= v.c.w.o.WholeRounds {
		return all
	}
	keep := make([]bool, len(all))
	left := want
	for k, s := range all {
		if p, _ := v.c.partOf(s.step.Point.ID, s.at); left > want/3 && (p != nil || s.step.Point.Renewal != nil) {
			keep[k] = true
			left--
		}
	}
	for _, k := range v.c.looks.Perm(len(all)) {
		if left > 0 && !keep[k] {
			keep[k] = true
			left--
		}
	}
	out := all[:0]
	for k, s := range all {
		if keep[k] {
			out = append(out, s)
		}
	}
	return out
}
