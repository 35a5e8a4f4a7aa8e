package catalogue

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"witnessmark/core/point"
)

// published are figures of published documents that limits of the catalogue rest on, with the row of the reference
// tables that holds them. The figures stand here too, so that the comparison runs without the tables.
var published = []struct {
	row, source string
	value       float64
	// in is where the catalogue has it: a table with the row's x, or a point's limit by its comparison and verdict.
	in string
	// unit turns the row's figure into the catalogue's unit.
	unit float64
}{
	{"US570-025", "49 CFR 570.7(a) Table 1, wheel of 16 in or less", 2, "table steering-lash 406", 25.4},
	{"US570-026", "49 CFR 570.7(a) Table 1, 18 in", 2.25, "table steering-lash 457", 25.4},
	{"US570-027", "49 CFR 570.7(a) Table 1, 20 in", 2.5, "table steering-lash 508", 25.4},
	{"US570-028", "49 CFR 570.7(a) Table 1, 22 in", 2.75, "table steering-lash 558", 25.4},
	{"US570-029", "49 CFR 570.7(b)", 0.25, "limit steering-linkage-play above overdue", 25.4},
	{"US570-016", "49 CFR 570.5(g), from memory", 1.0 / 32, "limit pad-thickness below unsafe", 25.4},
	{"US570-016", "49 CFR 570.5(g), from memory", 1.0 / 32, "limit shoe-lining below unsafe", 25.4},
	{"US570-056", "49 CFR 570.9(a), from memory", 2.0 / 32, "limit tyre-tread below overdue", 25.4},
	{"US570-054", "49 CFR 570.8(b)(1), from memory", 2, "limit damper-rocking above overdue", 1},
	{"US570-063", "49 CFR 570.10(b)", 0.125, "limit wheel-runout above overdue", 25.4},
	{"US570-031", "49 CFR 570.7(d)", 1.5, "times wheel-toe above overdue", 1},
	{"EU1445-208", "Directive 89/459/EEC, from memory", 1.6, "limit tyre-tread below unsafe", 1},
	{"EU1445-192", "2014/45/EU 1.2.1, from memory", 70, "limit brake-balance below overdue", 1},
	{"EU1445-193", "2014/45/EU 1.2.1, from memory", 50, "limit brake-balance below unsafe", 1},
	{"EU1445-194", "2014/45/EU 1.2.2(a), from memory", 58, "limit brake-efficiency below overdue 0", 1},
	{"EU1445-195", "2014/45/EU 1.2.2(b), from memory", 50, "limit brake-efficiency below overdue 1", 1},
	{"EU1445-200", "2014/45/EU 1.4.2, from memory", 16, "limit parking-brake-efficiency below overdue", 1},
	{"EU1445-204", "2014/45/EU 2.3, from memory: a fifth of the wheel", 0.2, "share steering-lash-eu", 1},
	{"EU1445-216", "2014/45/EU 8.2.1.2, later cars, from memory", 0.3, "limit co-idle above overdue 0", 1},
	{"EU1445-214", "2014/45/EU 8.2.1.2, from memory", 0.5, "limit co-idle above overdue 1", 1},
	{"EU1445-217", "2014/45/EU 8.2.1.2, later cars, from memory", 0.2, "limit co-high-idle above overdue 0", 1},
	{"EU1445-215", "2014/45/EU 8.2.1.2, from memory", 0.3, "limit co-high-idle above overdue 1", 1},
	{"EU1445-223", "2014/45/EU 8.2.2.2, from memory", 0.7, "limit opacity above overdue 0", 1},
	{"EU1445-222", "2014/45/EU 8.2.2.2, from memory", 1.5, "limit opacity above overdue 1", 1},
	{"EU1445-221", "2014/45/EU 8.2.2.2, turbo, from memory", 3, "limit opacity above overdue 2", 1},
	{"EU1445-220", "2014/45/EU 8.2.2.2, no turbo, from memory", 2.5, "limit opacity above overdue 3", 1},
	{"EU1445-230", "UN R48 6.2.6.1, below 0.8 m", 0.5, "table lamp-fall-least 650", -1},
	{"EU1445-231", "UN R48 6.2.6.1, initial, below 0.8 m", 1, "table lamp-setting-least 650", -1},
	{"BF-002", "FMVSS 116 S5.1.2, DOT 3", 140, "word brake-fluid-wet DOT 3", 1},
	{"BF-006", "FMVSS 116 S5.1.2, DOT 4", 155, "word brake-fluid-wet DOT 4", 1},
	{"BF-010", "FMVSS 116 S5.1.2, DOT 5 and 5.1", 180, "word brake-fluid-wet DOT 5.1", 1},
	{"BF-010", "FMVSS 116 S5.1.2, DOT 5 and 5.1", 180, "word brake-fluid-wet DOT 5", 1},
	{"BAT-001", "BCI charge table, 100 %", 12.65, "charge 100", 1},
	{"BAT-004", "BCI charge table, 75 %", 12.45, "charge 75", 1},
	{"BAT-007", "BCI charge table, 50 %", 12.24, "charge 50", 1},
	{"BAT-010", "BCI charge table, 25 %", 12.06, "charge 25", 1},
	{"BAT-013", "BCI charge table, 0 %", 11.89, "charge 0", 1},
}

