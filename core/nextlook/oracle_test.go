package nextlook_test

import (
	"encoding/json"
	"math"
	"slices"
	"testing"

	"witnessmark/core/nextlook"
	"witnessmark/internal/published"
)

type instance struct {
	ID         string
	Causes     []string
	Prior      []float64
	RepairCost []float64 `json:"repair_cost"`
	Checks     []struct {
		ID       string
		Cost     float64
		Positive []float64 `json:"p_positive"`
	}
	Escalate float64 `json:"escalate_cost"`
}

func (x instance) theCase() nextlook.Case {
	c := nextlook.Case{Causes: x.Causes, Prior: x.Prior, Escalate: x.Escalate}
	for i, id := range x.Causes {
		c.Repairs = append(c.Repairs, nextlook.Repair{ID: id, Fixes: []int{i}, Cost: x.RepairCost[i]})
	}
	for _, k := range x.Checks {
		c.Checks = append(c.Checks, nextlook.Check{ID: k.ID, Cost: k.Cost, Positive: k.Positive})
	}
	return c
}

type answer struct {
	ID       string
	Cost     float64            `json:"optimal_cost"`
	First    []string           `json:"optimal_first"`
	Q        map[string]float64 `json:"q_first"`
	NoChecks float64            `json:"optimal_no_checks"`
	Greedy   float64            `json:"greedy_1step"`
}

func load(t testing.TB) (cases []instance, answers []answer) {
	t.Helper()
	text, ok := published.File(t, "oracle", "troubleshoot", "instances.json")
	if !ok {
		return nil, nil
	}
	var in struct{ Instances []instance }
	if err := json.Unmarshal(text, &in); err != nil {
		t.Fatal(err)
	}
	text, _ = published.File(t, "oracle", "troubleshoot", "expected.json")
	var out struct{ Expected []answer }
	if err := json.Unmarshal(text, &out); err != nil {
		t.Fatal(err)
	}
	return in.Instances, out.Expected
}

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Max(math.Abs(a), math.Abs(b)) }

// TestReferenceCases compares with a full dynamic programme: 1e-9 relative, every first step and the plan without checks too.
func TestReferenceCases(t *testing.T) {
	cases, answers := load(t)
	for i, x := range cases {
		a, err := nextlook.Solve(x.theCase(), 0)
		if err != nil {
			t.Fatalf("%s: %v", x.ID, err)
		}
		want := answers[i]
		if !a.Exact || !near(a.First.Expected, want.Cost) || !slices.Contains(want.First, a.First.Name()) {
			t.Errorf("%s: %s at %v (exact %v), want %v at %v", x.ID, a.First.Name(), a.First.Expected, a.Exact, want.First, want.Cost)
		}
		if !near(a.NoChecks, want.NoChecks) || len(a.Options) != len(want.Q) {
			t.Errorf("%s: without checks %v, want %v; %d options, want %d", x.ID, a.NoChecks, want.NoChecks, len(a.Options), len(want.Q))
		}
		for _, o := range a.Options {
			if !near(o.Expected, want.Q[o.Name()]) {
				t.Errorf("%s: %s then the best costs %v, want %v", x.ID, o.Name(), o.Expected, want.Q[o.Name()])
			}
		}
	}
}

// TestLookAheadReference forbids the exact search: the plan is then no dearer than the reference's one-step look-ahead (1e-9) and no
// cheaper than the optimum.
func TestLookAheadReference(t *testing.T) {
	cases, answers := load(t)
	sum := 0.0
	for i, x := range cases {
		a, err := nextlook.Solve(x.theCase(), 1)
		if err != nil {
			t.Fatalf("%s: %v", x.ID, err)
		}
		if got := a.First.Expected; got > answers[i].Greedy*(1+1e-9) || got < answers[i].Cost*(1-1e-9) {
			t.Errorf("%s: %v, want between %v and %v (exact %v)", x.ID, got, answers[i].Cost, answers[i].Greedy, a.Exact)
		}
		sum += a.First.Expected / answers[i].Cost
	}
	t.Logf("mean ratio of the look-ahead to the optimum with little work: %.5f", sum/float64(len(cases)))
}
