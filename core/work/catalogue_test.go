package work

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/core/facet"
	"witnessmark/core/point"
)

// small is an invented catalogue in which every shape of work stands once.
func small() *point.Catalogue {
	follow := point.WorkFollow{Say: "Bolts again.", Point: "bolts", Km: 100, Days: 14, Source: "practice"}
	bolts := point.WorkField{Name: "Wheel bolts", Spec: "wheel-bolt-torque-Nm", Unit: "Nm"}
	c := &point.Catalogue{
		Setups: map[string]*point.Setup{
			"lift":   {ID: "lift", Name: "On the lift", Does: "Up.", Undo: "Down.", Minutes: 8, UndoMinutes: 3, Order: 10, Cautions: []string{"lift"}},
			"fronts": {ID: "fronts", Does: "Off.", Undo: "On.", Minutes: 14, UndoMinutes: 8, Order: 30, Axle: "F", Under: []string{"lift"}, Fields: []point.WorkField{bolts}, Follows: []point.WorkFollow{follow}},
			"rears":  {ID: "rears", Does: "Off.", Undo: "On.", Minutes: 12, UndoMinutes: 7, Order: 31, Axle: "R", Under: []string{"lift"}, Fields: []point.WorkField{bolts}, Follows: []point.WorkFollow{follow}},
			"open":   {ID: "open", Does: "Open.", Undo: "Bleed.", Minutes: 36, UndoMinutes: 28, Order: 40, Under: []string{"lift"}, Parts: []point.WorkPart{{Part: "fluid", Milli: 500}}, Fields: []point.WorkField{{Name: "Bleed screws", Unit: "Nm"}}},
			"warm":   {ID: "warm", Does: "Run.", Minutes: 20, Order: 110, Last: true},
			"bled":   {ID: "bled", Does: "Bleed.", Minutes: 15, Order: 115, Under: []string{"warm"}, Last: true},
		},
		Jobs: map[string]*point.Job{
			"pads":    {ID: "pads", Name: "Pads", Renews: []string{"pads"}, Cautions: []string{"lift", "dust", "stray"}},
			"discs":   {ID: "discs", Name: "Discs", Renews: []string{"discs", "pads"}},
			"brakes":  {ID: "brakes", Name: "Brakes", Renews: []string{"discs", "pads", "hoses"}},
			"hub":     {ID: "hub", Name: "Hub", Renews: []string{"hub"}},
			"filter":  {ID: "filter", Name: "Filter", Renews: []string{"filter"}},
			"coolant": {ID: "coolant", Name: "Coolant", Renews: []string{"coolant"}, Cautions: []string{"hot"}},
			"pump":    {ID: "pump", Name: "Pump", Renews: []string{"pump", "coolant"}},
			"look":    {ID: "look", Name: "Look", Cautions: []string{"stray"}},
			"unknown": {ID: "unknown", Name: "Unknown", Renews: []string{"pads"}},
		},
		Work: map[string]*point.Work{
			"pads": {Job: "pads", Per: "axle", Setups: []string{"lift", "fronts", "rears"}, Baselines: []string{"pad", "level"},
				Steps:  []point.WorkStep{{Say: "Service position.", Minutes: 4, When: is("parking", "electric")}, {Say: "Out.", Minutes: 20, Cautions: []string{"dust"}}, {Say: "In.", Minutes: 20}},
				Parts:  []point.WorkPart{{Part: "pad-set", Milli: 1000}, {Part: "cleaner", Milli: 500}, {Part: "sensor", Milli: 1000, Maybe: true}, {Part: "motor", Milli: 1000, When: is("parking", "electric")}},
				Fields: []point.WorkField{{Name: "Guide bolts", Unit: "Nm"}}, Follows: []point.WorkFollow{{Say: "Bedded in?", Km: 300, Source: "practice"}, {Say: "Pedal firm.", Source: "practice"}}},
			"discs": {Job: "discs", Per: "axle", Setups: []string{"fronts", "lift", "rears"}, Baselines: []string{"disc", "pad"}, Steps: []point.WorkStep{{Say: "Change.", Minutes: 60}},
				Parts: []point.WorkPart{{Part: "disc", Milli: 2000}, {Part: "cleaner", Milli: 250}, {Part: "pad-set", Milli: 1000, Maybe: true}}, Fields: []point.WorkField{{Name: "Guide bolts", Unit: "Nm"}, bolts}},
			"brakes": {Job: "brakes", Setups: []string{"lift", "fronts", "rears", "open"}, Steps: []point.WorkStep{{Say: "All.", Minutes: 200}}, Fields: []point.WorkField{{Name: "Bleed screws", Unit: "Nm"}}},
			"hub":    {Job: "hub", Per: "corner", Setups: []string{"lift", "fronts", "rears", "open"}, Baselines: []string{"tyre"}, Steps: []point.WorkStep{{Say: "Press.", Minutes: 50}}},
			"filter": {Job: "filter", Per: "piece", Baselines: []string{"filter"}, Steps: []point.WorkStep{{Say: "Change.", Minutes: 10}}, Parts: []point.WorkPart{{Part: "filter", Milli: 1000}}},
			"coolant": {Job: "coolant", Setups: []string{"lift", "warm", "bled"}, Baselines: []string{"level"}, Steps: []point.WorkStep{{Say: "Feel the hose.", Minutes: 5, In: "warm"}, {Say: "Drain.", Minutes: 20}},
				Follows: []point.WorkFollow{{Say: "Cold level.", Days: 7, Km: 300, Source: "practice"}}},
			"pump": {Job: "pump", Setups: []string{"lift", "warm", "bled"}, Steps: []point.WorkStep{{Say: "Change.", Minutes: 90}}, Follows: []point.WorkFollow{{Say: "Cold level.", Days: 7, Km: 300, Source: "practice"}}},
			"look": {Job: "look", Setups: []string{"warm"}, Steps: []point.WorkStep{{Say: "Listen.", Minutes: 5, In: "warm"}}},
		},
		Points: []*point.Point{
			{ID: "disc", Positions: point.Positions{Groups: []point.PositionGroup{{At: []string{"F", "R"}}}}},
			{ID: "filter", Positions: point.Positions{Count: "filters"}},
			{ID: "level"},
			{ID: "pad", Positions: point.Positions{Groups: []point.PositionGroup{{At: []string{"FL", "FR"}}, {At: []string{"RL", "RR"}, When: is("rear", "disc")}}, Places: []string{"inner", "outer"}}},
			{ID: "tyre", Positions: point.Positions{Groups: []point.PositionGroup{{At: []string{"FL", "FR", "RL", "RR", "spare"}}}}},
		},
	}
	return c
}

