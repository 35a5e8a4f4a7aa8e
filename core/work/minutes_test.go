package work

import (
	"testing"

	"pgregory.net/rapid"
)

// TestMinutes: shared preparations count once. Sums by hand from the catalogue of this test.
func TestMinutes(t *testing.T) {
	cat := small()
	for _, c := range []struct {
		name   string
		doings []Doing
		facets []string
		total  int
		setups []string
	}{
		{"nothing", nil, nil, 0, nil},
		{"pads of one axle: 8 + 14 + 40", []Doing{{"pads", "F"}}, nil, 62, []string{"lift", "fronts"}},
		{"with an electric parking brake 4 more", []Doing{{"pads", "F"}}, []string{"parking", "electric"}, 66, []string{"lift", "fronts"}},
		{"both axles share the lift: 8 + 14 + 12 + 2 x 40", []Doing{{"pads", "F"}, {"pads", "R"}}, nil, 114, []string{"lift", "fronts", "rears"}},
		{"pads and discs share the wheels: 8 + 14 + 40 + 60", []Doing{{"pads", "F"}, {"discs", "F"}}, nil, 122, []string{"lift", "fronts"}},
		{"the same twice is once", []Doing{{"pads", "F"}, {"pads", "F"}}, nil, 62, []string{"lift", "fronts"}},
		{"unknown work takes none", []Doing{{"unknown", ""}, {"filter", "1"}}, nil, 10, nil},
		{"two on the warm run: 8 + 20 + 15 + 25 + 90", []Doing{{"coolant", ""}, {"pump", ""}}, nil, 158, []string{"lift", "warm", "bled"}},
	} {
		got := Minutes(cat, c.doings, facets(c.facets...))
		var ids []string
		for _, s := range got.Setups {
			ids = append(ids, s.ID)
		}
		same(t, c.name, ids, c.setups)
		if got.Total != c.total {
			t.Errorf("%s: %d minutes; want %d", c.name, got.Total, c.total)
		}
	}
}

// TestMinutesShare: the total is the sum of its parts; together never takes longer than apart, nor less than the longest; and the order
// of the doings does not matter.
func TestMinutesShare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cat, doings := drawn(t)
		set := facets("a", rapid.SampledFrom([]string{"1", "2", ""}).Draw(t, "a"))
		got := Minutes(cat, doings, set)
		sum, apart, longest := 0, 0, 0
		seen := map[string]bool{}
		for _, s := range got.Setups {
			if seen[s.ID] || len(s.Of) == 0 {
				t.Errorf("preparation %s stands twice, or for nobody", s.ID)
			}
			seen[s.ID] = true
			sum += s.Minutes
		}
		for _, d := range got.Doings {
			sum += d.Minutes
			one := Minutes(cat, []Doing{d.Doing}, set).Total
			apart, longest = apart+one, max(longest, one)
		}
		if got.Total != sum || sum > apart || sum < longest || len(got.Doings) != len(once(doings)) {
			t.Errorf("total %d, sum %d, apart %d, longest alone %d", got.Total, sum, apart, longest)
		}
		shuffled := rapid.Permutation(doings).Draw(t, "shuffled")
		if other := Minutes(cat, shuffled, set).Total; other != got.Total {
			t.Errorf("%d in another order; %d in this", other, got.Total)
		}
	})
}
