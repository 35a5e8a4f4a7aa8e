package shop

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"witnessmark/core/judge"
)

func TestSaw(t *testing.T) {
	for name, c := range map[string]struct {
		in   []judge.Finding
		want []string
	}{
		"none":               {nil, []string{}},
		"one look":           {[]judge.Finding{{Why: "The oil is dark."}}, []string{"The oil is dark."}},
		"one place":          {[]judge.Finding{{Where: "front left", Why: "The tyre is cut."}}, []string{"Front left: The tyre is cut."}},
		"one value":          {[]judge.Finding{{Where: "front left", Why: "1.2 mm, below 1.6 mm: too low."}}, []string{"Front left 1.2 mm, below 1.6 mm: too low."}},
		"a value, no place":  {[]judge.Finding{{Why: "57,000 km, at or above 54,000 km."}}, []string{"57,000 km, at or above 54,000 km."}},
		"the same words":     {[]judge.Finding{{Where: "front left", Why: "Level."}, {Where: "front right", Why: "Level."}}, []string{"Front left; front right: Level."}},
		"the same limit":     {[]judge.Finding{{Where: "front left", Why: "1.2 mm, below 1.6 mm: low."}, {Where: "rear left", Why: "0.9 mm, below 1.6 mm: low."}}, []string{"Front left 1.2 mm; rear left 0.9 mm. Below 1.6 mm: low."}},
		"different":          {[]judge.Finding{{Where: "front left", Why: "Bent."}, {Where: "front right", Why: "Worn."}}, []string{"Front left: Bent.", "Front right: Worn."}},
		"a value and a look": {[]judge.Finding{{Where: "front left", Why: "2 mm, low."}, {Where: "front right", Why: "low."}}, []string{"Front left 2 mm, low.", "Front right: low."}},
	} {
		if diff := cmp.Diff(c.want, saw(c.in)); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}
