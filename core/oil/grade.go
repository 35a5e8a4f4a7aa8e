package oil

import (
	"fmt"
	"math"
	"strings"
)

// Hot is a high-temperature grade. Kinematic viscosity at 100 degC in mm2/s, least inclusive and below exclusive;
// HTHS is the least viscosity at 150 degC under high shear in mPa.s.
type Hot struct {
	Name         string
	Least, Below float64
	HTHS         float64
	// LightHTHS is the lower bound that SAE 40 has as 0W-40, 5W-40 and 10W-40; 0 elsewhere.
	LightHTHS float64
}

// HotGrades are all of them, thinnest first. The four thin ones overlap: there the shear test decides.
// Source: SAE J300 (2015-01-20), table.
var HotGrades = [...]Hot{
	{"8", 4.0, 6.1, 1.7, 0}, {"12", 5.0, 7.1, 2.0, 0}, {"16", 6.1, 8.2, 2.3, 0}, {"20", 6.9, 9.3, 2.6, 0},
	{"30", 9.3, 12.5, 2.9, 0}, {"40", 12.5, 16.3, 3.7, 3.5}, {"50", 16.3, 21.9, 3.7, 0}, {"60", 21.9, 26.1, 3.7, 0},
}

// Winter is a W grade: the most viscosity in mPa.s when cranked at CrankDegC and when pumped at PumpDegC, and the
// least kinematic viscosity in mm2/s at 100 degC.
type Winter struct {
	Name      string
	CrankDegC float64
	Crank     float64
	PumpDegC  float64
	Pump      float64
	Least     float64
}

// WinterGrades are all of them, for the coldest first. Source: SAE J300 (2015-01-20), table.
var WinterGrades = [...]Winter{
	{"0W", -35, 6200, -40, 60000, 3.8}, {"5W", -30, 6600, -35, 60000, 3.8}, {"10W", -25, 7000, -30, 60000, 4.1},
	{"15W", -20, 7000, -25, 60000, 5.6}, {"20W", -15, 9500, -20, 60000, 5.6}, {"25W", -10, 13000, -15, 60000, 9.3},
}

// GradesAt gives the places in HotGrades whose range of kinematic viscosity (mm2/s at 100 degC) holds v: from first up
// to before last. None where first equals last: below 4.0 or from 26.1 on.
func GradesAt(v float64) (first, last int) {
	first = -1
	for i := range HotGrades {
		if g := &HotGrades[i]; v >= g.Least && v < g.Below {
			if first < 0 {
				first = i
			}
			last = i + 1
		}
	}
	return max(first, 0), last
}

// GradeName says in words which high-temperature grade a viscosity in mm2/s at 100 degC belongs to: "40", "16 or 20",
// "thinner than 8", "thicker than 60".
func GradeName(v float64) string {
	first, last := GradesAt(v)
	switch {
	case first == last && v < HotGrades[0].Least:
		return "thinner than 8"
	case first == last:
		return "thicker than 60"
	}
	names := make([]string, 0, 3)
	for _, g := range HotGrades[first:last] {
		names = append(names, g.Name)
	}
	return strings.Join(names, " or ")
}

// ForStart gives the W grades whose cranking test lies at or below the lowest temperature in degC at which the engine
// must start: from the coldest grade up to the place last. The last of them is the thickest that may do.
// It is an error below -35 degC and for what is no temperature. Source: SAE J300 (2015-01-20), cranking temperatures;
// taking them as the lowest start is common practice. The maker's own chart goes before it.
func ForStart(lowest float64) (last int, err error) {
	if !(lowest >= WinterGrades[0].CrankDegC) || math.IsInf(lowest, 1) {
		return 0, fmt.Errorf("no grade is tested for cranking at %v °C; the lowest, 0W, is at -35 °C: preheat the engine", lowest)
	}
	for last < len(WinterGrades) && WinterGrades[last].CrankDegC <= lowest {
		last++
	}
	return last, nil
}
