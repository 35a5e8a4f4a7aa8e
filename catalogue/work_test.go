package catalogue

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"witnessmark/core/point"
)

// TestEveryJobIsWorked: of every job the base names, something says how it is done, and every fluid that jobs take can be bought.
func TestEveryJobIsWorked(t *testing.T) {
	for _, open := range Unworked(base(t)) {
		t.Error(open)
	}
}

// TestUnworkedCanFail: without its work a job is named, and without the part its fluid is.
func TestUnworkedCanFail(t *testing.T) {
	cat := *base(t)
	cat.Work, cat.Parts = maps.Clone(cat.Work), maps.Clone(cat.Parts)
	delete(cat.Work, "renew-pads")
	delete(cat.Parts, "axle-oil")
	got := Unworked(&cat)
	for _, want := range []string{"job renew-pads: no work says how it is done", "job renew-axle-oil takes axle oil: no part is bought for it"} {
		if !slices.Contains(got, want) {
			t.Errorf("%q is missing in %q", want, got)
		}
	}
}

// TestEveryPartIsUsed: a part that no work, no preparation and no job takes is a slip of the pen.
func TestEveryPartIsUsed(t *testing.T) {
	cat := base(t)
	used := map[string]bool{}
	take := func(parts []point.WorkPart) {
		for _, p := range parts {
			used[p.Part] = true
		}
	}
	for _, w := range cat.Work {
		take(w.Parts)
	}
	for _, s := range cat.Setups {
		take(s.Parts)
	}
	for _, j := range cat.Jobs {
		for _, k := range j.Takes {
			used[cat.FluidPart(k.What).ID] = true
		}
	}
	for id := range cat.Parts {
		if !used[id] {
			t.Errorf("part %s is taken by nothing", id)
		}
	}
	for id := range cat.Setups {
		if !slices.ContainsFunc(slices.Collect(maps.Values(cat.Work)), func(w *point.Work) bool { return slices.Contains(w.Setups, id) }) {
			t.Errorf("preparation %s is needed by nothing", id)
		}
	}
}

// TestWorkTexts: what work says are sentences, in British spelling, without doubled blanks and without makers' marks.
func TestWorkTexts(t *testing.T) {
	cat := base(t)
	sentence := func(where, s string) {
		if !strings.HasSuffix(s, ".") && !strings.HasSuffix(s, "?") || s[:1] != strings.ToUpper(s[:1]) || blanks.MatchString(s) || unwanted.MatchString(s) {
			t.Errorf("%s: %q", where, s)
		}
	}
	follows := func(where string, fs []point.WorkFollow) {
		for _, f := range fs {
			sentence(where+" follow-up", f.Say)
		}
	}
	for id, w := range cat.Work {
		for _, s := range w.Steps {
			sentence("work "+id, s.Say)
		}
		follows("work "+id, w.Follows)
	}
	for id, s := range cat.Setups {
		sentence("setup "+id, s.Does)
		if s.Undo != "" {
			sentence("setup "+id, s.Undo)
		}
		follows("setup "+id, s.Follows)
	}
	said := map[string]string{}
	for _, p := range cat.Parts {
		if other := said[p.Name]; other != "" || blanks.MatchString(p.Name) || unwanted.MatchString(p.Name) {
			t.Errorf("part %s: name %q, also of %q", p.ID, p.Name, other)
		}
		said[p.Name] = p.ID
	}
}

// hurts names cautions that belong to a step or a preparation and may not stand over a whole job only: what can kill or maim is said
// where it is met. Jacks are not among them, as the work is done on the lift.
var hurts = []string{"spring-tension", "airbag", "high-voltage", "hot-coolant", "fuel-fire", "aircon-gas", "pressure-spray", "battery-acid", "running-fan", "running-belt", "tyre-burst",
	"car-on-lift", "brake-fluid", "brake-dust", "exhaust-hot", "exhaust-gas", "glass", "sharp-corrosion", "moving-car", "raised-wheel", "road-test", "used-oil", "fluid-hot-oil", "battery-lead-order",
	"electric-fan-by-itself"}

// TestCautionsStandAtTheStep: what a job warns of is said again at the step or the preparation where it can hurt.
func TestCautionsStandAtTheStep(t *testing.T) {
	cat := base(t)
	for id, j := range cat.Jobs {
		w := cat.Work[id]
		for _, c := range j.Cautions {
			if !slices.Contains(hurts, c) {
				continue
			}
			at := slices.ContainsFunc(w.Steps, func(s point.WorkStep) bool { return slices.Contains(s.Cautions, c) }) ||
				slices.ContainsFunc(w.Setups, func(s string) bool { return slices.Contains(cat.Setups[s].Cautions, c) })
			if !at {
				t.Errorf("job %s: no step and no preparation says when to mind %s", id, c)
			}
		}
	}
}

// TestWheelsOffAreLookedAtAgain: whoever takes wheels off comes back for the bolts, and torques come from the car and are never given.
func TestWheelsOffAreLookedAtAgain(t *testing.T) {
	cat := base(t)
	for _, id := range []string{"front-wheels-off", "rear-wheels-off"} {
		s := cat.Setups[id]
		if !slices.ContainsFunc(s.Follows, func(f point.WorkFollow) bool { return f.Km == 100 && f.Point == "wheel-bolt-recheck" }) {
			t.Errorf("%s calls for no second look at the bolts", id)
		}
		if !slices.ContainsFunc(s.Fields, func(f point.WorkField) bool { return f.Spec == "wheel-bolt-torque-Nm" }) {
			t.Errorf("%s asks for no torque", id)
		}
	}
	for id, sp := range cat.Specs {
		if sp.Unit == "Nm" && sp.Default != nil {
			t.Errorf("specification %s: a torque is never guessed", id)
		}
	}
}
