package visit_test

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"witnessmark/core/visit"
	"witnessmark/internal/published"
)

// instance is a reference case: hours are exact multiples of 0.05, three minutes.
type instance struct {
	Visits []struct {
		ID       string
		Day      int
		Fixed    float64 `json:"fixed_cost"`
		Capacity float64 `json:"labour_capacity_h"`
	}
	Setups []struct {
		ID     string
		Cost   float64
		Labour float64 `json:"labour_h"`
	}
	Jobs []struct {
		ID     string
		Labour float64 `json:"labour_h"`
		Cost   float64
		Setups []string
		Due    int     `json:"due_day"`
		Hard   int     `json:"hard_day"`
		Life   float64 `json:"life_days"`
		Value  float64
		Late   float64 `json:"late_cost_per_day"`
	}
}

func minutes(hours float64) int { return int(math.Round(hours * 60)) }

func (x instance) problem() visit.Problem {
	var p visit.Problem
	for _, v := range x.Visits {
		p.Visits = append(p.Visits, visit.Visit{ID: v.ID, Day: v.Day, Fixed: v.Fixed, Capacity: minutes(v.Capacity)})
	}
	index := map[string]int{}
	for i, s := range x.Setups {
		index[s.ID] = i
		p.Setups = append(p.Setups, visit.Setup{ID: s.ID, Cost: s.Cost, Labour: minutes(s.Labour)})
	}
	for _, j := range x.Jobs {
		job := visit.Job{ID: j.ID, Labour: minutes(j.Labour), Price: j.Cost, Pin: -1}
		for _, s := range j.Setups {
			job.Setups = append(job.Setups, index[s])
		}
		for _, v := range x.Visits {
			pen := math.Inf(1)
			if v.Day <= j.Due {
				pen = j.Value * float64(j.Due-v.Day) / j.Life
			} else if v.Day <= j.Hard {
				pen = j.Late * float64(v.Day-j.Due)
			}
			job.Penalty = append(job.Penalty, pen)
		}
		p.Jobs = append(p.Jobs, job)
	}
	return p
}

// expected is the reference answer: proven by a general solver of integer programmes.
type expected struct {
	Status    string
	Objective float64
	Bound     *float64 `json:"lp_bound"`
}

func reference(t testing.TB) (names []string, cases []visit.Problem, want []expected) {
	t.Helper()
	text, ok := published.File(t, "oracle", "grouping", "expected.json")
	if !ok {
		return nil, nil, nil
	}
	answers := map[string]expected{}
	if err := json.Unmarshal(text, &answers); err != nil {
		t.Fatal(err)
	}
	for i := 1; i <= len(answers); i++ {
		name := fmt.Sprintf("inst_%03d", i)
		text, _ := published.File(t, "oracle", "grouping", name+".json")
		var x instance
		if err := json.Unmarshal(text, &x); err != nil {
			t.Fatal(err)
		}
		names, cases, want = append(names, name), append(cases, x.problem()), append(want, answers[name])
	}
	return names, cases, want
}

// TestReference holds every reference case to its proven cost: within 1e-6 of it, proven here too.
func TestReference(t *testing.T) {
	names, cases, want := reference(t)
	for i, p := range cases {
		plan, err := visit.Solve(p, visit.Options{})
		if err != nil {
			t.Fatalf("%s: %v", names[i], err)
		}
		if plan.Status.String() != want[i].Status {
			t.Errorf("%s: %v, want %s", names[i], plan.Status, want[i].Status)
		}
		if w := want[i].Objective; math.Abs(plan.Objective-w) > 1e-6*max(1, w) {
			t.Errorf("%s: %v, want %v", names[i], plan.Objective, w)
		}
		t.Logf("%s: %v %.6f in %d nodes", names[i], plan.Status, plan.Objective, plan.Nodes)
	}
}
