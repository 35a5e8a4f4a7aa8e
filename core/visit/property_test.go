package visit_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/core/visit"
)

// anyProblem draws a small problem: visits with little room, budgets and pins now and then.
func anyProblem(t *rapid.T) visit.Problem {
	var p visit.Problem
	amount := rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(0, 200))
	for v := range rapid.IntRange(1, 4).Draw(t, "visits") {
		x := visit.Visit{ID: fmt.Sprintf("v%d", v), Day: 30 * v, Fixed: amount.Draw(t, "fixed"), Capacity: rapid.IntRange(0, 400).Draw(t, "capacity")}
		if rapid.Bool().Draw(t, "bounded") {
			x.Budget = rapid.Float64Range(1, 700).Draw(t, "budget")
		}
		p.Visits = append(p.Visits, x)
	}
	setups := rapid.IntRange(0, 4).Draw(t, "setups")
	for s := range setups {
		p.Setups = append(p.Setups, visit.Setup{ID: fmt.Sprintf("s%d", s), Cost: amount.Draw(t, "cost"), Labour: rapid.IntRange(0, 60).Draw(t, "set-up labour")})
	}
	for j := range rapid.IntRange(0, 6).Draw(t, "jobs") {
		job := visit.Job{ID: fmt.Sprintf("j%d", j), Labour: rapid.IntRange(0, 150).Draw(t, "labour"), Price: amount.Draw(t, "price"), Pin: -1}
		for s := range setups {
			if rapid.IntRange(0, 2).Draw(t, "needs") == 0 {
				job.Setups = append(job.Setups, s)
			}
		}
		for range p.Visits {
			pen := amount.Draw(t, "penalty")
			if rapid.IntRange(0, 4).Draw(t, "allowed") == 0 {
				pen = math.Inf(1)
			}
			job.Penalty = append(job.Penalty, pen)
		}
		if rapid.IntRange(0, 5).Draw(t, "pinned") == 0 {
			job.Pin = rapid.IntRange(0, len(p.Visits)-1).Draw(t, "pin")
		}
		p.Jobs = append(p.Jobs, job)
	}
	return p
}

// price works an assignment out anew, apart from the planner: +Inf where it breaks a limit.
func price(p visit.Problem, at []int) float64 {
	sum := 0.0
	for v, x := range p.Visits {
		work, money, any, needed := 0, x.Fixed, false, map[int]bool{}
		for j, job := range p.Jobs {
			if at[j] != v {
				continue
			}
			if job.Pin >= 0 && job.Pin != v {
				return math.Inf(1)
			}
			any = true
			sum += job.Penalty[v]
			work += job.Labour
			money += job.Price
			for _, s := range job.Setups {
				needed[s] = true
			}
		}
		for s := range needed {
			work += p.Setups[s].Labour
			money += p.Setups[s].Cost
		}
		if !any {
			continue
		}
		if work > x.Capacity || x.Budget > 0 && money > x.Budget+1e-9 {
			return math.Inf(1)
		}
		sum += money
	}
	return sum
}

// cheapest tries every assignment.
func cheapest(p visit.Problem) float64 {
	at, best := make([]int, len(p.Jobs)), math.Inf(1)
	for {
		best = min(best, price(p, at))
		j := 0
		for ; j < len(at); j++ {
			if at[j]++; at[j] < len(p.Visits) {
				break
			}
			at[j] = 0
		}
		if j == len(at) {
			return best
		}
	}
}

// TestAgainstEveryAssignment holds plans of small problems to what trying everything finds.
func TestAgainstEveryAssignment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t)
		plan, err := visit.Solve(p, visit.Options{})
		if err != nil {
			t.Fatal(err)
		}
		want := cheapest(p)
		if math.IsInf(want, 1) {
			if plan.Status != visit.Infeasible || len(plan.Unplaceable) == 0 {
				t.Fatalf("%v with %v; nothing can be placed", plan.Status, plan.Unplaceable)
			}
			for _, b := range plan.Unplaceable {
				if part := only(p, b.Jobs); !math.IsInf(cheapest(part), 1) {
					t.Errorf("%v can be placed: %s", b.Jobs, b.Why)
				}
				for i := range b.Jobs {
					rest := slices.Delete(slices.Clone(b.Jobs), i, i+1)
					if part := only(p, rest); b.Minimal && math.IsInf(cheapest(part), 1) {
						t.Errorf("%v can't be placed either: %v is not minimal", rest, b.Jobs)
					}
				}
			}
			return
		}
		got := price(p, plan.At)
		if plan.Status != visit.Optimal || math.Abs(got-want) > 1e-7*max(1, want) || math.Abs(plan.Objective-got) > 1e-7*max(1, want) {
			t.Errorf("%v at %v, worked out anew %v; the least is %v", plan.Status, plan.Objective, got, want)
		}
	})
}

