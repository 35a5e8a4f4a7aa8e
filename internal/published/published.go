// Package published gives tests the reference tables that lie beside the repository: figures of regulations, standards and
// handbooks, each row with its citation's status.
package published

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// Row is one row of a reference table. Status is verified, memory or computed.
type Row struct{ ID, Topic, Item, Quantity, Value, Status string }

// Rows reads a reference table from the folder named by WITNESSMARK_CHECKS, else from shared/checks beside the repository; the
// test runs two folders below the repository's root. Where the folder is missing the test says so loudly and checks only what
// is committed.
func Rows(t *testing.T, name string) []Row {
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
	var out []Row
	for _, r := range all[1:] {
		out = append(out, Row{ID: r[0], Topic: r[1], Item: r[2], Quantity: r[3], Value: r[4], Status: r[8]})
	}
	return out
}

// Printed says whether got is want as printed: equal after rounding to the digits that the table shows.
func Printed(got float64, want string) bool {
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
