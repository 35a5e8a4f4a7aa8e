package battery

import (
	"strconv"
	"strings"
	"testing"

	"witnessmark/internal/published"
)

// definitions are verified rows that define a rating or a test set-up; no sum gives them as a number.
var definitions = map[string]string{"BAT-029": "0.5 x CCA", "BAT-030": "7.2", "BAT-031": "10.5"}

// TestStandardTable reproduces every verified row of the battery table.
func TestStandardTable(t *testing.T) {
	rows, checked := published.Rows(t, "06_battery.csv"), 0
	for _, r := range rows {
		if r.Status != "verified" {
			continue
		}
		if part, ok := definitions[r.ID]; ok && strings.HasPrefix(r.Value, part) {
			continue
		}
		if !checkRow(t, r) {
			t.Errorf("%s %s %s %s is not checked by anything", r.ID, r.Topic, r.Item, r.Quantity)
		}
		checked++
	}
	if rows != nil && checked != 25 {
		t.Errorf("%d rows checked, expected 25", checked)
	}
}

func checkRow(t *testing.T, r published.Row) bool {
	is := func(got float64, err error, want string) bool {
		t.Helper()
		if err != nil || !published.Printed(got, want) {
			t.Errorf("%s %s %s: %v, %v; want %s", r.ID, r.Item, r.Quantity, got, err, want)
		}
		return true
	}
	value, _ := strconv.ParseFloat(r.Value, 64)
	percent := strings.TrimSuffix(r.Item, " %")
	switch {
	case r.Topic == "state of charge" && strings.HasPrefix(r.Quantity, "open-circuit"):
		c, err := FromVoltage(Flooded, value, TableDegC)
		p, _ := strconv.ParseFloat(percent, 64)
		v, err2 := VoltageFor(Flooded, p, TableDegC)
		is(v, err2, r.Value)
		return is(c.Percent, err, percent)
	case r.Topic == "state of charge" && r.Quantity == "specific gravity":
		c, err := FromGravity(value, TableDegC)
		return is(c.Percent, err, percent)
	case r.Topic == "state of charge" && strings.HasPrefix(r.Quantity, "electrolyte"):
		p, _ := strconv.ParseFloat(percent, 64)
		v, err := FreezesAt(p)
		return is(v, err, r.Value)
	case r.Topic == "temperature compensation" && r.Item == "hydrometer":
		return is(gravityPerDegree*10/1.8, nil, r.Value)
	case r.Topic == "temperature compensation":
		return is(voltsPerDegree*10/1.8, nil, r.Value)
	case r.Topic == "load test" && strings.HasPrefix(r.Item, "battery temperature"):
		at, _ := strconv.ParseFloat(strings.Fields(r.Item)[2], 64)
		v, err := LoadMinimum(at)
		return is(v, err, r.Value)
	}
	return false
}
