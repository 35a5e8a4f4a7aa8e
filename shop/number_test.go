package shop

import (
	"math"
	"testing"

	"witnessmark/core/unit"
)

// A fraction typed into a field of 32nds of an inch is what an inch rule says.
func TestFractionsInAFieldOf32nds(t *testing.T) {
	for typed, mm := range map[string]float64{"3": 3 * 25.4 / 32, "3/32": 3 * 25.4 / 32, "1/8": 25.4 / 8, "5 / 64": 5 * 25.4 / 64, "1/2": 25.4 / 64, "3/32 in": 3 * 25.4 / 32, "2.5": 2.5 * 25.4 / 32} {
		got, err := parseNumber(typed, "mm", unit.US, 5, .1)
		if err != nil || math.Abs(got-mm) > 1e-9 {
			t.Errorf("%q: %v %v, expected %v", typed, got, err, mm)
		}
	}
	if got, err := parseNumber("3/32", "mm", unit.Metric, 5, .1); err != nil || got != 3.0/32 {
		t.Errorf("under metric units a bare fraction is of a millimetre: %v %v", got, err)
	}
}

func TestSqueezeDropsWhatTurnsTheText(t *testing.T) {
	for in, want := range map[string]string{"  two\t words\n": "two words", "a\u202eb": "ab", "a\u2066b\u2069": "ab", "nul\x00l": "null", "שלום עולם": "שלום עולם", "👩\u200d🔧": "👩\u200d🔧",
		"\u200b": "", "\u3164 \u2800\ufe0f\u00ad": "", "-": "-", "a\u200d": "a\u200d"} {
		if got := squeeze(in); got != want {
			t.Errorf("%q: %q", in, got)
		}
	}
}
