package visit

import (
	"math"
	"slices"
)

// Reason says why a job stands where it stands.
type Reason struct {
	Job, Visit int // Visit is -1 where the job stands nowhere or what was asked makes no sense; the rest is empty then
	Pinned     bool
	With       []Shared // jobs at the same visit that need some of the same set-ups
	// SavedLabour and SavedMoney are the set-ups that the job needs and others at the visit pay for anyway; SavedVisit is the visit's fixed
	// cost if others come in on that day anyway, else 0.
	SavedLabour            int
	SavedMoney, SavedVisit float64
	Penalty                float64 // money for being early or late at this visit
	// Best is the cheapest other visit while all other jobs stay, -1 if none takes the job, and More what it would cost more; less than
	// nothing where the plan is not the best.
	Best int
	More float64
	// Choices is the number of visits at which the job would be allowed by itself.
	Choices int
}

// Shared is a job and the set-ups that it has in common.
type Shared struct {
	Job    int
	Setups []int
}

// Explain says why job j stands where the assignment puts it. For a malformed problem or assignment the reason's Visit is -1; Price tells
// what is wrong with it.
func Explain(p Problem, at []int, j int) Reason {
	r := Reason{Job: j, Visit: -1, Best: -1}
	if checkAt(p, at) != nil || j < 0 || j >= len(at) || at[j] < 0 {
		return r
	}
	b, job, v := newBoard(p), p.Jobs[j], at[j]
	r.Visit, r.Pinned = v, job.Pin >= 0
	if !math.IsInf(job.Penalty[v], 1) {
		r.Penalty = job.Penalty[v]
	}
	var shared []int
	for k, other := range p.Jobs {
		if k == j || at[k] != v {
			continue
		}
		r.SavedVisit = p.Visits[v].Fixed
		var common []int
		for _, s := range job.Setups {
			if slices.Contains(other.Setups, s) {
				common = append(common, s)
			}
		}
		if len(common) > 0 {
			slices.Sort(common)
			r.With = append(r.With, Shared{k, common})
			shared = append(shared, common...)
		}
	}
	slices.Sort(shared)
	for _, s := range slices.Compact(shared) {
		r.SavedLabour += p.Setups[s].Labour
		r.SavedMoney += p.Setups[s].Cost
	}
	for w := range p.Visits {
		if !math.IsInf(job.Penalty[w], 1) && b.fitsAlone(j, w) {
			r.Choices++
		}
	}
	r.Best, r.More = b.elsewhere(p, at, j)
	return r
}

// elsewhere is the cheapest other visit for a job while all others stay, and what that costs more; a pin on the job does not count.
func (b *board) elsewhere(p Problem, at []int, j int) (best int, more float64) {
	paid, visits := make([]bool, b.k), b.byVisit(at)
	from := at[j]
	now, _ := b.together(from, visits[from], paid)
	less := 0.0
	if rest := without(visits[from], []int{j}); len(rest) > 0 {
		less, _ = b.together(from, rest, paid)
	}
	best = -1
	for v := range p.Visits {
		if v == from || math.IsInf(b.pen[v][j], 1) {
			continue
		}
		cost, fits := b.together(v, append(visits[v], j), paid)
		if !fits || math.IsInf(cost, 1) {
			continue
		}
		if len(visits[v]) > 0 {
			have, _ := b.together(v, visits[v], paid)
			cost -= have
		}
		if d := cost - (now - less); best < 0 || d < more {
			best, more = v, d
		}
	}
	if math.IsInf(more, 0) || math.IsNaN(more) { // a job stands where it must not: any figure would mislead
		return best, 0
	}
	return best, more
}

// Consequence is what moving one job to another visit would mean.
type Consequence struct {
	Job, Visit int
	Err        error // the problem, the assignment or the move is malformed; the rest is empty then
	// Alone is what the assignment costs more when only this job moves. Fits says whether that is a plan; Broken names what it breaks.
	Alone  float64
	Fits   bool
	Broken []Broken
	// Replanned is the best plan with the job pinned there and Difference what it costs more than the assignment; 0 where there is no plan.
	Replanned  Plan
	Difference float64
}

// Move works out what it costs to move job j to visit v: by itself, and with the best plan around it. Options bound that search.
func Move(p Problem, at []int, j, v int, o ...Options) Consequence {
	c := Consequence{Job: j, Visit: v}
	if c.Err = checkAt(p, at); c.Err != nil {
		return c
	}
	if j < 0 || j >= len(p.Jobs) || v < 0 || v >= len(p.Visits) {
		c.Err = bad("there is no job %d or no visit %d", j, v)
		return c
	}
	p.Jobs = slices.Clone(p.Jobs)
	p.Jobs[j].Pin = v
	now := price(p, at)
	moved := slices.Clone(at)
	moved[j] = v
	then := price(p, moved)
	c.Alone, c.Fits, c.Broken = then.Total-now.Total, then.Feasible, then.Broken
	bounds := Options{}
	if len(o) > 0 {
		bounds = o[0]
	}
	c.Replanned, c.Err = Solve(p, bounds)
	if c.Replanned.Status == Optimal || c.Replanned.Status == Feasible {
		c.Difference = c.Replanned.Objective - now.Total
	}
	return c
}
