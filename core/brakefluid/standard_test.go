package brakefluid

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
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

// printed says whether got is want as printed: equal after rounding to the digits that the table shows.
func printed(got float64, want string) bool {
	places := 0
	if _, d, ok := strings.Cut(want, "."); ok {
		places = len(d)
	}
	w, err := strconv.ParseFloat(want, 64)
	g, _ := strconv.ParseFloat(strconv.FormatFloat(got+1e-12*sign(got), 'f', places, 64), 64)
	return err == nil && g == w
}

func sign(x float64) float64 {
	if x < 0 {
		return -1
	}
	return 1
}

// outOfScope are verified rows of the table that describe fluid in the drum or at large, not a sum: named here so that
// a new row cannot slip through.
var outOfScope = map[string]string{
	"BF-013": "pH", "BF-014": "stability", "BF-015": "corrosion", "BF-016": "evaporation", "BF-018": "colour", "BF-019": "colour",
	"BF-020": "colour", "BF-023": "water", "BF-041": "ISO", "BF-048": "survey", "BF-049": "trend",
}

// TestStandardTable reproduces every verified row that this package can answer, and the remembered limits too.
func TestStandardTable(t *testing.T) {
	checked, aside := 0, 0
	rows := standard(t, "03_brake_fluid.csv")
	for _, r := range rows {
		done := checkRow(t, r)
		switch {
		case done:
			checked++
		case outOfScope[r.id] != "":
			aside++
		case r.status == "verified":
			t.Errorf("%s %s %s is not checked by anything", r.id, r.item, r.quantity)
		}
	}
	if rows != nil && (aside != len(outOfScope) || checked < 36) {
		t.Errorf("%d rows checked, %d set aside", checked, aside)
	}
}

func checkRow(t *testing.T, r row) bool {
	is := func(got float64, want string) {
		t.Helper()
		if !printed(got, want) {
			t.Errorf("%s %s %s: %v, want %s", r.id, r.item, r.quantity, got, want)
		}
	}
	var of []Class
	switch {
	case r.topic == "FMVSS 116" && r.item == "DOT 5 (SBBF) and DOT 5.1 (non-SBBF)":
		of = []Class{DOT5, DOT51}
	case r.topic == "FMVSS 116" && len(r.item) == 5 || r.topic == "ISO 4925" && strings.HasPrefix(r.item, "class") && !strings.Contains(r.item, "and"):
		c, err := Parse(strings.Replace(r.item, "class", "ISO class", 1))
		if err != nil {
			t.Errorf("%s: %v", r.id, err)
		}
		of = []Class{c}
	case r.topic == "ISO 4925" && strings.HasPrefix(r.quantity, "kinematic"):
		of = []Class{ISO3, ISO4, ISO51, ISO6, ISO7}
	}
	for _, c := range of {
		l, _ := c.Limits()
		switch {
		case strings.HasPrefix(r.quantity, "dry"):
			is(l.Dry, r.value)
		case strings.HasPrefix(r.quantity, "wet"):
			is(l.Wet, r.value)
		case strings.Contains(r.quantity, "-40"):
			is(l.Cold, r.value)
		case strings.Contains(r.quantity, "100"):
			is(l.Warm, r.value)
		}
	}
	if of != nil {
		return true
	}
	switch r.id {
	case "BF-017":
		return strings.HasPrefix(r.value, "3.70") // what "wet" means: DueWater lies below it
	case "BF-022":
		return DOT5.Silicone() && !DOT51.Silicone()
	case "BF-042", "BF-043", "BF-044":
		water, _ := strconv.ParseFloat(strings.Fields(r.quantity)[2], 64)
		is(TypicalBoiling(DOT3, water), r.value)
		return true
	case "BF-045":
		is(TypicalBoiling(DOT3, 0), "257")
		is(TypicalBoiling(DOT3, 5), "138")
		return r.value == "257 and 138"
	case "BF-046":
		is(dot4Dry, "268")
		is(dot4AtFive, "166")
		return r.value == "268 and 166"
	case "BF-047":
		for i, c := range []Class{DOT3, DOT4, DOT51} {
			l, _ := c.Limits()
			is(l.Wet, strings.Split(r.value, " / ")[i])
		}
		return true
	}
	return false
}