func is(id string, words ...string) facet.When {
	return facet.When{All: []facet.Test{{Facet: id, Is: words}}}
}

func facets(kv ...string) facet.Set {
	s := facet.Set{}
	for i := 0; i < len(kv); i += 2 {
		s[kv[i]] = facet.Value{Value: kv[i+1], Given: true}
	}
	return s
}

// places are those that doings are drawn at.
var places = []string{"", "F", "R", "FL", "FR", "RL", "RR", "spare", "1", "2"}

// drawn is a random catalogue of well-formed set-ups and work, with doings of it. It obeys what the loader demands: under names smaller
// orders of the same kind that the work names too, minutes of undoing are a share, what comes last has no axle.
func drawn(t *rapid.T) (*point.Catalogue, []Doing) {
	c := &point.Catalogue{Setups: map[string]*point.Setup{}, Jobs: map[string]*point.Job{}, Work: map[string]*point.Work{}}
	var ids []string
	for i := range rapid.IntRange(0, 7).Draw(t, "setups") {
		c.Setups[fmt.Sprint("s", i)] = drawnSetup(t, c, ids, i)
		ids = append(ids, fmt.Sprint("s", i))
	}
	jobs := []string{"nobody-knows"}
	for i := range rapid.IntRange(1, 6).Draw(t, "jobs") {
		id := fmt.Sprint("j", i)
		c.Jobs[id] = &point.Job{ID: id, Name: id, Renews: subset(t, []string{"a", "b", "c"}, "renews"), Cautions: subset(t, []string{"x", "y", "z"}, "cautions")}
		if rapid.IntRange(0, 9).Draw(t, "unworked") > 0 {
			c.Work[id] = drawnWork(t, c, id, ids)
		}
		jobs = append(jobs, id)
	}
	doings := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Doing {
		return Doing{rapid.SampledFrom(jobs).Draw(t, "job"), rapid.SampledFrom(places).Draw(t, "at")}
	}), 0, 12).Draw(t, "doings")
	return c, doings
}

