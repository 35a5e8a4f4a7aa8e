package nextlook_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"witnessmark/core/cause"
	"witnessmark/core/nextlook"
)

// coolant is an invented complaint: the level is low. All figures are the test's own.
func coolant(t testing.TB) nextlook.Problem {
	t.Helper()
	var b cause.Builder
	b.AddCause("pump", 0.02)
	b.AddCause("hose", 0.01)
	b.AddCause("cap", 0.005)
	b.AddFinding("low", 0.01, []cause.Link{{Cause: "pump", Q: 0.9}, {Cause: "hose", Q: 0.8}, {Cause: "cap", Q: 0.5}})
	b.AddFinding("traces-pump", 0.02, []cause.Link{{Cause: "pump", Q: 0.7}})
	b.AddFinding("pressure-lost", 0.05, []cause.Link{{Cause: "pump", Q: 0.6}, {Cause: "hose", Q: 0.9}, {Cause: "cap", Q: 0.95}})
	b.AddFinding("radio-silent", 0.3, nil)
	net, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	return nextlook.Problem{Net: net, Seen: cause.Evidence{"low": cause.Is(cause.Present)}, Causes: []string{"pump", "hose", "cap"},
		Repairs: []nextlook.Job{{ID: "new pump", Fixes: []string{"pump"}, Minutes: 120, Money: 80},
			{ID: "new hose", Fixes: []string{"hose"}, Minutes: 30, Money: 25}, {ID: "new cap", Fixes: []string{"cap"}, Minutes: 2, Money: 15}},
		Looks: []nextlook.Look{{ID: "torch", Variable: "traces-pump", Minutes: 5}, {ID: "pressure test", Variable: "pressure-lost", Minutes: 20},
			{ID: "level again", Variable: "low", Minutes: 1}, {ID: "radio", Variable: "radio-silent", Minutes: 1}},
		Rate: 1, HandOn: 500}
}

// TestPose works the priors out by hand: P(low, only pump) = 0.02*0.99*0.995*(1-0.99*0.1), and so on; tolerance 1e-12.
func TestPose(t *testing.T) {
	c, err := nextlook.Pose(coolant(t))
	if err != nil {
		t.Fatal(err)
	}
	w := map[string]float64{"pump": 0.02 * 0.99 * 0.995 * (1 - 0.99*0.1), "hose": 0.98 * 0.01 * 0.995 * (1 - 0.99*0.2),
		"cap": 0.98 * 0.99 * 0.005 * (1 - 0.99*0.5), nextlook.Other: 0.98 * 0.99 * 0.995 * 0.01}
	sum := 0.0
	for _, x := range w {
		sum += x
	}
	for i, id := range c.Causes {
		if math.Abs(c.Prior[i]-w[id]/sum) > 1e-12 {
			t.Errorf("P(only %s) = %v, want %v", id, c.Prior[i], w[id]/sum)
		}
	}
	// The look that is done and the one that tells nothing are not among the checks.
	if len(c.Checks) != 2 || c.Checks[0].ID != "torch" || c.Checks[1].Cost != 20 {
		t.Fatalf("%+v", c.Checks)
	}
	pump := slices.Index(c.Causes, "pump")
	if got, want := c.Checks[0].Positive[pump], 1-0.98*0.3; math.Abs(got-want) > 1e-12 {
		t.Errorf("P(traces | pump) = %v, want %v", got, want)
	}
	a, err := nextlook.Solve(c, 0)
	if err != nil || !a.Exact || a.First.Name() != "check:torch" || a.First.Saving <= 0 {
		t.Fatalf("%+v %v", a, err)
	}
	if s := a.Reason.Sentence; !strings.Contains(s, "torch costs 5.00") || !strings.Contains(s, "leaves pump at") {
		t.Error(s)
	}
}

func TestPoseRefuses(t *testing.T) {
	p := coolant(t)
	p.Causes = append(p.Causes, "ghost")
	if _, err := nextlook.Pose(p); err == nil || !strings.Contains(err.Error(), `"ghost"`) {
		t.Error(err)
	}
	p = coolant(t)
	p.Looks[0].Variable = "ghost"
	if _, err := nextlook.Pose(p); err == nil || !strings.Contains(err.Error(), `"torch"`) {
		t.Error(err)
	}
	var b cause.Builder
	b.AddCause("a", 0.1)
	b.AddCause("b", 0.1)
	b.AddFinding("x", 0, []cause.Link{{Cause: "a", Q: 0.5}})
	b.AddFinding("y", 0, []cause.Link{{Cause: "b", Q: 0.5}})
	net, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	p = nextlook.Problem{Net: net, Causes: []string{"a", "b"}, Seen: cause.Evidence{"x": cause.Is(cause.Present), "y": cause.Is(cause.Present)}}
	if _, err := nextlook.Pose(p); !errors.Is(err, nextlook.ErrSeveral) {
		t.Error(err)
	}
}

// BenchmarkPose is a complaint in a network of 150 causes and 200 findings: 12 causes, 20 looks, 5 findings seen. Budget for posing and solving with a
// small limit: 30 ms.
func BenchmarkPose(b *testing.B) {
	var nb cause.Builder
	for i := range 150 {
		nb.AddCause(fmt.Sprint("c", i), 0.002+0.0001*float64(i%17))
	}
	for j := range 200 {
		var links []cause.Link
		for k := range 4 {
			links = append(links, cause.Link{Cause: fmt.Sprint("c", (j*7+k*11)%150), Q: 0.2 + 0.15*float64(k)})
		}
		nb.AddFinding(fmt.Sprint("f", j), 0.01, links)
	}
	net, err := nb.Build()
	if err != nil {
		b.Fatal(err)
	}
	p := nextlook.Problem{Net: net, Seen: cause.Evidence{}, Rate: 1, HandOn: 900}
	for j := range 5 {
		p.Seen[fmt.Sprint("f", j)] = cause.Is(cause.Present)
	}
	for i := range 12 {
		id := fmt.Sprint("c", i*7%150)
		p.Causes = append(p.Causes, id)
		p.Repairs = append(p.Repairs, nextlook.Job{ID: id, Fixes: []string{id}, Minutes: 30 + 10*float64(i), Money: 40})
	}
	for j := range 20 {
		p.Looks = append(p.Looks, nextlook.Look{ID: fmt.Sprint("k", j), Variable: fmt.Sprint("f", 5+j), Minutes: 3 + float64(j)})
	}
	for b.Loop() {
		c, err := nextlook.Pose(p)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := nextlook.Solve(c, 1000); err != nil {
			b.Fatal(err)
		}
	}
}
