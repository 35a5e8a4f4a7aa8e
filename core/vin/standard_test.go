package vin

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// checksDir finds the folder of reference tables: WITNESSMARK_CHECKS, else
// shared/checks beside the repository.
func checksDir(t *testing.T) string {
	t.Helper()
	if dir := os.Getenv("WITNESSMARK_CHECKS"); dir != "" {
		return dir
	}
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return filepath.Join(dir, "..", "shared", "checks")
		}
		up := filepath.Dir(dir)
		if up == dir {
			t.Fatal("no go.mod above the test")
		}
		dir = up
	}
}

// TestStandardTable compares every row of the table that this package can answer.
// Without the table the published samples above are all that is checked.
func TestStandardTable(t *testing.T) {
	path := filepath.Join(checksDir(t), "standards", "08_vin.csv")
	f, err := os.Open(path)
	if os.IsNotExist(err) {
		t.Logf("REFERENCE TABLE MISSING: %s; only the committed samples were checked", path)
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	checked := 0
	for _, r := range rows[1:] {
		if checkRow(t, r[0], r[1], r[2], r[3], r[4]) {
			checked++
		}
	}
	if checked < 23+17+5+60 {
		t.Errorf("only %d of %d rows were recognised", checked, len(rows)-1)
	}
}

func checkRow(t *testing.T, id, topic, item, quantity, want string) bool {
	t.Helper()
	name, arg, _ := strings.Cut(item, " ")
	got := ""
	switch {
	case name == "transliteration":
		got = strconv.Itoa(value(arg[0]))
	case name == "position" && quantity == "weight factor":
		n, _ := strconv.Atoi(arg)
		got = strconv.Itoa(weights[n-1])
		want, _, _ = strings.Cut(want, " ")
	case strings.HasPrefix(topic, "test VIN"):
		s := item
		got = strconv.Itoa(sum(s)) + " / " + string(rune(CheckDigit(VIN(s))))
		if ok := VIN(s).Check().OK; ok == strings.Contains(topic, "invalid") {
			t.Errorf("%s: %s passes: %v", id, s, ok)
		}
	case topic == "model year code" && len(item) == 1:
		place7 := map[bool]string{true: "1", false: "A"}[strings.Contains(quantity, "numeric")]
		years := VIN("1AAAAA" + place7 + "A0" + item + "A000000").Years()
		if len(years) == 1 {
			got = strconv.Itoa(years[0])
		}
	default:
		return false
	}
	if got != want {
		t.Errorf("%s %s %s: %q, want %q", id, item, quantity, got, want)
	}
	return true
}
