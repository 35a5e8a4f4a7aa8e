package geometry

import (
	"strconv"
	"strings"
	"testing"

	"witnessmark/internal/published"
)

// TestStandardTable reproduces the computed rows of the alignment table; it has no verified ones.
func TestStandardTable(t *testing.T) {
	rows, checked := published.Rows(t, "10_alignment.csv"), 0
	for _, r := range rows {
		fields := strings.Fields(r.Quantity)
		if len(fields) < 4 || fields[0] != "at" || fields[1] != "D" {
			continue
		}
		d, _ := strconv.ParseFloat(fields[3], 64)
		var got float64
		var err error
		if strings.HasPrefix(r.Item, "10 arc-min") {
			got, err = ToeMM(10.0/60, d)
		} else {
			mm, _ := strconv.ParseFloat(strings.Fields(r.Item)[0], 64)
			got, err = ToeDegrees(mm, d)
			got *= 60
		}
		if err != nil || !published.Printed(got, r.Value) {
			t.Errorf("%s %s %s: %v, %v; want %s", r.ID, r.Item, r.Quantity, got, err, r.Value)
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
	rows := published.Rows(t, "01_us_49cfr570_subpart_a.csv")
	for _, r := range rows {
		switch {
		case strings.HasPrefix(r.Quantity, "max rim lash, steering wheel diameter"):
			inch, _ := strconv.ParseFloat(strings.Fields(r.Quantity)[6], 64)
			got, err := LashLimit(25.4 * inch)
			if err != nil || !nearTo(got, 25.4*parts(r.Value), 1e-9) {
				t.Errorf("%s %s: %v, %v; want %s in", r.ID, r.Quantity, got, err, r.Value)
			}
			limits++
		case strings.HasPrefix(r.Quantity, "side slip for toe"): // "... toe 1/16 in, wheel size 13 in (tyre dia 25.2 in)"
			f := strings.Fields(r.Quantity)
			d, _ := strconv.ParseFloat(f[12], 64)
			slip, err := SideSlip(25.4*parts(f[4]), 25.4*d)
			want, _ := strconv.ParseFloat(r.Value, 64)
			if err != nil || !nearTo(FeetPerMile(slip), want, 0.051) {
				t.Errorf("%s %s: %v, %v; want %s", r.ID, r.Quantity, FeetPerMile(slip), err, r.Value)
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
