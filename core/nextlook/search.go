package nextlook

import (
	"math"
	"math/bits"
)

// state is what was tried and seen: causes ruled out, checks that were positive, and negative.
type state struct{ out, pos, neg uint64 }

// solver holds a case in the form in which it is searched. All values are weighted: the probability of the state times the expected cost
// from there, so that the values of outcomes simply add up.
type solver struct {
	prior    []float64
	repairs  []action
	checks   []Check
	escalate float64
	cheapest []float64 // by cause: the least that ends the job when it is the one
	work     int       // states looked into
	limit    int
	over     bool
	memo     map[state]known
	greedy   map[state]float64
	free     [][]float64
	apart    bool // no two repairs fix the same cause, so that the order of probability over cost can be sorted at once
	rank     []int
	ratio    []float64
}

// action is a repair with its causes as bits.
type action struct {
	fixes uint64
	cost  float64
}

// known is what the search knows of a state: its value, or a bound below it.
type known struct {
	value float64
	exact bool
}

// tiny is the relative difference below which one plan is not worth following rather than another.
const tiny = 1e-12

func newSolver(c Case, limit int) *solver {
	s := &solver{prior: c.Prior, checks: c.Checks, escalate: c.Escalate, limit: limit, memo: map[state]known{}, greedy: map[state]float64{}}
	s.cheapest = make([]float64, len(c.Prior))
	for i := range s.cheapest {
		s.cheapest[i] = c.Escalate
	}
	all := uint64(0)
	s.apart = true
	for _, r := range c.actions() {
		a := action{cost: r.Cost}
		for _, f := range r.Fixes {
			a.fixes |= 1 << f
			s.cheapest[f] = min(s.cheapest[f], r.Cost)
		}
		s.apart = s.apart && a.fixes&all == 0
		all |= a.fixes
		s.repairs = append(s.repairs, a)
	}
	s.rank, s.ratio = make([]int, len(s.repairs)), make([]float64, len(s.repairs))
	return s
}

// vector is room for weights; give it back with done.
func (s *solver) vector() []float64 {
	if n := len(s.free); n > 0 {
		v := s.free[n-1]
		s.free = s.free[:n-1]
		return v
	}
	return make([]float64, len(s.prior))
}

func (s *solver) done(v []float64) { s.free = append(s.free, v) }

// bound is what even one who knows the cause has to pay, and total the weight of the state.
func (s *solver) bound(w []float64) (bound, total float64) {
	for i, x := range w {
		bound += x * s.cheapest[i]
		total += x
	}
	return bound, total
}

// value is the least expected cost from a state on when that is below cut; otherwise some bound of it that is at least cut. Once the limit of work is
// reached, over is set and the result means nothing.
func (s *solver) value(st state, w []float64, cut float64) float64 {
	low, total := s.bound(w)
	if total <= 0 {
		return 0
	}
	if k, ok := s.memo[st]; ok && (k.exact || k.value >= cut) {
		return k.value
	}
	if low >= cut {
		return low
	}
	if s.work++; s.work > s.limit {
		s.over = true
	}
	if s.over {
		return low
	}
	best, _ := s.order(w)
	most := min(best, cut)
	for r := range s.repairs {
		if q := s.tryRepair(st, w, r, low, total, most); q < best {
			best, most = q, min(most, q)
		}
	}
	for c := range s.checks {
		if q := s.tryCheck(st, w, c, low, total, most); q < best {
			best, most = q, min(most, q)
		}
	}
	if s.over {
		return low
	}
	exact := best < cut
	if !exact {
		best = cut
	}
	s.memo[st] = known{best, exact}
	return best
}

// tryRepair is the value of a repair followed by the best when that is below cut, else infinite.
func (s *solver) tryRepair(st state, w []float64, r int, low, total, cut float64) float64 {
	a := s.repairs[r]
	settles, saves := 0.0, 0.0
	for f := a.fixes; f != 0; f &= f - 1 {
		i := bits.TrailingZeros64(f)
		settles += w[i]
		saves += w[i] * s.cheapest[i]
	}
	pay := a.cost * total
	if settles <= 0 || pay+low-saves >= cut*(1-tiny) {
		return math.Inf(1)
	}
	v := s.without(w, a.fixes)
	defer s.done(v)
	return pay + s.below(state{st.out | a.fixes, st.pos, st.neg}, v, cut-pay)
}

// tryCheck is the value of a check followed by the best when that is below cut, else infinite. A check pays only while what is not
// known costs more than it does.
func (s *solver) tryCheck(st state, w []float64, c int, low, total, cut float64) float64 {
	bit := uint64(1) << c
	pay := s.checks[c].Cost * total
	if (st.pos|st.neg)&bit != 0 || pay+low >= cut*(1-tiny) {
		return math.Inf(1)
	}
	yes, no := s.seen(w, c, true), s.seen(w, c, false)
	defer s.done(yes)
	defer s.done(no)
	lowNo, _ := s.bound(no)
	q := pay + s.below(state{st.out, st.pos | bit, st.neg}, yes, cut-pay-lowNo)
	if math.IsInf(q, 1) {
		return q
	}
	return q + s.below(state{st.out, st.pos, st.neg | bit}, no, cut-q)
}

// below is the value of a state when that is below cut, else infinite: a bound must never pass for a value by rounding.
func (s *solver) below(st state, w []float64, cut float64) float64 {
	if x := s.value(st, w, cut); x < cut {
		return x
	}
	return math.Inf(1)
}
