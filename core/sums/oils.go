package sums

import (
	"fmt"
	"math"

	"witnessmark/core/loss"
	"witnessmark/core/oil"
	"witnessmark/core/unit"
)

var (
	inViscosity = []unit.Unit{unit.MM2PerS}
	inDistance  = []unit.Unit{unit.KM, unit.Mile}
)

const oilCaution = "Grade and approval that the maker names go before any sum. Hot oil burns, old oil is handed in."

var oilSums = []Sum{
	{
		Name: "oil-viscosity", Title: "Oil: viscosity at a temperature, index and grade", Caution: oilCaution,
		Source: "ASTM D341 (Walther, simple form, from memory); ASTM D2270 / ISO 2909; SAE J300 (2015-01-20)",
		Keys: []Key{
			{Name: "v40", Title: "Viscosity at 40 °C", Units: inViscosity, Bare: true, Example: "73.3mm2/s"},
			{Name: "v100", Title: "Viscosity at 100 °C", Units: inViscosity, Bare: true, Example: "8.86mm2/s"},
			{Name: "at", Title: "Temperature", Units: inDegrees, Example: "70C"},
		},
		Outputs: []Output{{"kinematic_mm2_s", "Viscosity there"}, {"viscosity_index", "Viscosity index"}, {"grade", "Grade by viscosity at 100 °C"}},
		Example: "v40=73.3 v100=8.86 at=70C", run: oilViscosity,
	},
	{
		Name: "oil-start", Title: "Oil: grade for the lowest start", Caution: oilCaution, Source: "SAE J300 (2015-01-20), cranking temperatures; taking them as the lowest start is common practice",
		Keys:    []Key{{Name: "lowest", Title: "Lowest temperature at which it must start", Units: inDegrees, Example: "-22C"}},
		Outputs: []Output{{"grade", "Thickest winter grade that may do"}, {"grades", "All that may do"}},
		Example: "lowest=-22C", run: oilStart,
	},
	{
		Name: "oil-use", Title: "Oil: use per 1000 km", Caution: oilCaution, Source: "(added + level at the start - level at the end) / distance; the range is the dipstick's coarseness",
		Keys: []Key{
			{Name: "added", Title: "Added in all", Units: inLitres, Example: "1.2L"},
			{Name: "start", Title: "Level at the start, above the lower mark", Units: inLitres, Example: "0.8L"},
			{Name: "end", Title: "Level at the end, above the lower mark", Units: inLitres, Example: "0.5L"},
			{Name: "distance", Title: "Distance", Units: inDistance, Example: "4000km"},
			{Name: "fineness", Title: "How finely the dipstick can be read", Units: inLitres, Default: "0.2L", Example: "0.2L"},
		},
		Outputs: []Output{{"litres_per_1000km", "Use"}, {"least_litres_per_1000km", "At least"}, {"most_litres_per_1000km", "At most"}},
		Example: "added=1.2L start=0.8L end=0.5L distance=4000km", run: oilUse,
	},
	{
		Name: "fluid-loss", Title: "Loss of a fluid between two looks", Source: "(first - last + added) / distance; the range is the marks' coarseness",
		Caution: "Losing brake fluid or fuel is never normal: the car stays until the leak is found. A coolant that must be filled up often is looked into, not filled up.",
		Keys: []Key{
			{Name: "first", Title: "First level, above the lower mark", Units: inLitres, Example: "0.2L"},
			{Name: "last", Title: "Last level, above the lower mark", Units: inLitres, Example: "-0.3L"},
			{Name: "added", Title: "Added in between", Units: inLitres, Default: "0L", Example: "0.5L"},
			{Name: "distance", Title: "Distance", Units: inDistance, Example: "2500km"},
			{Name: "fineness", Title: "How finely the marks can be read", Units: inLitres, Example: "0.2L"},
			{Name: "left", Title: "Left above the lower mark", Units: inLitres, Optional: true, Example: "0.6L"},
		},
		Outputs: []Output{{"litres_per_1000km", "Loss"}, {"least_litres_per_1000km", "At least"}, {"most_litres_per_1000km", "At most"}, {"proven", "Lost whatever the marks hide"}, {"lasts_km", "Down to the lower mark after"}, {"soonest_km", "At the earliest after"}},
		Example: "first=0.2L last=-0.3L added=0.5L distance=2500km fineness=0.2L", run: fluidLoss,
	},
}

