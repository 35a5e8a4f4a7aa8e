package nextlook_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/core/nextlook"
)

func drawCase(t *rapid.T, causes, checks int) nextlook.Case {
	var c nextlook.Case
	n := rapid.IntRange(1, causes).Draw(t, "causes")
	left := 1.0
	for i := range n {
		p := left
		if i < n-1 {
			p = left * rapid.Float64Range(0, 1).Draw(t, "share")
		}
		left -= p
		c.Causes, c.Prior = append(c.Causes, fmt.Sprint("c", i)), append(c.Prior, p)
		if rapid.IntRange(0, 5).Draw(t, "repairable") > 0 {
			c.Repairs = append(c.Repairs, nextlook.Repair{ID: c.Causes[i], Fixes: []int{i}, Cost: rapid.Float64Range(0, 300).Draw(t, "repair")})
		}
	}
	for j := range rapid.IntRange(0, checks).Draw(t, "checks") {
		k := nextlook.Check{ID: fmt.Sprint("k", j), Cost: rapid.Float64Range(0, 70).Draw(t, "check")}
		for range n {
			k.Positive = append(k.Positive, rapid.SampledFrom([]float64{0, 0.05, 0.1, 0.5, 0.9, 1}).Draw(t, "positive"))
		}
		c.Checks = append(c.Checks, k)
	}
	c.Escalate = rapid.Float64Range(0, 900).Draw(t, "escalate")
	if len(c.Repairs) > 1 && rapid.Bool().Draw(t, "setup") {
		s := nextlook.Setup{Cost: rapid.Float64Range(0, 200).Draw(t, "setup cost")}
		for r := range c.Repairs {
			if rapid.Bool().Draw(t, "in") {
				s.Repairs = append(s.Repairs, r)
			}
		}
		c.Setups = append(c.Setups, s)
	}
	return c
}

// best is the definition: the cheapest of everything that can be done, by plain recursion over what was tried and seen. Set-ups are
// written out as every set of their repairs.
func best(c nextlook.Case, w []float64, used int) float64 {
	total := 0.0
	for _, x := range w {
		total += x
	}
	if total <= 0 {
		return 0
	}
	least := c.Escalate * total
	for set := 1; set < 1<<len(c.Repairs); set++ {
		pay, v, ok := together(c, w, set)
		if ok {
			least = min(least, pay*total+best(c, v, used))
		}
	}
	for k, check := range c.Checks {
		if used>>k&1 == 1 {
			continue
		}
		yes, no := make([]float64, len(w)), make([]float64, len(w))
		for i, p := range check.Positive {
			yes[i], no[i] = w[i]*p, w[i]*(1-p)
		}
		least = min(least, check.Cost*total+best(c, yes, used|1<<k)+best(c, no, used|1<<k))
	}
	return least
}

// together is a set of repairs as one action: a single one, or several under the one set-up.
func together(c nextlook.Case, w []float64, set int) (pay float64, rest []float64, ok bool) {
	under := 0
	rest = append(rest, w...)
	gain := 0.0
	n := 0
	for r, repair := range c.Repairs {
		if set>>r&1 == 0 {
			continue
		}
		n++
		pay += repair.Cost
		for _, s := range c.Setups {
			for _, x := range s.Repairs {
				if x == r {
					under++
				}
			}
		}
		for _, f := range repair.Fixes {
			gain += rest[f]
			rest[f] = 0
		}
	}
	if under > 0 {
		pay += c.Setups[0].Cost
	}
	return pay, rest, gain > 0 && (n == 1 || under == n)
}

// TestBestPlan compares with the definition (1e-9 relative), and holds the look-ahead between the optimum and doing without checks.
func TestBestPlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCase(t, 4, 3)
		want := best(c, c.Prior, 0)
		for _, limit := range []int{0, 1} {
			a, err := nextlook.Solve(c, limit)
			if err != nil {
				t.Fatal(err)
			}
			got := a.First.Expected
			if a.Exact && math.Abs(got-want) > 1e-9*math.Max(1, want) || got < want-1e-9*math.Max(1, want) || limit == 0 && !a.Exact {
				t.Fatalf("limit %d: %v (exact %v), want %v", limit, got, a.Exact, want)
			}
			if got > a.NoChecks+1e-9*math.Max(1, want) {
				t.Fatalf("limit %d: %v costs more than %v without checks", limit, got, a.NoChecks)
			}
			if s := a.Reason.Sentence; s == "" || strings.Contains(s, "NaN") || strings.Contains(s, "Inf") {
				t.Fatalf("%q", s)
			}
		}
	})
}

