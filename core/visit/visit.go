// Package visit chooses the visit at which each job is done, so that visits, shared set-ups, life thrown away and expected
// lateness cost least together, with a proof of optimality or a stated gap.
//
// The model is joint (opportunistic) replacement with shared set-ups: Dekker, Wildeman & van der Duyn Schouten, Mathematical
// Methods of Operations Research 45 (1997) 411. The bound comes from a formulation with one column for each set of jobs that fits
// a visit: Dantzig & Wolfe, Operations Research 8 (1960) 101; Barnhart et al., Operations Research 46 (1998) 316 (branch and price).
package visit

import (
	"errors"
	"fmt"
	"math"
)

// Most that a problem may hold. The search is exact and sums stay far from the ends of what a float64 can hold.
const (
	MaxJobs   = 400
	MaxVisits = 200
	MaxSetups = 400
	MaxLabour = 1 << 50 // of a job, a set-up or a visit, in the caller's unit
	MaxMoney  = 1e9     // of any single amount, in the caller's unit
)

// Problem is what is to be planned. Money is in one unit throughout. Labour is in whole minutes, or in any smaller unit that all
// labour of the problem has in common.
type Problem struct {
	Visits []Visit // in order of time
	Setups []Setup
	Jobs   []Job
	Hour   int // units of labour in an hour, for words alone; 0 means 60
	// Money writes an amount, for words alone; nil means two decimals.
	Money func(amount float64) string
}

// Visit is a day on which the car could come in.
type Visit struct {
	ID       string
	Day      int     // days from today
	Fixed    float64 // money, paid once if any job is done there
	Capacity int     // labour that fits in
	// Budget caps the money that the owner spends at this visit: its fixed cost, its set-ups and the price of its jobs, but not
	// the value of life thrown away or of lateness. 0 means none.
	Budget float64
}

// Setup is a preparation that several jobs share, paid and worked once at each visit where at least one job needs it.
type Setup struct {
	ID     string
	Cost   float64 // money
	Labour int
}

// Job is done exactly once.
type Job struct {
	ID      string
	Labour  int
	Setups  []int     // indices into Problem.Setups
	Price   float64   // money, the same at any visit
	Penalty []float64 // money for each visit: unused life thrown away or expected lateness; +Inf: not allowed there
	Pin     int       // the visit at which it was put by hand, or -1
}

// Status says what a plan is.
type Status int

// What a plan is: Optimal has been proven, Feasible is the best found so far, Infeasible has been proven to have no plan, and Unknown
// means that neither a plan nor a proof was found before the search was stopped.
const (
	Unknown Status = iota
	Optimal
	Feasible
	Infeasible
)

// String is the status as the commands write it.
func (s Status) String() string {
	return [...]string{"unknown", "optimal", "feasible", "infeasible"}[s]
}

// Options bound the search.
type Options struct {
	Nodes    int                       // most nodes of the search tree; 0 means no bound
	Stop     func() bool               // asked often; true stops the search with the best plan so far. nil: never
	Progress func(bound, best float64) // told after each node; best is +Inf before the first plan. nil: nobody
}

// Plan is an assignment with what is known about it.
type Plan struct {
	Status Status
	// Objective is the cost of the plan and Bound a proven lower bound on the cost of any plan, both in money. Gap is
	// (Objective - Bound) / max(1, Objective). They are 0 where there is no plan.
	Objective, Bound, Gap float64
	At                    []int     // visit of each job; all -1 where there is no plan
	Unplaceable           []Blocked // why there is no plan
	Nodes                 int       // nodes of the search tree that were looked at
}

// Blocked is a set of jobs that cannot all be placed.
type Blocked struct {
	Jobs []int
	Why  string // in words, for people
	// Minimal says that each job of the set could be dropped to make the others fit; else some may not be needed for the contradiction.
	Minimal bool
}

// ErrProblem is the error of a problem that is not well formed.
var ErrProblem = errors.New("not a well-formed problem")

// Check says what is wrong with a problem: sizes beyond the limits, an amount that is negative, not a number or too large, an index
// that points to nothing, a list of the wrong length, or an id that stands twice.
func (p Problem) Check() error {
	switch {
	case len(p.Jobs) > MaxJobs:
		return bad("%d jobs; at most %d", len(p.Jobs), MaxJobs)
	case len(p.Visits) > MaxVisits:
		return bad("%d visits; at most %d", len(p.Visits), MaxVisits)
	case len(p.Setups) > MaxSetups:
		return bad("%d set-ups; at most %d", len(p.Setups), MaxSetups)
	}
	seen := map[string]bool{}
	for i, v := range p.Visits {
		if err := errors.Join(once(seen, v.ID), money("fixed cost", v.Fixed), labour("capacity", v.Capacity), money("budget", v.Budget)); err != nil {
			return fmt.Errorf("visits[%d] (%s): %w", i, v.ID, err)
		}
	}
	clear(seen)
	for i, s := range p.Setups {
		if err := errors.Join(once(seen, s.ID), money("cost", s.Cost), labour("labour", s.Labour)); err != nil {
			return fmt.Errorf("setups[%d] (%s): %w", i, s.ID, err)
		}
	}
	clear(seen)
	for i, j := range p.Jobs {
		if err := errors.Join(once(seen, j.ID), j.check(p)); err != nil {
			return fmt.Errorf("jobs[%d] (%s): %w", i, j.ID, err)
		}
	}
	return nil
}

func (j Job) check(p Problem) error {
	if err := errors.Join(money("price", j.Price), labour("labour", j.Labour)); err != nil {
		return err
	}
	if len(j.Penalty) != len(p.Visits) {
		return bad("%d penalties for %d visits", len(j.Penalty), len(p.Visits))
	}
	for v, x := range j.Penalty {
		if !math.IsInf(x, 1) {
			if err := money(fmt.Sprintf("penalty at visit %d", v), x); err != nil {
				return err
			}
		}
	}
	twice := map[int]bool{}
	for _, s := range j.Setups {
		if s < 0 || s >= len(p.Setups) {
			return bad("set-up %d does not exist", s)
		}
		if twice[s] {
			return bad("the set-up %q stands twice", p.Setups[s].ID)
		}
		twice[s] = true
	}
	if j.Pin < -1 || j.Pin >= len(p.Visits) {
		return bad("pinned to visit %d, which does not exist", j.Pin)
	}
	return nil
}

func bad(format string, args ...any) error {
	return fmt.Errorf("%w: "+format, append([]any{ErrProblem}, args...)...)
}

func once(seen map[string]bool, id string) error {
	if seen[id] {
		return bad("the id %q stands twice", id)
	}
	seen[id] = true
	return nil
}

func money(what string, x float64) error {
	if !(x >= 0 && x <= MaxMoney) { // false for NaN too
		return bad("%s %v; expected 0 to %g", what, x, MaxMoney)
	}
	return nil
}

func labour(what string, x int) error {
	if x < 0 || x > MaxLabour {
		return bad("%s %d; expected 0 to %d", what, x, MaxLabour)
	}
	return nil
}
