package cause

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// Impossible is the error about evidence that can't be true. Conflict names pieces that can't be together although all but any
// one of them could.
type Impossible struct {
	Conflict []string // variables, in the order of the alphabet
	Seen     Evidence // all that was given
}

// Error names the pieces.
func (i *Impossible) Error() string {
	parts := make([]string, len(i.Conflict))
	for k, v := range i.Conflict {
		parts[k] = fmt.Sprintf("%s = %s", v, i.Seen[v])
	}
	if len(parts) == 1 {
		return "impossible evidence: " + parts[0] + " has probability 0"
	}
	return "impossible evidence: " + strings.Join(parts, ", ") + " can't be true together"
}

// impossible explains a probability of 0: ErrFaint when it only underflowed, else the smallest conflict that leaving pieces out one by one
// finds.
func (n *Network) impossible(e Evidence) error {
	can, err := n.possible(e)
	if err != nil {
		return err
	}
	if can {
		return ErrFaint
	}
	left := e
	for _, v := range slices.Sorted(maps.Keys(e)) {
		less := left.Without(v)
		can, err := n.possible(less)
		if err != nil {
			return err
		}
		if !can {
			left = less
		}
	}
	return &Impossible{Conflict: slices.Sorted(maps.Keys(left)), Seen: maps.Clone(e)}
}

// possible says whether evidence can be: the same sums with every positive number replaced by one that can't underflow.
func (n *Network) possible(e Evidence) (bool, error) {
	k, err := n.resolve(e)
	if err != nil {
		return false, err
	}
	for i := range k.like {
		k.like[i] = signs(k.like[i], 1)
	}
	coarse := *n
	coarse.nodes = slices.Clone(n.nodes)
	for i := range coarse.nodes {
		nd := &coarse.nodes[i]
		nd.rows = signs(nd.rows, 1)
		nd.leak = middle(nd.leak)
		nd.q = slices.Clone(nd.q)
		for x := range nd.q {
			nd.q[x] = slices.Clone(nd.q[x])
			for s, q := range nd.q[x] {
				nd.q[x][s] = middle(q)
			}
		}
	}
	prob, err := coarse.run(k, nil)
	return prob.m > 0, err
}

// signs replaces what is positive by x; nil stays nil.
func signs(v []float64, x float64) []float64 {
	if v == nil {
		return nil
	}
	out := make([]float64, len(v))
	for i := range v {
		if v[i] > 0 {
			out[i] = x
		}
	}
	return out
}

// middle is 0, 1/2 or 1.
func middle(p float64) float64 {
	switch {
	case p <= 0:
		return 0
	case p >= 1:
		return 1
	}
	return 0.5
}
