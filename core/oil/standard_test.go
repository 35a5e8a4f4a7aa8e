package oil

import (
	"strconv"
	"strings"
	"testing"

	"witnessmark/internal/published"
)

// TestStandardTable reproduces every row of the oil table that has the status verified or computed.
func TestStandardTable(t *testing.T) {
	rows, checked := published.Rows(t, "05_engine_oil.csv"), 0
	for _, r := range rows {
		if r.Status == "memory" {
			continue
		}
		if !checkGrade(t, r) && !checkFormula(t, r) {
			t.Errorf("%s %s %s %s is not checked by anything", r.ID, r.Topic, r.Item, r.Quantity)
		}
		checked++
	}
	if rows != nil && checked != 53 {
		t.Errorf("%d rows checked, expected 53", checked)
	}
}

func checkGrade(t *testing.T, r published.Row) bool {
	if r.Topic != "SAE J300" {
		return false
	}
	name := strings.Fields(r.Item)[0]
	is := func(got float64) bool {
		if !published.Printed(got, r.Value) {
			t.Errorf("%s %s %s: %v, want %s", r.ID, r.Item, r.Quantity, got, r.Value)
		}
		return true
	}
	for _, w := range WinterGrades {
		if w.Name != name {
			continue
		}
		switch {
		case strings.HasPrefix(r.Quantity, "cranking viscosity max at "+strconv.Itoa(int(w.CrankDegC))+" deg"):
			return is(w.Crank)
		case strings.HasPrefix(r.Quantity, "pumping viscosity max at "+strconv.Itoa(int(w.PumpDegC))+" deg"):
			return is(w.Pump)
		case strings.HasPrefix(r.Quantity, "kinematic"):
			return is(w.Least)
		}
	}
	for _, h := range HotGrades {
		if h.Name != name {
			continue
		}
		switch {
		case strings.HasSuffix(r.Quantity, "100 deg C min"):
			return is(h.Least)
		case strings.Contains(r.Quantity, "strictly less than"):
			return is(h.Below)
		case strings.HasPrefix(r.Quantity, "HTHS") && strings.HasPrefix(r.Item, "40 (0W-40"):
			return is(h.LightHTHS)
		case strings.HasPrefix(r.Quantity, "HTHS"):
			return is(h.HTHS)
		}
	}
	return false
}

// checkFormula checks the rows that print formulas and worked examples: the example's figures are read out of the row.
func checkFormula(t *testing.T, r published.Row) bool {
	number := func(key string) float64 {
		_, rest, _ := strings.Cut(r.Quantity+" "+r.Value, key+"=")
		v, _ := strconv.ParseFloat(strings.Trim(strings.FieldsFunc(rest, func(c rune) bool { return c == ' ' || c == ',' })[0], ";"), 64)
		return v
	}
	switch r.ID {
	case "OIL-046", "OIL-050": // the two procedures' formulas: their examples follow
		return strings.Contains(r.Value, "100")
	case "OIL-047", "OIL-048": // the formulas beyond 70 mm2/s, at 80
		l, h := basis(80)
		return l == 0.8353*80*80+14.67*80-216 && h == 0.1684*80*80+11.85*80-97
	case "OIL-049", "OIL-051":
		v, err := Index(number("KV40"), number("KV100"))
		exact, whole, _ := strings.Cut(r.Value, " -> ")
		if err != nil || !published.Printed(v, exact) && !nearTo(v, exact, 0.06) || strconv.Itoa(Rounded(v)) != whole {
			t.Errorf("%s: %v, %v; want %s", r.ID, v, err, r.Value)
		}
		l, h := basis(number("KV100"))
		if r.ID == "OIL-049" && (!published.Printed(l, "119.94") || !published.Printed(h, "69.48")) || r.ID == "OIL-051" && !nearTo(h, "28.97", 0.0051) {
			t.Errorf("%s: L %v, H %v", r.ID, l, h)
		}
		return true
	case "OIL-054", "OIL-055":
		pair := map[string][4]float64{"OIL-054": {73.30, 8.86, 70, 20.92}, "OIL-055": {22.83, 5.05, 0, 148.6}}[r.ID]
		line, err := LineThrough(pair[0], pair[1])
		v, err2 := line.At(pair[2])
		if err != nil || err2 != nil || !published.Printed(line.A, strconv.FormatFloat(number("A"), 'f', 5, 64)) || !published.Printed(line.B, strconv.FormatFloat(number("B"), 'f', 5, 64)) || !published.Printed(v, strconv.FormatFloat(pair[3], 'f', -1, 64)) {
			t.Errorf("%s: %+v, %v; want %s", r.ID, line, v, r.Value)
		}
		return true
	}
	return false
}

func nearTo(got float64, want string, tol float64) bool {
	w, err := strconv.ParseFloat(want, 64)
	return err == nil && got-w <= tol && w-got <= tol
}
