package visit

import "math"

// Solve plans the jobs: each exactly once, at a visit where it is allowed, within labour and budget, at least
//
//	fixed cost of each visit used + cost of each set-up once a visit + price and penalty of each job.
//
// The status is optimal only where the bound has reached the plan's cost (to 1e-9 of it). The same problem gives the same plan unless
// o.Stop ends the search. It returns an error wrapping ErrProblem for a problem that is not well formed.
func Solve(p Problem, o Options) (Plan, error) {
	if err := p.Check(); err != nil {
		return Plan{}, err
	}
	b := newBoard(p)
	if lone := blockedAlone(p, b); len(lone) > 0 {
		return Plan{Status: Infeasible, At: nowhere(b.n), Unplaceable: lone}, nil
	}
	if b.n == 0 {
		return Plan{Status: Optimal, At: []int{}}, nil
	}
	t := newTree(b, o)
	low := t.run()
	plan := Plan{At: t.at, Nodes: t.nodes}
	if math.IsInf(t.best, 1) {
		plan.At = nowhere(b.n)
		plan.Status = Unknown
		if !t.halt && math.IsInf(low, 1) {
			plan.Status = Infeasible
			plan.Unplaceable = []Blocked{t.contradiction(p)}
		}
		return plan, nil
	}
	plan.Objective, plan.Bound = t.best+b.base, min(low, t.best)+b.base
	plan.Status = Feasible
	if low >= t.best-t.tolerance() {
		plan.Status, plan.Bound = Optimal, plan.Objective
	}
	plan.Gap = (plan.Objective - plan.Bound) / max(1, plan.Objective)
	return plan, nil
}

func nowhere(n int) []int {
	at := make([]int, n)
	for j := range at {
		at[j] = -1
	}
	return at
}
