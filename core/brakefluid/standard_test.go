package brakefluid

import (
	"strconv"
	"strings"
	"testing"

	"witnessmark/internal/published"
)

// outOfScope are verified rows of the table that describe fluid in the drum or at large, not a sum: named here so that
// a new row cannot slip through.
var outOfScope = map[string]string{
	"BF-013": "pH", "BF-014": "stability", "BF-015": "corrosion", "BF-016": "evaporation", "BF-018": "colour", "BF-019": "colour",
	"BF-020": "colour", "BF-023": "water", "BF-041": "ISO", "BF-048": "survey", "BF-049": "trend",
}

// TestStandardTable reproduces every verified row that this package can answer, and the remembered limits too.
func TestStandardTable(t *testing.T) {
	checked, aside := 0, 0
	rows := published.Rows(t, "03_brake_fluid.csv")
	for _, r := range rows {
		done := checkRow(t, r)
		switch {
		case done:
			checked++
		case outOfScope[r.ID] != "":
			aside++
		case r.Status == "verified":
			t.Errorf("%s %s %s is not checked by anything", r.ID, r.Item, r.Quantity)
		}
	}
	if rows != nil && (aside != len(outOfScope) || checked < 36) {
		t.Errorf("%d rows checked, %d set aside", checked, aside)
	}
}

func checkRow(t *testing.T, r published.Row) bool {
	is := func(got float64, want string) {
		t.Helper()
		if !published.Printed(got, want) {
			t.Errorf("%s %s %s: %v, want %s", r.ID, r.Item, r.Quantity, got, want)
		}
	}
	var of []Class
	switch {
	case r.Topic == "FMVSS 116" && r.Item == "DOT 5 (SBBF) and DOT 5.1 (non-SBBF)":
		of = []Class{DOT5, DOT51}
	case r.Topic == "FMVSS 116" && len(r.Item) == 5 || r.Topic == "ISO 4925" && strings.HasPrefix(r.Item, "class") && !strings.Contains(r.Item, "and"):
		c, err := Parse(strings.Replace(r.Item, "class", "ISO class", 1))
		if err != nil {
			t.Errorf("%s: %v", r.ID, err)
		}
		of = []Class{c}
	case r.Topic == "ISO 4925" && strings.HasPrefix(r.Quantity, "kinematic"):
		of = []Class{ISO3, ISO4, ISO51, ISO6, ISO7}
	}
	for _, c := range of {
		l, _ := c.Limits()
		switch {
		case strings.HasPrefix(r.Quantity, "dry"):
			is(l.Dry, r.Value)
		case strings.HasPrefix(r.Quantity, "wet"):
			is(l.Wet, r.Value)
		case strings.Contains(r.Quantity, "-40"):
			is(l.Cold, r.Value)
		case strings.Contains(r.Quantity, "100"):
			is(l.Warm, r.Value)
		}
	}
	if of != nil {
		return true
	}
	switch r.ID {
	case "BF-017":
		return strings.HasPrefix(r.Value, "3.70") // what "wet" means: DueWater lies below it
	case "BF-022":
		return DOT5.Silicone() && !DOT51.Silicone()
	case "BF-042", "BF-043", "BF-044":
		water, _ := strconv.ParseFloat(strings.Fields(r.Quantity)[2], 64)
		is(TypicalBoiling(DOT3, water), r.Value)
		return true
	case "BF-045":
		is(TypicalBoiling(DOT3, 0), "257")
		is(TypicalBoiling(DOT3, 5), "138")
		return r.Value == "257 and 138"
	case "BF-046":
		is(dot4Dry, "268")
		is(dot4AtFive, "166")
		return r.Value == "268 and 166"
	case "BF-047":
		for i, c := range []Class{DOT3, DOT4, DOT51} {
			l, _ := c.Limits()
			is(l.Wet, strings.Split(r.Value, " / ")[i])
		}
		return true
	}
	return false
}
