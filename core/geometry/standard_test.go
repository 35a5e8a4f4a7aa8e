package geometry

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

// TestStandardTable reproduces the computed rows of the alignment table; it has no verified ones.
func TestStandardTable(t *testing.T) {
	rows, checked := standard(t, "10_alignment.csv"), 0
	for _, r := range rows {
		fields := strings.Fields(r.quantity)
		if len(fields) < 4 || fields[0] != "at" || fields[1] != "D" {
			continue
		}
		d, _ := strconv.ParseFloat(fields[3], 64)
		var got float64
		var err error
		if strings.HasPrefix(r.item, "10 arc-min") {
			got, err = ToeMM(10.0/60, d)
		} else {
			mm, _ := strconv.ParseFloat(strings.Fields(r.item)[0], 64)
			got, err = ToeDegrees(mm, d)
			got *= 60
		}
		if err != nil || !printed(got, r.value) {
			t.Errorf("%s %s %s: %v, %v; want %s", r.id, r.item, r.quantity, got, err, r.value)
		}
		checked++
	}
	if rows != nil && checked != 10 {
		t.Errorf("%d rows checked, expected 10", checked)
	}
}

// TestLashTable reproduces the verified steering rows of 49 CFR 570.7 and its side-slip figures, which are from memory.
func TestLashTable(t *testing.T) {
	limits, slips := 0, 0
	rows := standard(t, "01_us_49cfr570_subpart_a.csv")
	for _, r := range rows {
		switch {
		case strings.HasPrefix(r.quantity, "max rim lash, steering wheel diameter"):
			inch, _ := strconv.ParseFloat(strings.Fields(r.quantity)[6], 64)
			got, err := LashLimit(25.4 * inch)
			if err != nil || !nearTo(got, 25.4*parts(r.value), 1e-9) {
				t.Errorf("%s %s: %v, %v; want %s in", r.id, r.quantity, got, err, r.value)
			}
			limits++
		case strings.HasPrefix(r.quantity, "side slip for toe"): // "... toe 1/16 in, wheel size 13 in (tyre dia 25.2 in)"
			f := strings.Fields(r.quantity)
			d, _ := strconv.ParseFloat(f[12], 64)
			slip, err := SideSlip(25.4*parts(f[4]), 25.4*d)
			want, _ := strconv.ParseFloat(r.value, 64)
			if err != nil || !nearTo(FeetPerMile(slip), want, 0.051) {
				t.Errorf("%s %s: %v, %v; want %s", r.id, r.quantity, FeetPerMile(slip), err, r.value)
			}
			slips++
		}
	}
	if rows != nil && (limits != 4 || slips != 16) {
		t.Errorf("%d limits and %d slips, expected 4 and 16", limits, slips)
	}
}

func nearTo(a, b, tol float64) bool { return a-b <= tol && b-a <= tol }

// parts reads "2 1/4" and "1/16".
func parts(s string) float64 {
	v := 0.0
	for _, f := range strings.Fields(s) {
		top, bottom, ok := strings.Cut(f, "/")
		a, _ := strconv.ParseFloat(top, 64)
		if b, err := strconv.ParseFloat(bottom, 64); ok && err == nil {
			a /= b
		}
		v += a
	}
	return v
}
