package oil

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

// TestStandardTable reproduces every row of the oil table that has the status verified or computed.
func TestStandardTable(t *testing.T) {
	rows, checked := standard(t, "05_engine_oil.csv"), 0
	for _, r := range rows {
		if r.status == "memory" {
			continue
		}
		if !checkGrade(t, r) && !checkFormula(t, r) {
			t.Errorf("%s %s %s %s is not checked by anything", r.id, r.topic, r.item, r.quantity)
		}
		checked++
	}
	if rows != nil && checked != 53 {
		t.Errorf("%d rows checked, expected 53", checked)
	}
}

func checkGrade(t *testing.T, r row) bool {
	if r.topic != "SAE J300" {
		return false
	}
	name := strings.Fields(r.item)[0]
	is := func(got float64) bool {
		if !printed(got, r.value) {
			t.Errorf("%s %s %s: %v, want %s", r.id, r.item, r.quantity, got, r.value)
		}
		return true
	}
	for _, w := range WinterGrades {
		if w.Name != name {
			continue
		}
		switch {
		case strings.HasPrefix(r.quantity, "cranking viscosity max at "+strconv.Itoa(int(w.CrankDegC))+" deg"):
			return is(w.Crank)
		case strings.HasPrefix(r.quantity, "pumping viscosity max at "+strconv.Itoa(int(w.PumpDegC))+" deg"):
			return is(w.Pump)
		case strings.HasPrefix(r.quantity, "kinematic"):
			return is(w.Least)
		}
	}
	for _, h := range HotGrades {
		if h.Name != name {
			continue
		}
		switch {
		case strings.HasSuffix(r.quantity, "100 deg C min"):
			return is(h.Least)
		case strings.Contains(r.quantity, "strictly less than"):
			return is(h.Below)
		case strings.HasPrefix(r.quantity, "HTHS") && strings.HasPrefix(r.item, "40 (0W-40"):
			return is(h.LightHTHS)
		case strings.HasPrefix(r.quantity, "HTHS"):
			return is(h.HTHS)
		}
	}
	return false
}

// checkFormula checks the rows that print formulas and worked examples: the example's figures are read out of the row.
func checkFormula(t *testing.T, r row) bool {
	number := func(key string) float64 {
		_, rest, _ := strings.Cut(r.quantity+" "+r.value, key+"=")
		v, _ := strconv.ParseFloat(strings.Trim(strings.FieldsFunc(rest, func(c rune) bool { return c == ' ' || c == ',' })[0], ";"), 64)
		return v
	}
	switch r.id {
	case "OIL-046", "OIL-050": // the two procedures' formulas: their examples follow
		return strings.Contains(r.value, "100")
	case "OIL-047", "OIL-048": // the formulas beyond 70 mm2/s, at 80
		l, h := basis(80)
		return l == 0.8353*80*80+14.67*80-216 && h == 0.1684*80*80+11.85*80-97
	case "OIL-049", "OIL-051":
		v, err := Index(number("KV40"), number("KV100"))
		exact, whole, _ := strings.Cut(r.value, " -> ")
		if err != nil || !printed(v, exact) && !nearTo(v, exact, 0.06) || strconv.Itoa(Rounded(v)) != whole {
			t.Errorf("%s: %v, %v; want %s", r.id, v, err, r.value)
		}
		l, h := basis(number("KV100"))
		if r.id == "OIL-049" && (!printed(l, "119.94") || !printed(h, "69.48")) || r.id == "OIL-051" && !nearTo(h, "28.97", 0.0051) {
			t.Errorf("%s: L %v, H %v", r.id, l, h)
		}
		return true
	case "OIL-054", "OIL-055":
		pair := map[string][4]float64{"OIL-054": {73.30, 8.86, 70, 20.92}, "OIL-055": {22.83, 5.05, 0, 148.6}}[r.id]
		line, err := LineThrough(pair[0], pair[1])
		v, err2 := line.At(pair[2])
		if err != nil || err2 != nil || !printed(line.A, strconv.FormatFloat(number("A"), 'f', 5, 64)) || !printed(line.B, strconv.FormatFloat(number("B"), 'f', 5, 64)) || !printed(v, strconv.FormatFloat(pair[3], 'f', -1, 64)) {
			t.Errorf("%s: %+v, %v; want %s", r.id, line, v, r.value)
		}
		return true
	}
	return false
}

func nearTo(got float64, want string, tol float64) bool {
	w, err := strconv.ParseFloat(want, 64)
	return err == nil && got-w <= tol && w-got <= tol
}