// only is the problem with these jobs alone.
func only(p visit.Problem, jobs []int) visit.Problem {
	q := p
	q.Jobs = nil
	for _, j := range jobs {
		q.Jobs = append(q.Jobs, p.Jobs[j])
	}
	return q
}

// large draws a problem of the reference cases' kind, larger and with as little room as `room` times what the jobs need.
func large(seed uint64, jobs, visits int, room, budget float64) visit.Problem {
	r := rand.New(rand.NewPCG(seed, 7))
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	var p visit.Problem
	day, need, have, money := 0, 0, 0, 0.0
	for v := range visits {
		day += 5 + r.IntN(720/visits+6)
		p.Visits = append(p.Visits, visit.Visit{ID: fmt.Sprintf("v%d", v), Day: day, Fixed: between(15, 90), Capacity: 150 + r.IntN(360)})
		have += p.Visits[v].Capacity
	}
	setups := jobs / 3
	for s := range setups {
		p.Setups = append(p.Setups, visit.Setup{ID: fmt.Sprintf("s%d", s), Cost: between(8, 160), Labour: 6 + r.IntN(66)})
		need, money = need+36, money+p.Setups[s].Cost
	}
	for j := range jobs {
		job := visit.Job{ID: fmt.Sprintf("j%d", j), Labour: 9 + r.IntN(87), Price: between(5, 250), Pin: -1}
		job.Setups = append(job.Setups, r.Perm(setups)[:r.IntN(4)]...)
		slices.Sort(job.Setups)
		due, slack := p.Visits[r.IntN(visits)].Day, 30*r.IntN(4)
		worth, late := between(20, 400)/float64(180*(1+r.IntN(8))), between(0, 2)
		for _, v := range p.Visits {
			pen := math.Inf(1)
			if v.Day <= due {
				pen = worth * float64(due-v.Day)
			} else if v.Day <= due+slack {
				pen = late * float64(v.Day-due)
			}
			job.Penalty = append(job.Penalty, pen)
		}
		need, money = need+job.Labour, money+job.Price
		p.Jobs = append(p.Jobs, job)
	}
	for v := range p.Visits {
		p.Visits[v].Capacity = int(float64(p.Visits[v].Capacity) * room * float64(need) / float64(have))
		if budget > 0 {
			p.Visits[v].Budget = budget * money / float64(visits)
		}
	}
	return p
}

// TestLarge: larger and tighter problems than the reference cases are proven within a bound of nodes, and what the proof says is what the
// plan costs when it is worked out anew.
func TestLarge(t *testing.T) {
	for _, c := range []struct {
		seed         uint64
		jobs, visits int
		room, budget float64
	}{{1, 40, 24, 2, 0}, {0, 40, 16, 1.6, 5}, {1, 40, 16, 1.6, 5}, {0, 50, 30, 2, 6}, {1, 50, 30, 2, 6}} {
		p := large(c.seed, c.jobs, c.visits, c.room, c.budget)
		plan, err := visit.Solve(p, visit.Options{Nodes: 400})
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%+v: %v %.3f in %d nodes", c, plan.Status, plan.Objective, plan.Nodes)
		switch plan.Status {
		case visit.Optimal:
			if got := price(p, plan.At); math.Abs(got-plan.Objective) > 1e-6*got {
				t.Errorf("%+v: said to cost %v, costs %v", c, plan.Objective, got)
			}
		case visit.Infeasible:
			if len(plan.Unplaceable) == 0 {
				t.Errorf("%+v: infeasible, and nothing is named", c)
			}
		default:
			t.Errorf("%+v: %v, gap %g", c, plan.Status, plan.Gap)
		}
	}
}

// BenchmarkReference solves all reference cases. Budget: 1 s for the twenty.
func BenchmarkReference(b *testing.B) {
	_, cases, _ := reference(b)
	if len(cases) == 0 {
		b.Fatal("no reference cases")
	}
	for b.Loop() {
		for _, p := range cases {
			if _, err := visit.Solve(p, visit.Options{}); err != nil {
				b.Fatal(err)
			}
		}
	}
}
