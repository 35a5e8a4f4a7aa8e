package nextlook

// follow is the value of the one-step look-ahead of Heckerman, Breese & Rommelse 1995, followed to the end: at each state the better of the
// repairs in order, and each single check followed by the repairs in order. When the work is used up the repairs in order are the plan.
func (s *solver) follow(st state, w []float64) float64 {
	_, total := s.bound(w)
	if total <= 0 {
		return 0
	}
	if v, ok := s.greedy[st]; ok {
		return v
	}
	best, first := s.order(w)
	if s.work += 1 + 2*len(s.checks); s.work > s.limit {
		return best
	}
	check := -1
	for c := range s.checks {
		if (st.pos|st.neg)>>c&1 == 1 {
			continue
		}
		q := s.checks[c].Cost * total
		for _, outcome := range []bool{true, false} {
			v := s.seen(w, c, outcome)
			x, _ := s.order(v)
			q += x
			s.done(v)
		}
		if q < best*(1-tiny) {
			best, check = q, c
		}
	}
	var value float64
	switch {
	case check >= 0:
		value = s.checks[check].Cost*total + s.both(st, w, check, s.follow)
	case first >= 0:
		a := s.repairs[first]
		v := s.without(w, a.fixes)
		value = a.cost*total + s.follow(state{st.out | a.fixes, st.pos, st.neg}, v)
		s.done(v)
	default:
		value = s.escalate * total
	}
	s.greedy[st] = value
	return value
}

// both adds up what comes after the two outcomes of a check.
func (s *solver) both(st state, w []float64, check int, after func(state, []float64) float64) float64 {
	bit := uint64(1) << check
	v := s.seen(w, check, true)
	sum := after(state{st.out, st.pos | bit, st.neg}, v)
	s.done(v)
	v = s.seen(w, check, false)
	sum += after(state{st.out, st.pos, st.neg | bit}, v)
	s.done(v)
	return sum
}

// ahead is the value of the plan that searches depth steps exhaustively and then follows the one-step look-ahead. It is never
// worse than that: the plan of no steps is among those that it compares. Source: policy improvement, R. Howard, Dynamic
// Programming and Markov Processes (1960).
func (s *solver) ahead(st state, w []float64, depth int) float64 {
	low, total := s.bound(w)
	if total <= 0 {
		return 0
	}
	best := s.follow(st, w)
	if s.work++; depth == 0 || s.work > s.limit {
		return best
	}
	for r, a := range s.repairs {
		if gain(w, a.fixes) > 0 && a.cost*total+low-s.saved(w, a) < best {
			best = min(best, s.repairThen(st, w, r, total, depth-1))
		}
	}
	for c := range s.checks {
		if (st.pos|st.neg)>>c&1 == 0 && s.checks[c].Cost*total+low < best {
			best = min(best, s.checkThen(st, w, c, total, depth-1))
		}
	}
	return best
}

func (s *solver) saved(w []float64, a action) (x float64) {
	for i := range w {
		if a.fixes>>i&1 == 1 {
			x += w[i] * s.cheapest[i]
		}
	}
	return x
}

func (s *solver) repairThen(st state, w []float64, r int, total float64, depth int) float64 {
	a := s.repairs[r]
	v := s.without(w, a.fixes)
	defer s.done(v)
	return a.cost*total + s.ahead(state{st.out | a.fixes, st.pos, st.neg}, v, depth)
}

func (s *solver) checkThen(st state, w []float64, c int, total float64, depth int) float64 {
	return s.checks[c].Cost*total + s.both(st, w, c, func(st state, v []float64) float64 { return s.ahead(st, v, depth) })
}