func drawnSetup(t *rapid.T, c *point.Catalogue, earlier []string, i int) *point.Setup {
	s := &point.Setup{ID: fmt.Sprint("s", i), Name: "n", Does: "Do.", Minutes: rapid.IntRange(1, 240).Draw(t, "minutes"), Order: i, Last: rapid.IntRange(0, 3).Draw(t, "last") == 0,
		Parts: drawnParts(t), Follows: drawnFollows(t), Fields: drawnFields(t), Cautions: subset(t, []string{"x", "y"}, "cautions")}
	if s.Minutes > 1 && rapid.Bool().Draw(t, "undone") {
		s.Undo, s.UndoMinutes = "Undo.", rapid.IntRange(1, s.Minutes-1).Draw(t, "undo")
	}
	if !s.Last {
		s.Axle = rapid.SampledFrom([]string{"", "", "F", "R"}).Draw(t, "axle")
	}
	for _, id := range earlier {
		if e := c.Setups[id]; e.Last == s.Last && (e.Axle == "" || e.Axle == s.Axle) && rapid.IntRange(0, 2).Draw(t, "under") == 0 {
			s.Under = append(s.Under, id)
		}
	}
	return s
}

func drawnWork(t *rapid.T, c *point.Catalogue, id string, setups []string) *point.Work {
	w := &point.Work{Job: id, Per: rapid.SampledFrom([]string{"", "axle", "corner", "piece"}).Draw(t, "per"), Parts: drawnParts(t), Follows: drawnFollows(t), Fields: drawnFields(t)}
	ins := []string{""}
	for i := len(setups) - 1; i >= 0; i-- {
		needed := slices.ContainsFunc(w.Setups, func(s string) bool { return slices.Contains(c.Setups[s].Under, setups[i]) })
		if needed || rapid.Bool().Draw(t, "needs") {
			w.Setups = append(w.Setups, setups[i])
			if c.Setups[setups[i]].Last {
				ins = append(ins, setups[i])
			}
		}
	}
	for range rapid.IntRange(1, 4).Draw(t, "steps") {
		w.Steps = append(w.Steps, point.WorkStep{Say: "Do it.", Minutes: rapid.IntRange(1, 480).Draw(t, "minutes"), In: rapid.SampledFrom(ins).Draw(t, "in"),
			Cautions: subset(t, []string{"x", "z"}, "cautions"), When: rapid.SampledFrom([]facet.When{{}, {}, is("a", "1"), is("a", "2")}).Draw(t, "when")})
	}
	return w
}

func drawnParts(t *rapid.T) []point.WorkPart {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) point.WorkPart {
		return point.WorkPart{Part: rapid.SampledFrom([]string{"p", "q", "r"}).Draw(t, "part"), Milli: rapid.Int64Range(1, 1_000_000).Draw(t, "milli"), Maybe: rapid.Bool().Draw(t, "maybe"),
			When: rapid.SampledFrom([]facet.When{{}, is("a", "1")}).Draw(t, "when")}
	}), 0, 3).Draw(t, "parts")
}

func drawnFollows(t *rapid.T) []point.WorkFollow {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) point.WorkFollow {
		return point.WorkFollow{Say: rapid.SampledFrom([]string{"Look.", "Feel."}).Draw(t, "say"), Days: rapid.SampledFrom([]int{0, 7, 14}).Draw(t, "days"), Km: rapid.SampledFrom([]int{0, 100}).Draw(t, "km")}
	}), 0, 2).Draw(t, "follows")
}

func drawnFields(t *rapid.T) []point.WorkField {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) point.WorkField {
		return point.WorkField{Name: rapid.SampledFrom([]string{"Bolts", "Nuts"}).Draw(t, "name"), Spec: rapid.SampledFrom([]string{"", "spec"}).Draw(t, "spec"), Unit: "Nm"}
	}), 0, 2).Draw(t, "fields")
}

func subset(t *rapid.T, of []string, label string) []string {
	var out []string
	for _, s := range of {
		if rapid.Bool().Draw(t, label) {
			out = append(out, s)
		}
	}
	return out
}

// same compares two lists and says what differs.
func same[T comparable](t testing.TB, what string, got, want []T) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("%s: %v; want %v", what, got, want)
	}
}