func oilViscosity(in *input) (Result, error) {
	var r Result
	line, err := oil.LineThrough(in.num("v40"), in.num("v100"))
	if err != nil {
		return r, in.fail("v100", err)
	}
	v, err := line.At(in.num("at"))
	if err != nil {
		return r, in.fail("at", err)
	}
	index, err := oil.Index(in.num("v40"), in.num("v100"))
	if err != nil {
		return r, in.fail("v100", err)
	}
	r.add("kinematic_mm2_s", significant(v, 4))
	r.add("viscosity_index", oil.Rounded(index))
	r.add("grade", oil.GradeName(in.num("v100")))
	if first, last := oil.GradesAt(in.num("v100")); last-first > 1 {
		r.note("The thin grades overlap; the shear test at 150 °C decides between them.")
	}
	if in.num("at") < 0 {
		r.note("In the cold a multigrade oil is thicker than the line says; only the cranking test speaks for a start.")
	}
	return r, nil
}

// significant rounds to a number of significant digits.
func significant(v float64, digits int) float64 {
	if v == 0 {
		return 0
	}
	places := digits - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	if places < 0 {
		p := math.Pow10(-places)
		return math.Round(v/p) * p
	}
	return round(v, places)
}

func oilStart(in *input) (Result, error) {
	var r Result
	last, err := oil.ForStart(in.num("lowest"))
	if err != nil {
		return r, in.fail("lowest", err)
	}
	names := make([]string, 0, last)
	for _, g := range oil.WinterGrades[:last] {
		names = append(names, g.Name)
	}
	r.add("grade", names[last-1])
	r.add("grades", names)
	return r, nil
}

func oilUse(in *input) (Result, error) {
	var r Result
	u, err := oil.PerThousand(in.num("added"), in.num("start"), in.num("end"), in.num("distance"), in.num("fineness"))
	if err != nil {
		return r, err
	}
	r.add("litres_per_1000km", round(u.Litres, 3))
	r.add("least_litres_per_1000km", round(u.Least, 3))
	r.add("most_litres_per_1000km", round(u.Most, 3))
	if u.Least <= 0 {
		r.note("The dipstick is too coarse for this distance: it may be nothing at all. Measure over a longer way.")
	}
	return r, nil
}

func fluidLoss(in *input) (Result, error) {
	var r Result
	rate, err := loss.Look{First: in.num("first"), Last: in.num("last"), Added: in.num("added"), Fineness: in.num("fineness")}.PerThousandKM(in.num("distance"))
	if err != nil {
		return r, err
	}
	r.add("litres_per_1000km", round(rate.Litres, 3))
	r.add("least_litres_per_1000km", round(rate.Least, 3))
	r.add("most_litres_per_1000km", round(rate.Most, 3))
	r.add("proven", rate.Proven())
	if !in.has("left") {
		return r, nil
	}
	likely, soonest, err := rate.Until(in.num("left"))
	if err != nil {
		return r, in.fail("left", err)
	}
	for _, f := range []struct {
		name  string
		spans float64
	}{{"lasts_km", likely}, {"soonest_km", soonest}} {
		if math.IsInf(f.spans, 1) {
			r.note("%s: never, as nothing is lost at that rate.", f.name)
			continue
		}
		r.add(f.name, math.Round(1000*f.spans))
	}
	return r, nil
}

// plusMinus writes a range for notes.
func plusMinus(least, most float64, unit string) string {
	return fmt.Sprintf("%.0f to %.0f %s", least, most, unit)
}
