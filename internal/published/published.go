// Package published gives tests the reference data that lie beside the repository: figures of regulations, standards and
// handbooks, each row with its citation's status, and inputs with reference answers for the arithmetic.
package published

import (
	"bytes"
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// Row is one row of a reference table. Status is verified, memory or computed.
type Row struct{ ID, Topic, Item, Quantity, Value, Status string }

// Rows reads a reference table. Where the folder is missing the test says so loudly and checks only what is committed.
func Rows(t *testing.T, name string) []Row {
	t.Helper()
	text, ok := File(t, "standards", name)
	if !ok {
		return nil
	}
	all, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []Row
	for _, r := range all[1:] {
		out = append(out, Row{ID: r[0], Topic: r[1], Item: r[2], Quantity: r[3], Value: r[4], Status: r[8]})
	}
	return out
}

// Dir is the folder of reference data: the one that WITNESSMARK_CHECKS names, else shared/checks beside the repository as seen
// from a test that runs two folders below the repository's root.
func Dir() string {
	if dir := os.Getenv("WITNESSMARK_CHECKS"); dir != "" {
		return dir
	}
	return filepath.Join("..", "..", "..", "shared", "checks")
}

// File reads one reference file, for instance File(t, "oracle", "life", "expected_mle.json"). Where it is missing the test says
// so loudly, ok is false, and only what is committed is checked.
func File(t testing.TB, parts ...string) (text []byte, ok bool) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(append([]string{Dir()}, parts...)...))
	if os.IsNotExist(err) {
		t.Logf("REFERENCE DATA MISSING: %v; only the committed examples were checked", err)
		return nil, false
	}
	if err != nil {
		t.Fatal(err)
	}
	return text, true
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