// TestTableAgrees: where the limit stops the pruned search the full table takes over and says the same (1e-9).
func TestTableAgrees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCase(t, 5, 3)
		search, err := nextlook.Solve(c, 1_000_000)
		if err != nil {
			t.Fatal(err)
		}
		table, err := nextlook.Solve(c, 14) // 14*64 states hold 5 causes and 3 checks
		if err != nil {
			t.Fatal(err)
		}
		if !search.Exact || !table.Exact || math.Abs(search.First.Expected-table.First.Expected) > 1e-9*math.Max(1, search.First.Expected) {
			t.Fatalf("%v and %v", search.First, table.First)
		}
	})
}

// TestFreeCheckNeverHurts: one more check never makes the best plan dearer, and a dearer check never cheaper.
func TestFreeCheckNeverHurts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCase(t, 4, 3)
		if len(c.Checks) == 0 {
			return
		}
		a, err := nextlook.Solve(c, 0)
		if err != nil {
			t.Fatal(err)
		}
		less := c
		less.Checks = c.Checks[1:]
		b, err := nextlook.Solve(less, 0)
		if err != nil {
			t.Fatal(err)
		}
		if a.First.Expected > b.First.Expected*(1+1e-9)+1e-9 {
			t.Fatalf("%v with the check, %v without", a.First.Expected, b.First.Expected)
		}
	})
}

func TestRefused(t *testing.T) {
	good := func() nextlook.Case {
		return nextlook.Case{Causes: []string{"a", "b"}, Prior: []float64{0.5, 0.5}, Escalate: 10,
			Repairs: []nextlook.Repair{{ID: "a", Fixes: []int{0}, Cost: 1}},
			Checks:  []nextlook.Check{{ID: "k", Cost: 1, Positive: []float64{0, 1}}}}
	}
	tests := []struct {
		name  string
		spoil func(*nextlook.Case)
		want  string
	}{
		{"none", func(c *nextlook.Case) { c.Causes, c.Prior = nil, nil }, "0 causes"},
		{"priors", func(c *nextlook.Case) { c.Prior = []float64{0.5, 0.4} }, "sum to 0.9"},
		{"nan", func(c *nextlook.Case) { c.Prior = []float64{math.NaN(), 0.4} }, "NaN"},
		{"negative", func(c *nextlook.Case) { c.Escalate = -1 }, "handing on costs -1"},
		{"infinite", func(c *nextlook.Case) { c.Checks[0].Cost = math.Inf(1) }, "costs +Inf"},
		{"short", func(c *nextlook.Case) { c.Checks[0].Positive = nil }, "0 probabilities for 2 causes"},
		{"above one", func(c *nextlook.Case) { c.Checks[0].Positive[0] = 1.1 }, "no probability"},
		{"fixes", func(c *nextlook.Case) { c.Repairs[0].Fixes[0] = 2 }, "fixes cause 3 of 2"},
		{"twice", func(c *nextlook.Case) { c.Causes[1] = "a" }, "twice"},
		{"set-up", func(c *nextlook.Case) { c.Setups = []nextlook.Setup{{Repairs: []int{0, 0}}} }, "set-up already"},
		{"many", func(c *nextlook.Case) { c.Checks = make([]nextlook.Check, 65) }, "at most 64"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := good()
			tt.spoil(&c)
			if a, err := nextlook.Solve(c, 0); err == nil || a != nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got %v, want %q", err, tt.want)
			}
		})
	}
}

// BenchmarkSolve is a case of 6 causes and 6 checks, exact. Budget: 50 ms.
func BenchmarkSolve(b *testing.B) {
	c := nextlook.Case{Prior: []float64{0.3, 0.25, 0.2, 0.15, 0.07, 0.03}, Escalate: 900}
	for i := range c.Prior {
		c.Causes = append(c.Causes, fmt.Sprint("c", i))
		c.Repairs = append(c.Repairs, nextlook.Repair{ID: c.Causes[i], Fixes: []int{i}, Cost: 60 + 40*float64(i*i%7)})
	}
	for j := range 6 {
		k := nextlook.Check{ID: fmt.Sprint("k", j), Cost: 8 + 5*float64(j)}
		for i := range c.Prior {
			k.Positive = append(k.Positive, 0.05+0.9*float64((i>>(j%3)+j)&1))
		}
		c.Checks = append(c.Checks, k)
	}
	for b.Loop() {
		if _, err := nextlook.Solve(c, 0); err != nil {
			b.Fatal(err)
		}
	}
}
