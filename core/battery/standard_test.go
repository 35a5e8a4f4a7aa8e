package battery

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

// definitions are verified rows that define a rating or a test set-up; no sum gives them as a number.
var definitions = map[string]string{"BAT-029": "0.5 x CCA", "BAT-030": "7.2", "BAT-031": "10.5"}

// TestStandardTable reproduces every verified row of the battery table.
func TestStandardTable(t *testing.T) {
	rows, checked := standard(t, "06_battery.csv"), 0
	for _, r := range rows {
		if r.status != "verified" {
			continue
		}
		if part, ok := definitions[r.id]; ok && strings.HasPrefix(r.value, part) {
			continue
		}
		if !checkRow(t, r) {
			t.Errorf("%s %s %s %s is not checked by anything", r.id, r.topic, r.item, r.quantity)
		}
		checked++
	}
	if rows != nil && checked != 25 {
		t.Errorf("%d rows checked, expected 25", checked)
	}
}

func checkRow(t *testing.T, r row) bool {
	is := func(got float64, err error, want string) bool {
		t.Helper()
		if err != nil || !printed(got, want) {
			t.Errorf("%s %s %s: %v, %v; want %s", r.id, r.item, r.quantity, got, err, want)
		}
		return true
	}
	value, _ := strconv.ParseFloat(r.value, 64)
	percent := strings.TrimSuffix(r.item, " %")
	switch {
	case r.topic == "state of charge" && strings.HasPrefix(r.quantity, "open-circuit"):
		c, err := FromVoltage(Flooded, value, TableDegC)
		p, _ := strconv.ParseFloat(percent, 64)
		v, err2 := VoltageFor(Flooded, p, TableDegC)
		is(v, err2, r.value)
		return is(c.Percent, err, percent)
	case r.topic == "state of charge" && r.quantity == "specific gravity":
		c, err := FromGravity(value, TableDegC)
		return is(c.Percent, err, percent)
	case r.topic == "state of charge" && strings.HasPrefix(r.quantity, "electrolyte"):
		p, _ := strconv.ParseFloat(percent, 64)
		v, err := FreezesAt(p)
		return is(v, err, r.value)
	case r.topic == "temperature compensation" && r.item == "hydrometer":
		return is(gravityPerDegree*10/1.8, nil, r.value)
	case r.topic == "temperature compensation":
		return is(voltsPerDegree*10/1.8, nil, r.value)
	case r.topic == "load test" && strings.HasPrefix(r.item, "battery temperature"):
		at, _ := strconv.ParseFloat(strings.Fields(r.item)[2], 64)
		v, err := LoadMinimum(at)
		return is(v, err, r.value)
	}
	return false
}
