package nextlook

import "math"

// gridFactor is the number of states of the full table that take about as long as one state of the pruned search.
const gridFactor = 64

// exactly values every first step with the best plan after it: by the pruned search, or by the full table where that has room.
func exactly(c Case, limit int) (options []Option, exact bool, work int) {
	s := newSolver(c, limit)
	_, total := s.bound(c.Prior)
	options = c.steps()
	s.value(state{}, c.Prior, math.Inf(1)) // the best first: it fills the memory with what prunes the others
	for i := range options {
		if s.over {
			break
		}
		o := &options[i]
		switch o.Kind {
		case HandOn:
			o.Expected = s.escalate * total
		case DoRepair:
			a := s.repairs[o.index]
			o.Expected = a.cost*total + s.value(state{out: a.fixes}, s.without(c.Prior, a.fixes), math.Inf(1))
		case DoCheck:
			o.Expected = o.Cost*total + s.both(state{}, c.Prior, o.index, func(st state, v []float64) float64 { return s.value(st, v, math.Inf(1)) })
		}
		o.Exact = true
	}
	if !s.over {
		return options, true, s.work
	}
	if gridStates(c) > float64(limit)*gridFactor {
		return options, false, limit
	}
	g := newGrid(c)
	for i := range options {
		options[i].Expected, options[i].Exact = g.expect(options[i]), true
	}
	return options, true, limit + len(g.value)
}

// maxDepth bounds the look-ahead.
const maxDepth = 8

// leastLook is the number of plans without checks that the look-ahead may work out however low the limit is set: enough to follow it to the end in ordinary cases.
const leastLook = 40_000

// look values every first step with the plan of the look-ahead after it, deeper and deeper as far as the work allows.
func look(c Case, limit int) ([]Option, int) {
	s := newSolver(c, max(10*limit, leastLook))
	_, total := s.bound(c.Prior)
	best := c.steps()
	s.follow(state{}, c.Prior) // first and to its end: no answer may be worse
	for depth := 0; depth <= maxDepth; depth++ {
		for i := range best {
			best[i].Exact = false
			if depth > 0 && s.work > s.limit {
				return best, s.work
			}
			o := &best[i]
			x := s.escalate * total
			switch o.Kind {
			case DoRepair:
				x = s.repairThen(state{}, c.Prior, o.index, total, depth)
			case DoCheck:
				x = s.checkThen(state{}, c.Prior, o.index, total, depth)
			}
			if depth == 0 || x < o.Expected {
				o.Expected = x
			}
		}
	}
	return best, s.work
}
