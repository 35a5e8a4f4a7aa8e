package nextlook

import "math/bits"

// without rules causes out.
func (s *solver) without(w []float64, fixes uint64) []float64 {
	v := s.vector()
	for i, x := range w {
		if fixes>>i&1 == 1 {
			x = 0
		}
		v[i] = x
	}
	return v
}

// seen weighs by the outcome of a check.
func (s *solver) seen(w []float64, check int, positive bool) []float64 {
	v := s.vector()
	for i, p := range s.checks[check].Positive {
		if !positive {
			p = 1 - p
		}
		v[i] = w[i] * p
	}
	return v
}

// gain is the weight that a repair would settle.
func gain(w []float64, fixes uint64) (p float64) {
	for f := fixes; f != 0; f &= f - 1 {
		p += w[bits.TrailingZeros64(f)]
	}
	return p
}

// order is the plan without checks that takes repairs by probability over cost and hands the car on where that is cheaper than going on:
// its value, and the repair that it begins with, or -1 for handing on.
func (s *solver) order(w []float64) (value float64, first int) {
	if !s.apart {
		return s.orderJoint(w)
	}
	_, rest := s.bound(w)
	value, first = s.escalate*rest, -1
	n := 0
	for r, a := range s.repairs {
		p := gain(w, a.fixes)
		if p <= 0 {
			continue
		}
		x := p / max(a.cost, tiny)
		k := n
		for ; k > 0 && s.ratio[k-1] < x; k-- {
			s.ratio[k], s.rank[k] = s.ratio[k-1], s.rank[k-1]
		}
		s.ratio[k], s.rank[k] = x, r
		n++
	}
	paid := 0.0
	for k := range n {
		a := s.repairs[s.rank[k]]
		paid += a.cost * rest
		if k == n-1 {
			rest = s.unfixed(w)
		} else {
			rest = max(0, rest-gain(w, a.fixes))
		}
		if x := paid + s.escalate*rest; x < value {
			value, first = x, s.rank[0]
		}
	}
	return value, first
}

// unfixed is the weight of the causes that no repair fixes.
func (s *solver) unfixed(w []float64) (p float64) {
	all := uint64(0)
	for _, a := range s.repairs {
		all |= a.fixes
	}
	for i, x := range w {
		if all>>i&1 == 0 {
			p += x
		}
	}
	return p
}

// orderJoint is order when repairs overlap: what one settles depends on those before.
func (s *solver) orderJoint(w []float64) (value float64, first int) {
	v := s.vector()
	defer s.done(v)
	copy(v, w)
	_, rest := s.bound(v)
	value, first = s.escalate*rest, -1
	paid, begin := 0.0, -1
	for rest > 0 {
		best, ratio := -1, 0.0
		for r, a := range s.repairs {
			if p := gain(v, a.fixes); p > 0 && (best < 0 || p > ratio*max(a.cost, tiny)) {
				best, ratio = r, p/max(a.cost, tiny)
			}
		}
		if best < 0 {
			break
		}
		if begin < 0 {
			begin = best
		}
		paid += s.repairs[best].cost * rest
		for f := s.repairs[best].fixes; f != 0; f &= f - 1 {
			v[bits.TrailingZeros64(f)] = 0
		}
		_, rest = s.bound(v)
		if x := paid + s.escalate*rest; x < value {
			value, first = x, begin
		}
	}
	return value, first
}
