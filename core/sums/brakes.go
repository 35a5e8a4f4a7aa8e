package sums

import (
	"errors"

	"witnessmark/core/brake"
	"witnessmark/core/unit"
)

var inForce = []unit.Unit{unit.N, unit.KiloN, unit.PoundF}

const brakeTestCaution = "Brakes are tested and opened by those who have learned it; the country's periodic test goes before this answer. A passed sum never says that a car is safe."

var brakeSums = []Sum{
	{
		Name: "brake-balance", Title: "Brakes: balance of an axle", Caution: brakeTestCaution, Source: "Directive 2014/45/EU Annex I, 1.2.1(b), from memory; 49 CFR 570.5(d)(1), from memory",
		Keys: []Key{
			{Name: "left", Title: "Force left", Units: inForce, Example: "2500N"},
			{Name: "right", Title: "Force right", Units: inForce, Example: "1900N"},
			{Name: "axle", Title: "Axle", Kind: Choice, Choices: []string{"front", "rear"}, Default: "front"},
			marketKey,
		},
		Outputs: []Output{{"weaker_percent", "Weaker of stronger"}, {"imbalance_percent", "Imbalance"}, {"verdict", "Verdict"}},
		Example: "left=2500N right=1900N", run: brakeBalance,
	},
	{
		Name: "brake-efficiency", Title: "Brakes: efficiency", Caution: brakeTestCaution, Source: "Directive 2014/45/EU Annex I, 1.2.2, from memory (58 % read in a UK notice)",
		Keys: []Key{
			{Name: "forces", Title: "Forces of all wheels", Kind: List, Units: inForce, Example: "2500N; 2400N; 1500N; 1450N"},
			{Name: "mass", Title: "Largest permitted mass", Kind: Mass, Example: "1600kg"},
			{Name: "registered", Title: "First registered in the year", Kind: Number, Example: "2014"},
		},
		Outputs: []Output{{"efficiency_percent", "Efficiency"}, {"required_percent", "Required"}, {"verdict", "Verdict"}},
		Example: "forces=2500N;2400N;1500N;1450N mass=1600kg registered=2014", run: brakeEfficiency,
	},
	{
		Name: "brake-disc", Title: "Brakes: thickness variation and taper of a disc", Caution: brakeTestCaution, Source: "definitions; bounds of variation are common practice, the minimum is cast into the disc",
		Keys: []Key{
			{Name: "readings", Title: "Readings round the disc", Kind: List, Units: []unit.Unit{unit.MM, unit.Inch}, Example: "23.98mm; 24.00mm; 23.99mm; 23.97mm"},
			{Name: "minimum", Title: "Minimum cast into the disc", Units: []unit.Unit{unit.MM, unit.Inch}, Example: "22.4mm"},
			{Name: "outer", Title: "Mean near the outer edge", Units: []unit.Unit{unit.MM, unit.Inch}, Optional: true, Example: "23.90mm"},
			{Name: "inner", Title: "Mean near the hub", Units: []unit.Unit{unit.MM, unit.Inch}, Optional: true, Example: "24.05mm"},
		},
		Outputs: []Output{{"thinnest_mm", "Thinnest"}, {"mean_mm", "Mean"}, {"variation_mm", "Thickness variation"}, {"spare_mm", "Above the minimum"}, {"verdict", "Verdict"}, {"taper_mm", "Taper, thinner outside above 0"}},
		Example: "readings=23.98mm;24.00mm;23.99mm;23.97mm minimum=22.4mm", run: brakeDisc,
	},
}

func brakeBalance(in *input) (Result, error) {
	var r Result
	b, err := brake.Balanced(in.num("left"), in.num("right"))
	if err != nil {
		return r, err
	}
	r.add("weaker_percent", round(b.Weaker, 1))
	r.add("imbalance_percent", round(b.Imbalance, 1))
	r.add("verdict", string(b.Judge(in.text("axle") == "front", in.text("market") == "us")))
	return r, nil
}

func brakeEfficiency(in *input) (Result, error) {
	var r Result
	sum := 0.0
	for _, f := range in.list("forces") {
		if f < 0 {
			return r, in.fail("forces", errors.New("a force below 0 does not brake"))
		}
		sum += f
	}
	e, err := brake.Efficiency(sum, in.num("mass"))
	if err != nil {
		return r, in.fail("mass", err)
	}
	year := in.num("registered")
	if year != float64(int(year)) || year < 1900 || year > 2200 {
		return r, in.fail("registered", errors.New("this is no year; expected such as 2014"))
	}
	required := brake.Required(int(year))
	r.add("efficiency_percent", round(e, 1))
	r.add("required_percent", required)
	r.add("verdict", string(brake.JudgeEfficiency(e, required)))
	return r, nil
}

func brakeDisc(in *input) (Result, error) {
	var r Result
	d, err := brake.Measure(in.list("readings"), in.num("minimum"))
	if err != nil {
		return r, in.fail("readings", err)
	}
	r.add("thinnest_mm", round(d.Thinnest, 3))
	r.add("mean_mm", round(d.Mean, 3))
	r.add("variation_mm", round(d.Variation, 3))
	r.add("spare_mm", round(d.Spare, 3))
	r.add("verdict", string(d.Judge()))
	if in.has("outer") != in.has("inner") {
		return r, in.fail("outer", errors.New("taper needs both outer and inner"))
	}
	if in.has("outer") {
		t, err := brake.Taper(in.num("outer"), in.num("inner"))
		if err != nil {
			return r, in.fail("outer", err)
		}
		r.add("taper_mm", round(t, 3))
	}
	return r, nil
}
