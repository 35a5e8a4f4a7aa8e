package coolant

import (
	"strconv"
	"strings"
	"testing"

	"witnessmark/internal/published"
)

// TestStandardTable reproduces every row of the coolant table that has the status verified. Six rows are read and set
// aside with the reason.
func TestStandardTable(t *testing.T) {
	rows := published.Rows(t, "04_coolant.csv")
	checked, disputed := 0, 0
	for _, r := range rows {
		if r.Status != "verified" {
			continue
		}
		g := Ethylene
		if strings.HasPrefix(r.Item, "propylene") || strings.HasPrefix(r.Topic, "propylene") {
			g = Propylene
		}
		switch {
		case strings.HasPrefix(r.Item, "mass fraction"):
			disputedDensity(t, r)
			disputed++
			continue
		case !checkRow(t, g, r):
			t.Errorf("%s %s %s is not checked by anything", r.ID, r.Topic, r.Item)
		}
		checked++
	}
	if rows != nil && (checked != 149 || disputed != 6) {
		t.Errorf("%d rows checked and %d set aside; expected 149 and 6", checked, disputed)
	}
}

// disputedDensity shows why CL-158 to CL-163 are not used: their columns were matched by guess, and they lie up to
// 13 kg/m3 (some 10 % of glycol) above the IIR table, the engine manual and Lange's neighbouring page.
func disputedDensity(t *testing.T, r published.Row) {
	fraction, _ := strconv.ParseFloat(strings.TrimPrefix(r.Item, "mass fraction "), 64)
	want, _ := strconv.ParseFloat(r.Value, 64)
	got, err := Density(Ethylene, 100*fraction, 20)
	if d := want - got; err != nil || d < -1 || d > 13.5 {
		t.Errorf("%s: %v against %v: the reason for setting it aside no longer holds (%v)", r.ID, want, got, err)
	}
}

func checkRow(t *testing.T, g Glycol, r published.Row) bool {
	t.Helper()
	share, _ := strconv.ParseFloat(strings.Fields(r.Item + " x")[0], 64)
	near := func(got float64, err error) bool {
		if err != nil || !published.Printed(got, r.Value) {
			t.Errorf("%s %s %s: %v, %v; want %s", r.ID, r.Item, r.Quantity, got, err, r.Value)
		}
		return true
	}
	switch {
	case strings.HasPrefix(r.Quantity, "density at 20"):
		v, err := Density(g, share, 20)
		return near(v, err)
	case strings.Contains(r.Topic, "manual"):
		v, _ := manual.At(share)
		return near(v, nil)
	case r.Item == "polynomial":
		return true // its printed values are checked in TestPolynomial
	case strings.HasPrefix(r.Quantity, "boiling point 760"):
		v, _ := manual.At(100)
		d, _ := manualDensity.At(100)
		if v != -13 || d != 1.113 {
			t.Errorf("%s: %v, %v; want %s", r.ID, v, d, r.Value)
		}
		return true
	case strings.Contains(r.Item, " = "):
		_, m, _ := strings.Cut(r.Item, " = ")
		mass, _ := strconv.ParseFloat(strings.Fields(m)[0], 64)
		v, err := FreezeByVolume(g, share)
		w, err2 := FreezeByMass(g, mass)
		back, err3 := MassOf(g, share)
		if err2 != nil || err3 != nil || v.DegC != w.DegC || back != mass {
			t.Errorf("%s: %v by volume, %v by mass, %v back (%v, %v)", r.ID, v, w, back, err2, err3)
		}
		return near(v.DegC, err)
	case strings.HasSuffix(r.Item, "% mass"):
		v, _ := g.set().second.At(share)
		return near(v, nil)
	case strings.HasSuffix(r.Item, "% vol"):
		v, _ := lange.At(share)
		return near(v, nil)
	}
	return false
}
