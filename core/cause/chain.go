package cause

import "slices"

// split is a part of a problem with every gate taken apart into a chain: y1 = leak or first parent, y2 = y1 or second parent, ... so that
// no table has more than three variables and every entry is positive: nothing cancels.
// Source: the decomposition of independent causes, Heckerman & Breese, IEEE Trans. SMC-A 26 (1996) 826.
type split struct {
	card    []int
	local   map[int]int // variable of the problem -> variable here
	factors []factor
}

// chains numbers the variables of a part afresh and takes its gates apart. rank orders the parents in every chain.
func chains(p *problem, x part, rank map[int]int) *split {
	s := &split{local: make(map[int]int, len(x.vars))}
	for i, v := range x.vars {
		s.local[v] = i
		s.card = append(s.card, p.card[v])
	}
	for _, f := range x.factors {
		vars := make([]int, len(f.vars))
		for i, v := range f.vars {
			vars[i] = s.local[v]
		}
		s.factors = append(s.factors, factor{vars, f.val})
	}
	for _, g := range x.gates {
		s.addChain(g, rank)
	}
	return s
}

func (s *split) addChain(g gate, rank map[int]int) {
	order := make([]int, len(g.parents))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return rank[g.parents[a]] - rank[g.parents[b]] })
	if len(order) == 0 { // only a gate with a child is left without parents
		s.factors = append(s.factors, factor{[]int{s.local[g.child]}, []float64{1 - g.leak, g.leak}})
		return
	}
	prev := -1
	for k, i := range order {
		par, q := s.local[g.parents[i]], g.q[i]
		last := k == len(order)-1
		next := -1
		if !last {
			next = len(s.card)
			s.card = append(s.card, 2)
		} else if g.child >= 0 {
			next = s.local[g.child]
		}
		s.factors = append(s.factors, s.step(g, prev, par, next, q))
		prev = next
	}
}

// step is the factor of (prev, par, next); prev < 0 stands for the leak, next < 0 for the end with the weights of the gate.
func (s *split) step(g gate, prev, par, next int, q []float64) factor {
	var f factor
	if prev >= 0 {
		f.vars = append(f.vars, prev)
	}
	f.vars = append(f.vars, par)
	if next >= 0 {
		f.vars = append(f.vars, next)
	}
	states := []float64{0, 1} // the probability that the gate is on so far
	if prev < 0 {
		states = []float64{g.leak}
	}
	for _, on := range states {
		for _, x := range q {
			p1, p0 := either(on, x), (1-on)*(1-x)
			if next >= 0 {
				f.val = append(f.val, p0, p1)
			} else {
				f.val = append(f.val, g.off*p0+g.on*p1)
			}
		}
	}
	return f
}
