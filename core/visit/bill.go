package visit

import (
	"fmt"
	"math"
	"slices"
)

// Bill is what an assignment costs and whether it is a plan.
type Bill struct {
	// Total is the objective: the sum of the four below it. A penalty that is infinite is left out and named in Broken.
	Total, Fixed, Setups, Prices, Penalties float64
	Visits                                  []VisitBill // those that are used, in order
	Feasible                                bool        // nothing is broken and every job is placed
	Broken                                  []Broken
}

// VisitBill is what happens at one visit.
type VisitBill struct {
	Visit                           int
	Jobs, Setups                    []int
	Fixed, Setup, Prices, Penalties float64
	Cost                            float64 // the sum of these four
	Spent                           float64 // what counts against the budget: all but the penalties
	Labour                          int     // jobs and set-ups, each set-up once
}

// Broken is a rule that an assignment breaks.
type Broken struct {
	Visit int // -1 for jobs that stand nowhere
	Jobs  []int
	Why   string // in words, for people
}

// Price works out anew what an assignment costs, visit by visit, and what it breaks: at[j] is the visit of job j, -1 for nowhere. It
// returns an error wrapping ErrProblem for a malformed problem or an assignment to a visit that does not exist.
func Price(p Problem, at []int) (Bill, error) {
	if err := checkAt(p, at); err != nil {
		return Bill{}, err
	}
	return price(p, at), nil
}

func checkAt(p Problem, at []int) error {
	if err := p.Check(); err != nil {
		return err
	}
	if len(at) != len(p.Jobs) {
		return bad("an assignment of %d jobs for %d", len(at), len(p.Jobs))
	}
	for j, v := range at {
		if v < -1 || v >= len(p.Visits) {
			return bad("job %q is put at visit %d, which does not exist", p.Jobs[j].ID, v)
		}
	}
	return nil
}

func price(p Problem, at []int) Bill {
	var bill Bill
	for j, v := range at {
		if v < 0 {
			bill.broken(-1, []int{j}, "%s stands at no visit", p.Jobs[j].ID)
		}
	}
	for v := range p.Visits {
		var jobs []int
		for j := range at {
			if at[j] == v {
				jobs = append(jobs, j)
			}
		}
		if len(jobs) > 0 {
			bill.visit(p, v, jobs)
		}
	}
	bill.Total = bill.Fixed + bill.Setups + bill.Prices + bill.Penalties
	bill.Feasible = len(bill.Broken) == 0
	return bill
}

func (bill *Bill) broken(v int, jobs []int, format string, args ...any) {
	bill.Broken = append(bill.Broken, Broken{v, jobs, fmt.Sprintf(format, args...)})
}

func (bill *Bill) visit(p Problem, v int, jobs []int) {
	at := p.Visits[v]
	x := VisitBill{Visit: v, Jobs: jobs, Fixed: at.Fixed}
	for _, j := range jobs {
		job := p.Jobs[j]
		x.Labour += job.Labour
		x.Prices += job.Price
		if pen := job.Penalty[v]; math.IsInf(pen, 1) {
			bill.broken(v, []int{j}, "%s must not be done at %s: that is beyond its limit", job.ID, at.ID)
		} else {
			x.Penalties += pen
		}
		if job.Pin >= 0 && job.Pin != v {
			bill.broken(v, []int{j}, "%s is pinned to %s", job.ID, p.Visits[job.Pin].ID)
		}
		for _, s := range job.Setups {
			if !slices.Contains(x.Setups, s) {
				x.Setups = append(x.Setups, s)
				x.Labour += p.Setups[s].Labour
				x.Setup += p.Setups[s].Cost
			}
		}
	}
	slices.Sort(x.Setups)
	x.Spent = x.Fixed + x.Setup + x.Prices
	x.Cost = x.Spent + x.Penalties
	if x.Labour > at.Capacity {
		bill.broken(v, jobs, "%s takes %s of labour and holds %s", at.ID, p.hours(x.Labour), p.hours(at.Capacity))
	}
	if at.Budget > 0 && x.Spent > at.Budget+slack(at.Budget) {
		bill.broken(v, jobs, "%s: its jobs cost %s and its budget leaves %s", at.ID, p.money(x.Setup+x.Prices), p.money(max(0, at.Budget-at.Fixed)))
	}
	bill.Visits = append(bill.Visits, x)
	bill.Fixed += x.Fixed
	bill.Setups += x.Setup
	bill.Prices += x.Prices
	bill.Penalties += x.Penalties
}

// money writes an amount for people.
func (p Problem) money(amount float64) string {
	if p.Money != nil {
		return p.Money(amount)
	}
	return fmt.Sprintf("%.2f", amount)
}

// hours writes labour for people.
func (p Problem) hours(labour int) string {
	per := 60.0
	if p.Hour > 0 {
		per = float64(p.Hour)
	}
	return fmt.Sprintf("%g h", math.Round(float64(labour)/per*1e4)/1e4)
}
