package loss

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// row is one row of a reference table.
type row struct{ id, topic, item, quantity, value, status string }

// standard reads a reference table from the folder named by WITNESSMARK_CHECKS, else from shared/checks beside the
// repository. Where the folder is missing the test says so loudly and checks only what is committed.
func standard(t *testing.T, name string) []row {
	t.Helper()
	dir := os.Getenv("WITNESSMARK_CHECKS")
	if dir == "" {
		dir = filepath.Join("..", "..", "..", "shared", "checks")
	}
	f, err := os.Open(filepath.Join(dir, "standards", name))
	if os.IsNotExist(err) {
		t.Logf("REFERENCE TABLE MISSING: %v; only the committed examples were checked", err)
		return nil
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []row
	for _, r := range all[1:] {
		out = append(out, row{id: r[0], topic: r[1], item: r[2], quantity: r[3], value: r[4], status: r[8]})
	}
	return out
}

// otherRules are verified rows that no sum uses: rules of single US states on play and sag, looser than the federal one
// or for other vehicles, and an operation rule that asks for a dipstick.
var otherRules = []string{"LB-005", "LB-013", "LB-014", "LB-015", "LB-016", "LB-017", "LB-018"}

// TestStandardTable checks the leak classes against the verified rows of the table.
func TestStandardTable(t *testing.T) {
	seen := map[string]bool{"no drops form": LeakOf(true, false, false) == ClassI, "do not fall": LeakOf(true, true, false) == ClassII, "fall from": LeakOf(true, true, true) == ClassIII}
	rows, checked := standard(t, "09_leaks_belts_brakes_suspension.csv"), 0
	for _, r := range rows {
		switch {
		case r.status != "verified" || slices.Contains(otherRules, r.id):
			continue
		case strings.HasPrefix(r.item, "Class "):
			class, err := ParseLeak(r.item)
			ok := false
			for words, right := range seen {
				ok = ok || right && strings.Contains(r.value, words)
			}
			if err != nil || !ok || class == Dry {
				t.Errorf("%s %s: %v, %v; %s", r.id, r.item, class, err, r.value)
			}
		case r.item == "operation rule":
			if !strings.Contains(r.value, "I and II, except fuel") || !ClassII.MayRun(false) || ClassII.MayRun(true) || ClassIII.MayRun(false) {
				t.Errorf("%s: %s", r.id, r.value)
			}
		default:
			t.Errorf("%s %s is not checked by anything", r.id, r.item)
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
