package outlook_test

import (
	"slices"
	"testing"

	"witnessmark/core/outlook"
)

// TestLooksOnTheDayOfARenewal reads pads before and after the work of one day. What was read after it is of the new part even where it does
// not look like a new one (a used set fitted), and what was read before it is of the old one even where that does.
func TestLooksOnTheDayOfARenewal(t *testing.T) {
	for name, c := range map[string]struct {
		before, after float64
		renewed       bool
		shown         []float64
	}{
		"new pads":             {2.5, 11.5, true, []float64{11.5}},
		"a used set":           {2.5, 7, true, []float64{7}},
		"nearly new both ways": {10.5, 11, true, []float64{11}},
		"no renewal: the later look of the day counts": {6, 5.9, false, []float64{9, 5.9}},
	} {
		t.Run(name, func(t *testing.T) {
			s := newStory(t, "2026-03-21")
			s.km("2025-03-20", 100000)
			s.km("2026-03-21", 120000)
			s.mm("pad-thickness", "FL/outer", 9, "2025-03-20", 100000)
			s.mm("pad-thickness", "FL/outer", c.before, "2026-03-21", 120000)
			s.mm("pad-thickness", "FL/outer", c.after, "2026-03-21", 120000)
			s.h.Looks[len(s.h.Looks)-1].After = true
			if c.renewed {
				s.renewed("pads", "F", "2026-03-21", 120000)
			}
			o := outlook.Of(s.cat, s.h, nil)
			var shown []float64
			for _, x := range s.item(&o, "pad-thickness/F", "FL/outer").Shown {
				shown = append(shown, x.Value)
			}
			if !slices.Equal(shown, c.shown) {
				t.Errorf("the running part shows %v, expected %v", shown, c.shown)
			}
		})
	}
}
