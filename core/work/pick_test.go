package work

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestPick: amounts per part, what is fitted before what may be.
func TestPick(t *testing.T) {
	cat := small()
	for _, c := range []struct {
		name   string
		doings []Doing
		facets []string
		want   []string
	}{
		{"nothing", nil, nil, nil},
		{"one axle", []Doing{{"pads", "F"}}, nil, []string{"cleaner 500 [{pads F}]", "pad-set 1000 [{pads F}]", "maybe sensor 1000 [{pads F}]"}},
		{"a part that only some cars take", []Doing{{"pads", "F"}}, []string{"parking", "electric"},
			[]string{"cleaner 500 [{pads F}]", "motor 1000 [{pads F}]", "pad-set 1000 [{pads F}]", "maybe sensor 1000 [{pads F}]"}},
		{"summed over jobs; fitted and maybe apart", []Doing{{"pads", "F"}, {"discs", "R"}, {"pads", "F"}}, nil,
			[]string{"cleaner 750 [{pads F} {discs R}]", "disc 2000 [{discs R}]", "pad-set 1000 [{pads F}]", "maybe pad-set 1000 [{discs R}]", "maybe sensor 1000 [{pads F}]"}},
		{"a preparation's fluid once for all that need it", []Doing{{"hub", "FL"}, {"hub", "FR"}, {"brakes", ""}}, nil, []string{"fluid 500 [{hub FL} {hub FR} {brakes }]"}},
		{"unknown work takes nothing", []Doing{{"unknown", ""}}, nil, nil},
	} {
		var got []string
		for _, p := range Pick(cat, c.doings, facets(c.facets...)) {
			s := fmt.Sprint(p.Part, " ", p.Milli, " ", p.Of)
			if p.Maybe {
				s = "maybe " + s
			}
			got = append(got, s)
		}
		same(t, c.name, got, c.want)
	}
}

// TestPickSums: each part stands once as fitted and once as maybe, in order, with the sum over doings and over preparations, once each.
func TestPickSums(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cat, doings := drawn(t)
		set := facets("a", rapid.SampledFrom([]string{"1", "2"}).Draw(t, "a"))
		type key struct {
			part  string
			maybe bool
		}
		want := map[key]int64{}
		for _, d := range once(doings) {
			if w := cat.Work[d.Job]; w != nil {
				for _, p := range w.Parts {
					if ok, _ := p.When.Holds(set); ok {
						want[key{p.Part, p.Maybe}] += p.Milli
					}
				}
			}
		}
		for _, s := range Minutes(cat, doings, set).Setups {
			for _, p := range cat.Setups[s.ID].Parts {
				if ok, _ := p.When.Holds(set); ok {
					want[key{p.Part, p.Maybe}] += p.Milli
				}
			}
		}
		got := Pick(cat, doings, set)
		if len(got) != len(want) {
			t.Errorf("%d lines; want %d", len(got), len(want))
		}
		for i, p := range got {
			if want[key{p.Part, p.Maybe}] != p.Milli {
				t.Errorf("%v; want %d", p, want[key{p.Part, p.Maybe}])
			}
			if len(p.Of) == 0 || !slices.Equal(once(p.Of), p.Of) {
				t.Errorf("%s is of %v", p.Part, p.Of)
			}
			if i > 0 && (got[i-1].Maybe && !p.Maybe || got[i-1].Maybe == p.Maybe && got[i-1].Part >= p.Part) {
				t.Errorf("%v stands before %v", got[i-1], p)
			}
		}
	})
}

// TestFields: preparations' figures once, a job's own per job, the car's specification once for all.
func TestFields(t *testing.T) {
	cat := small()
	for _, c := range []struct {
		name   string
		doings []Doing
		want   []string
	}{
		{"nothing", nil, nil},
		{"both axles of one job ask once", []Doing{{"pads", "F"}, {"pads", "R"}}, []string{"Wheel bolts [{pads F} {pads R}]", "Guide bolts [{pads F} {pads R}]"}},
		{"two jobs' guide bolts are two figures, the wheel bolts one", []Doing{{"pads", "F"}, {"discs", "F"}},
			[]string{"Wheel bolts [{pads F} {discs F}]", "Guide bolts [{pads F}]", "Guide bolts [{discs F}]"}},
		{"a job asks for its preparation's figure, whoever shares it", []Doing{{"hub", "FL"}, {"brakes", ""}}, []string{"Wheel bolts [{hub FL} {brakes }]", "Bleed screws [{hub FL} {brakes }]"}},
		{"whichever comes first", []Doing{{"brakes", ""}, {"hub", "FL"}}, []string{"Wheel bolts [{brakes } {hub FL}]", "Bleed screws [{brakes } {hub FL}]"}},
		{"a doing that stands twice asks once", []Doing{{"pads", "F"}, {"pads", "F"}}, []string{"Wheel bolts [{pads F}]", "Guide bolts [{pads F}]"}},
	} {
		var got []string
		for _, f := range Fields(cat, c.doings) {
			got = append(got, fmt.Sprint(f.Name, " ", f.Of))
		}
		same(t, c.name, got, c.want)
	}
}

// TestFieldsAskAll: every figure of every doing and its preparations is asked for that doing, a specification of the car never twice.
func TestFieldsAskAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cat, doings := drawn(t)
		got := Fields(cat, doings)
		specs := map[string]bool{}
		for _, f := range got {
			if f.Spec != "" && specs[f.Spec+f.Name] {
				t.Errorf("%s is asked twice", f.Name)
			}
			specs[f.Spec+f.Name] = true
			if !slices.Equal(once(f.Of), f.Of) {
				t.Errorf("%s is of %v", f.Name, f.Of)
			}
		}
		for _, d := range doings {
			var want []string
			if w := cat.Work[d.Job]; w != nil {
				for _, f := range w.Fields {
					want = append(want, f.Name+f.Spec)
				}
			}
			for _, s := range SetupsOf(cat, d) {
				for _, f := range s.Fields {
					want = append(want, f.Name+f.Spec)
				}
			}
			for _, f := range want {
				if !slices.ContainsFunc(got, func(x Field) bool { return x.Name+x.Spec == f && slices.Contains(x.Of, d) }) {
					t.Errorf("%v lacks %s", d, f)
				}
			}
		}
	})
}
