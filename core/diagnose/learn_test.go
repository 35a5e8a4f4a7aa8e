package diagnose_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/catalogue"
	"witnessmark/core/diagnose"
	"witnessmark/core/point"
)

// base is the catalogue that the tests reason with.
func base(t testing.TB) *point.Catalogue {
	t.Helper()
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	return cat
}

// TestLearn: the posterior mean of a proportion, worked by hand: (200*p + 5)/(200 + 100) and, the leak taken out, (10*s + 1)/(10 + 4).
func TestLearn(t *testing.T) {
	cat := base(t)
	old := cat.Cause("head-gasket")
	sign := cat.Sign("gas-in-coolant")
	prior := old.Prior
	q := 0.0
	for _, e := range old.Explains {
		if e.Sign == sign.ID {
			q = e.Q
		}
	}
	counts := diagnose.Counts{Cars: 100, Confirmed: map[string]int{"head-gasket": 5}, Links: map[diagnose.Link]diagnose.Count{{Cause: "head-gasket", Sign: sign.ID}: {Seen: 1, Of: 4}}}
	learnt, changed := diagnose.Learn(cat, counts, diagnose.Weights{})
	now := learnt.Cause("head-gasket")
	if want := (200*prior + 5) / 300; math.Abs(now.Prior-want) > 1e-12 {
		t.Errorf("prior %g, want %g", now.Prior, want)
	}
	shows := (10*(sign.Leak+(1-sign.Leak)*q) + 1) / 14
	want := (shows - sign.Leak) / (1 - sign.Leak)
	found := false
	for _, c := range changed {
		if c.Cause == "head-gasket" && c.Sign == sign.ID {
			found = true
			if c.From != q || math.Abs(c.To-want) > 1e-12 || c.Seen != 1 || c.Of != 4 {
				t.Errorf("change %+v, want %g to %g", c, q, want)
			}
		}
	}
	if !found {
		t.Errorf("the sign's change is not listed: %v", changed)
	}
	if other := learnt.Cause("hose-leaks"); other.Prior >= cat.Cause("hose-leaks").Prior {
		t.Errorf("a cause that never came rises to %g", other.Prior)
	}
	if old.Prior != prior || cat.Cause("head-gasket") != old {
		t.Error("the catalogue given was changed")
	}
	if same, none := diagnose.Learn(cat, diagnose.Counts{}, diagnose.DefaultWeights); len(none) != 0 || same.Cause("head-gasket").Prior != prior {
		t.Errorf("nothing counted, but %v changed", none)
	}
}

// TestLearnProperties: more confirmed never lowers a prior, counts pull towards their share, and whatever is counted stays a probability.
func TestLearnProperties(t *testing.T) {
	cat := base(t)
	rapid.Check(t, func(t *rapid.T) {
		k := cat.Causes[rapid.IntRange(0, len(cat.Causes)-1).Draw(t, "cause")]
		e := k.Explains[rapid.IntRange(0, len(k.Explains)-1).Draw(t, "sign")]
		n := rapid.IntRange(-2, 100000).Draw(t, "cars")
		yes := rapid.IntRange(-2, 100000).Draw(t, "confirmed")
		w := diagnose.Weights{Cars: rapid.Float64().Draw(t, "weight"), Cases: rapid.Float64().Draw(t, "cases")}
		learn := func(yes int) *point.Cause {
			c, changed := diagnose.Learn(cat, diagnose.Counts{Cars: n, Confirmed: map[string]int{k.ID: yes},
				Links: map[diagnose.Link]diagnose.Count{{Cause: k.ID, Sign: e.Sign}: {Seen: yes, Of: n}}}, w)
			for _, x := range changed {
				if !(x.To > 0 && x.To < 1) {
					t.Fatalf("%+v is no probability", x)
				}
			}
			return c.Cause(k.ID)
		}
		a, b := learn(yes), learn(yes+1)
		if b.Prior < a.Prior {
			t.Fatalf("prior falls from %g to %g with one more", a.Prior, b.Prior)
		}
	})
}
