package judge

import (
	"math"
	"strconv"

	"witnessmark/core/unit"
)

// num writes a number with as many digits as it has, at most two after the point; three below a tenth, where discs
// and bearings are judged by the hundredth.
func num(x float64) string {
	digits := 100.0
	if math.Abs(x) < 0.1 {
		digits = 1000
	}
	x = math.Round(x*digits) / digits
	if x == 0 {
		return "0" // never -0
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// amount writes a quantity the way the car's owner reads numbers.
func (f *Finding) amount(x float64, name string) string { return Amount(x, name, f.units) }

// Amount writes a quantity in the unit of that name ("mm", "percent", "years") with the digits that it has, at most two after the
// point, the way a system of units reads it.
func Amount(x float64, name string, sys unit.System) string {
	switch name {
	case "fraction":
		return num(x*100) + " %"
	case "lambda":
		return num(x)
	}
	u, ok := unit.ByName(name)
	if !ok {
		return num(x) + " " + name
	}
	if name == "cycles" || name == "months" || name == "years" {
		return unit.Format(x, u, unit.Metric, digits(x))
	}
	if sys == unit.US && u == unit.MM && math.Abs(x) >= half32nd {
		return unit.Format(x, u, unit.US, 1) // tread and lining in 32nds, though the figure came from millimetres
	}
	return unit.Format(x, u, sys, digits(x))
}

// half32nd is what a gauge in 32nds of an inch still shows; smaller figures are run-out and the like, in thousandths.
const half32nd = 25.4 / 64

// digits counts the decimals that num would write.
func digits(x float64) int {
	s := num(x)
	for i := range s {
		if s[i] == '.' {
			return len(s) - i - 1
		}
	}
	return 0
}
