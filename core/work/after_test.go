package work

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestFollows: the same look once, soonest first.
func TestFollows(t *testing.T) {
	cat := small()
	for _, c := range []struct {
		name   string
		doings []Doing
		want   []string
	}{
		{"nothing", nil, nil},
		{"before the car leaves, by days, and last what only distance brings", []Doing{{"pads", "F"}},
			[]string{"Pedal firm. 0 0 [{pads F}]", "Bolts again. 14 100 [{pads F}]", "Bedded in? 0 300 [{pads F}]"}},
		{"both axles come back once", []Doing{{"discs", "F"}, {"discs", "R"}}, []string{"Bolts again. 14 100 [{discs F} {discs R}]"}},
		{"two jobs with the same look come back once", []Doing{{"coolant", ""}, {"pump", ""}}, []string{"Cold level. 7 300 [{coolant } {pump }]"}},
		{"unknown work calls for none", []Doing{{"unknown", ""}}, nil},
	} {
		var got []string
		for _, f := range Follows(cat, c.doings) {
			got = append(got, fmt.Sprint(f.Say, " ", f.Days, " ", f.Km, " ", f.Of))
		}
		same(t, c.name, got, c.want)
	}
}

// TestFollowsLoseNothing: each look of a doing and its preparations stands once, with that doing, and later looks never stand before
// sooner ones.
func TestFollowsLoseNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cat, doings := drawn(t)
		got := Follows(cat, doings)
		for i, f := range got {
			if slices.ContainsFunc(got[:i], func(o Follow) bool { return o.WorkFollow == f.WorkFollow }) || !slices.Equal(once(f.Of), f.Of) || len(f.Of) == 0 {
				t.Errorf("%v stands twice", f)
			}
			if i == 0 {
				continue
			}
			before := got[i-1]
			if atOnce := f.Days == 0 && f.Km == 0; atOnce && (before.Days > 0 || before.Km > 0) || f.Days > 0 && (before.Days > f.Days || before.Days == 0 && before.Km > 0) {
				t.Errorf("%v stands before %v", before, f)
			}
		}
		for _, d := range doings {
			want := 0
			if w := cat.Work[d.Job]; w != nil {
				for _, f := range w.Follows {
					if !slices.ContainsFunc(got, func(x Follow) bool { return x.WorkFollow == f && slices.Contains(x.Of, d) }) {
						t.Errorf("%v lacks %v", d, f)
					}
					want++
				}
			}
			for _, s := range SetupsOf(cat, d) {
				for _, f := range s.Follows {
					if !slices.ContainsFunc(got, func(x Follow) bool { return x.WorkFollow == f && slices.Contains(x.Of, d) }) {
						t.Errorf("%v lacks %v of %s", d, f, s.ID)
					}
					want++
				}
			}
			if want > 0 && len(got) == 0 {
				t.Errorf("%v calls for %d looks; none is listed", d, want)
			}
		}
	})
}

// TestBaselines: every position of the car within the doing's place, each once, in the order of the walk.
func TestBaselines(t *testing.T) {
	cat := small()
	for _, c := range []struct {
		name   string
		doings []Doing
		facets []string
		want   []Baseline
	}{
		{"nothing", nil, nil, nil},
		{"an axle has its corners with their places, and the car's one level", []Doing{{"pads", "F"}}, nil,
			[]Baseline{{"level", ""}, {"pad", "FL/inner"}, {"pad", "FL/outer"}, {"pad", "FR/inner"}, {"pad", "FR/outer"}}},
		{"drums at the rear have no pads", []Doing{{"pads", "R"}}, nil, []Baseline{{"level", ""}}},
		{"somewhere is everywhere", []Doing{{"discs", ""}}, []string{"rear", "disc"}, []Baseline{{"disc", "F"}, {"disc", "R"},
			{"pad", "FL/inner"}, {"pad", "FL/outer"}, {"pad", "FR/inner"}, {"pad", "FR/outer"}, {"pad", "RL/inner"}, {"pad", "RL/outer"}, {"pad", "RR/inner"}, {"pad", "RR/outer"}}},
		{"two jobs that read the same read once", []Doing{{"discs", "F"}, {"pads", "F"}}, nil,
			[]Baseline{{"disc", "F"}, {"level", ""}, {"pad", "FL/inner"}, {"pad", "FL/outer"}, {"pad", "FR/inner"}, {"pad", "FR/outer"}}},
		{"a corner is one corner", []Doing{{"hub", "FR"}}, nil, []Baseline{{"tyre", "FR"}}},
		{"the spare is only the spare", []Doing{{"hub", "spare"}}, nil, []Baseline{{"tyre", "spare"}}},
		{"pieces by their number", []Doing{{"filter", "2"}}, []string{"filters", "2"}, []Baseline{{"filter", "2"}}},
		{"a piece that the car hasn't", []Doing{{"filter", "2"}}, []string{"filters", "1"}, nil},
	} {
		same(t, c.name, Baselines(cat, c.doings, facets(c.facets...)), c.want)
	}
}

// TestBaselinesGrow: more doings never read less, and what they read is the union of what each reads alone.
func TestBaselinesGrow(t *testing.T) {
	cat := small()
	jobs := []string{"pads", "discs", "hub", "filter", "coolant", "unknown"}
	rapid.Check(t, func(t *rapid.T) {
		set := facets("rear", rapid.SampledFrom([]string{"disc", "drum"}).Draw(t, "rear"), "filters", rapid.SampledFrom([]string{"1", "2"}).Draw(t, "filters"))
		doings := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Doing {
			return Doing{rapid.SampledFrom(jobs).Draw(t, "job"), rapid.SampledFrom(places).Draw(t, "at")}
		}), 0, 6).Draw(t, "doings")
		all := Baselines(cat, doings, set)
		for i, b := range all {
			if slices.Contains(all[:i], b) {
				t.Errorf("%v stands twice", b)
			}
		}
		alone := map[Baseline]bool{}
		for _, d := range doings {
			for _, b := range Baselines(cat, []Doing{d}, set) {
				alone[b] = true
				if !slices.Contains(all, b) {
					t.Errorf("%v of %v is missing", b, d)
				}
			}
		}
		if len(alone) != len(all) {
			t.Errorf("%d together; %d alone", len(all), len(alone))
		}
	})
}
