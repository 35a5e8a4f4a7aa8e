package loss

import (
	"slices"
	"strings"
	"testing"

	"witnessmark/internal/published"
)

// otherRules are verified rows that no sum uses: rules of single US states on play and sag, looser than the federal one
// or for other vehicles, and an operation rule that asks for a dipstick.
var otherRules = []string{"LB-005", "LB-013", "LB-014", "LB-015", "LB-016", "LB-017", "LB-018"}

// TestStandardTable checks the leak classes against the verified rows of the table.
func TestStandardTable(t *testing.T) {
	seen := map[string]bool{"no drops form": LeakOf(true, false, false) == ClassI, "do not fall": LeakOf(true, true, false) == ClassII, "fall from": LeakOf(true, true, true) == ClassIII}
	rows, checked := published.Rows(t, "09_leaks_belts_brakes_suspension.csv"), 0
	for _, r := range rows {
		switch {
		case r.Status != "verified" || slices.Contains(otherRules, r.ID):
			continue
		case strings.HasPrefix(r.Item, "Class "):
			class, err := ParseLeak(r.Item)
			ok := false
			for words, right := range seen {
				ok = ok || right && strings.Contains(r.Value, words)
			}
			if err != nil || !ok || class == Dry {
				t.Errorf("%s %s: %v, %v; %s", r.ID, r.Item, class, err, r.Value)
			}
		case r.Item == "operation rule":
			if !strings.Contains(r.Value, "I and II, except fuel") || !ClassII.MayRun(false) || ClassII.MayRun(true) || ClassIII.MayRun(false) {
				t.Errorf("%s: %s", r.ID, r.Value)
			}
		default:
			t.Errorf("%s %s is not checked by anything", r.ID, r.Item)
		}
		checked++
	}
	if rows != nil && checked != 4 {
		t.Errorf("%d rows checked, expected 4", checked)
	}
}

func TestLeaks(t *testing.T) {
	for s, want := range map[string]Leak{"I": ClassI, " class 2 ": ClassII, "iii": ClassIII, "dry": Dry, "Class III": ClassIII} {
		if got, err := ParseLeak(s); err != nil || got != want {
			t.Errorf("%q: %v, %v", s, got, err)
		}
	}
	for _, s := range []string{"", "IV", "4", "wet"} {
		if _, err := ParseLeak(s); err == nil {
			t.Errorf("%q is a class", s)
		}
	}
	for l := Dry; l <= ClassIII; l++ {
		if got, err := ParseLeak(l.String()); err != nil || got != l {
			t.Errorf("%s is not read back", l)
		}
		if l > Dry && l.MayRun(true) || l.MayRun(true) && !l.MayRun(false) {
			t.Errorf("%s of fuel", l)
		}
	}
	if Leak(9).String() != "class III" || LeakOf(false, false, false) != Dry {
		t.Error("the worst is not taken for the unknown")
	}
}