// TestPublishedFigures compares the catalogue with the published figures that it names.
func TestPublishedFigures(t *testing.T) {
	cat := base(t)
	for _, p := range published {
		got, err := inCatalogue(cat, p.in)
		if err != nil {
			t.Errorf("%s (%s): %v", p.row, p.source, err)
			continue
		}
		if want := math.Abs(p.value * p.unit); math.Abs(got-want) > 0.005 {
			t.Errorf("%s: the catalogue has %v, %s (row %s) says %v", p.in, got, p.source, p.row, want)
		}
	}
}

// TestPublishedTables compares the figures above with the reference tables, where they are at hand. WITNESSMARK_CHECKS
// names their directory; otherwise they are looked for beside the repository.
func TestPublishedTables(t *testing.T) {
	dir := os.Getenv("WITNESSMARK_CHECKS")
	if dir == "" {
		dir = "../../shared/checks"
	}
	rows := map[string]string{}
	files, _ := filepath.Glob(filepath.Join(dir, "standards", "0*.csv"))
	for _, name := range files {
		f, err := os.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		r := csv.NewReader(f)
		r.FieldsPerRecord = -1
		all, err := r.ReadAll()
		f.Close()
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for _, row := range all {
			rows[row[0]] = row[4]
		}
	}
	if len(rows) == 0 {
		t.Logf("NO REFERENCE TABLES at %s: only the figures written here were compared. Set WITNESSMARK_CHECKS to their directory.", dir)
		return
	}
	for _, p := range published {
		got, err := first(rows[p.row])
		if err != nil {
			t.Errorf("row %s: %v", p.row, err)
		} else if math.Abs(math.Abs(got)-p.value) > 1e-9 {
			t.Errorf("row %s (%s) has %v, compared with %v", p.row, p.source, got, p.value)
		}
	}
}

var number = regexp.MustCompile(`(-?\d+(?:\.\d+)?)(?: (\d+)/(\d+))?(?:/(\d+))?`)

// first reads the first number of a cell: "2 1/4", "1/32 (0.79 mm)", "-0.5 to -2.5", "58".
func first(cell string) (float64, error) {
	m := number.FindStringSubmatch(strings.TrimSpace(cell))
	if m == nil {
		return 0, fmt.Errorf("no number in %q", cell)
	}
	x, _ := strconv.ParseFloat(m[1], 64)
	if m[4] != "" {
		d, _ := strconv.ParseFloat(m[4], 64)
		return x / d, nil
	}
	if m[2] != "" {
		n, _ := strconv.ParseFloat(m[2], 64)
		d, _ := strconv.ParseFloat(m[3], 64)
		x += n / d
	}
	return x, nil
}

// inCatalogue finds a figure: "table ID X", "word ID WORD", "charge PERCENT", "share ID", "times POINT IS VERDICT",
// "limit POINT IS VERDICT [N]" for the n-th limit of that kind with a figure of its own.
func inCatalogue(cat *point.Catalogue, where string) (float64, error) {
	kind, rest, _ := strings.Cut(where, " ")
	id, rest, _ := strings.Cut(rest, " ")
	switch kind {
	case "table":
		x, err := strconv.ParseFloat(rest, 64)
		return cat.Tables[id].At(x), err
	case "word":
		return cat.Tables[id].Words[rest], nil
	case "share":
		return cat.Tables[id].At(380) / 380, nil
	case "charge":
		for _, r := range cat.Tables["charge-flooded"].Rows {
			if fmt.Sprint(r.Y) == id {
				return r.X, nil
			}
		}
		return 0, fmt.Errorf("no row for %s %%", id)
	}
	words := strings.Fields(rest)
	n := 0
	if len(words) == 3 {
		n, _ = strconv.Atoi(words[2])
	}
	for _, l := range cat.Point(id).Limits {
		if string(l.Is) != words[0] || string(l.Verdict) != words[1] || kind == "limit" && l.Number == nil {
			continue
		}
		if n--; n >= 0 {
			continue
		}
		if kind == "times" {
			return l.Times, nil
		}
		return *l.Number, nil
	}
	return 0, fmt.Errorf("%s has no such limit", where)
}

// TestLeakClasses: class I and II may run on, watched or mended; class III and any fuel do not (US Army TM 5-3895-383-24,
// para 1-10; fuel: common practice).
func TestLeakClasses(t *testing.T) {
	cat := base(t)
	n := 0
	for _, p := range cat.Points {
		if !strings.HasPrefix(p.ID, "leak-") {
			continue
		}
		n++
		for _, s := range p.States[1:] {
			v := string(s.Verdict)
			switch {
			case p.ID == "leak-fuel" && v != "unsafe":
				t.Errorf("fuel, %s, is %s", s.ID, v)
			case s.ID == "seep-class-1" && p.ID != "leak-fuel" && v != "watch":
				t.Errorf("%s %s is %s", p.ID, s.ID, v)
			case s.ID == "running-class-3" && v != "overdue" && v != "unsafe":
				t.Errorf("%s %s is %s", p.ID, s.ID, v)
			}
		}
	}
	if n != 8 {
		t.Errorf("%d leak points, want 8", n)
	}
}
