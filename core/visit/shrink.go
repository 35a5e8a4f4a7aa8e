package visit

import (
	"math"
	"slices"
)

// shrinkNodes bounds what is searched to make a contradiction smaller: for n jobs, shrinkNodes/n^2 nodes in all, as a node of a large problem
// takes longer.
const shrinkNodes = 400_000

// shrink makes a set of jobs that cannot all be placed smaller. Source: deletion with rotation of models, Belov, Lynce & Marques-Silva, AI
// Communications 25 (2012) 97 (from memory); there for clauses, here for jobs.
type shrink struct {
	p      Problem
	b      *board
	o      Options
	jobs   []int  // what is left of the set, ascending
	needed []bool // without this job, the others have a plan
	paid   []bool
	nodes  int // that may still be searched
}

// contradiction looks for few jobs that cannot all be placed: of jobs that are known to have no plan together, ever smaller parts are left
// out as long as the rest is proven to have none.
func (t *tree) contradiction(p Problem) Blocked {
	n := t.b.n
	s := &shrink{p: p, b: t.b, o: t.o, needed: make([]bool, n), paid: make([]bool, t.b.k), nodes: max(20, shrinkNodes/(n*n))}
	if len(t.against) > 0 {
		if status, _ := s.possible(t.against); status == Infeasible {
			s.jobs = slices.Sorted(slices.Values(t.against))
		}
	}
	if len(s.jobs) == 0 {
		for j := range n {
			s.jobs = append(s.jobs, j)
		}
	}
	for _, parts := range []int{2, 4, 8} {
		s.pass((len(s.jobs) + parts - 1) / parts)
	}
	sure := s.pass(1) // smaller parts before it seldom go, and one job alone tells of others
	return Blocked{Jobs: s.jobs, Why: whyTogether(p, t.b, s.jobs), Minimal: sure}
}

// pass tries to leave out parts of so many jobs. It returns false where a search was given up, so that a part may not be needed.
func (s *shrink) pass(size int) (sure bool) {
	sure = true
	for from := 0; from < len(s.jobs); {
		var part []int
		next := from
		for ; next < len(s.jobs) && len(part) < size; next++ {
			if !s.needed[s.jobs[next]] {
				part = append(part, s.jobs[next])
			}
		}
		rest := without(s.jobs, part)
		if len(part) == 0 || len(rest) == 0 {
			break
		}
		status, at := s.possible(rest)
		switch status {
		case Infeasible:
			s.jobs, next = rest, next-len(part)
		case Feasible:
			s.rotate(at)
		default:
			sure = false
		}
		from = next
	}
	return sure
}

// possible says whether these jobs alone can be placed: Feasible with a plan, Infeasible, or Unknown where the search was given up. The plan
// has a place for every job of the problem, -1 for those that were not asked for.
func (s *shrink) possible(jobs []int) (Status, []int) {
	if s.nodes <= 0 {
		return Unknown, nil
	}
	q := s.p
	q.Jobs = nil
	for _, j := range jobs {
		q.Jobs = append(q.Jobs, s.p.Jobs[j])
	}
	t := newTree(newBoard(q).bare(), Options{Nodes: max(1, s.nodes/3), Stop: s.o.Stop})
	t.anyPlan = true
	low := t.run()
	s.nodes -= max(1, t.nodes)
	switch {
	case t.at != nil:
		at := nowhere(s.b.n)
		for i, j := range jobs {
			at[j] = t.at[i]
		}
		return Feasible, at
	case !t.halt && math.IsInf(low, 1):
		return Infeasible, nil
	}
	return Unknown, nil
}

// rotate takes a plan of a part of the set. Where it lacks one job only, that job is needed; and where that job can take the place of another,
// that other one is needed too, without a search.
func (s *shrink) rotate(at []int) {
	if !s.fill(at) {
		return
	}
	plans := [][]int{at}
	for len(plans) > 0 {
		at, plans = plans[len(plans)-1], plans[:len(plans)-1]
		lacks := s.lacking(at)[0]
		s.needed[lacks] = true
		for _, k := range s.jobs {
			if s.needed[k] || at[k] < 0 {
				continue
			}
			other := slices.Clone(at)
			other[k] = -1
			if s.place(other, lacks) {
				s.needed[k] = true
				plans = append(plans, other)
			}
		}
	}
}

// fill places what the plan lacks as long as there is room, and says whether one job only is left over.
func (s *shrink) fill(at []int) bool {
	left := 0
	for _, j := range s.lacking(at) {
		if !s.place(at, j) {
			left++
		}
	}
	return left == 1
}

func (s *shrink) lacking(at []int) []int {
	var out []int
	for _, j := range s.jobs {
		if at[j] < 0 {
			out = append(out, j)
		}
	}
	return out
}

// place puts a job at a visit that has room for it.
func (s *shrink) place(at []int, j int) bool {
	for v := range s.b.m {
		if !s.b.ok[v*s.b.n+j] {
			continue
		}
		at[j] = v
		if _, fits := s.b.together(v, s.there(at, v), s.paid); fits {
			return true
		}
	}
	at[j] = -1
	return false
}

// there are the jobs of the set that a plan has at a visit.
func (s *shrink) there(at []int, v int) []int {
	var out []int
	for _, j := range s.jobs {
		if at[j] == v {
			out = append(out, j)
		}
	}
	return out
}
