package sums

import (
	"witnessmark/core/battery"
	"witnessmark/core/unit"
)

var (
	inVolts = []unit.Unit{unit.V, unit.MilliV}
	inAmps  = []unit.Unit{unit.A}
)

const batteryCaution = "Battery acid burns and the gas of a battery explodes: no spark, no flame, eyes covered. High-voltage batteries are for licensed hands alone."

var batterySums = []Sum{
	{
		Name: "battery-charge", Title: "Battery: charge from the rest voltage", Caution: batteryCaution,
		Source: "BCI state-of-charge table and temperature compensation (flooded); glass mat and gel are common practice",
		Keys: []Key{
			{Name: "type", Title: "Type", Kind: Choice, Choices: []string{"flooded", "agm", "gel"}},
			{Name: "volts", Title: "Voltage at rest", Units: inVolts, Bare: true, Example: "12.45V"},
			{Name: "at", Title: "Temperature of the battery", Units: inDegrees, Optional: true, Example: "10C"},
		},
		Outputs: []Output{{"charge_percent", "Charge"}, {"acid_freezes_degC", "The acid freezes at"}},
		Example: "type=flooded volts=12.45V at=10C", run: batteryCharge,
	},
	{
		Name: "battery-load", Title: "Battery: load test", Caution: batteryCaution, Source: "load-test table of vehicle service manuals (BCI practice), flooded, charged, surface charge taken off",
		Keys: []Key{
			{Name: "at", Title: "Temperature of the battery", Units: inDegrees, Example: "5C"},
			{Name: "rated", Title: "Rated cold cranking current", Units: inAmps, Bare: true, Example: "640A"},
			{Name: "volts", Title: "Voltage after 15 s under load", Units: inVolts, Bare: true, Optional: true, Example: "9.6V"},
		},
		Outputs: []Output{{"load_A", "Load to set"}, {"least_V", "Least voltage after 15 s"}, {"passed", "It holds"}},
		Example: "at=5C rated=640A volts=9.6V", run: batteryLoad,
	},
	{
		Name: "battery-rating", Title: "Battery: measured against rated", Caution: batteryCaution,
		Source: "share of the rating; factors between standards are common practice, from memory",
		Keys: []Key{
			{Name: "measured", Title: "Measured current", Units: inAmps, Bare: true, Example: "510A"},
			{Name: "by", Title: "Tester set to", Kind: Choice, Choices: []string{"en", "sae", "din", "iec"}},
			{Name: "rated", Title: "Rated current", Units: inAmps, Bare: true, Example: "600A"},
			{Name: "printed", Title: "Standard beside the rating", Kind: Choice, Choices: []string{"en", "sae", "din", "iec"}},
		},
		Outputs: []Output{{"percent", "Of the rating"}, {"least_percent", "At least"}, {"most_percent", "At most"}, {"verdict", "Verdict"}},
		Example: "measured=510A by=en rated=600A printed=en", run: batteryRating,
	},
}

func batteryCharge(in *input) (Result, error) {
	var r Result
	kind, err := battery.ParseType(in.text("type"))
	if err != nil {
		return r, in.fail("type", err)
	}
	at := battery.TableDegC
	if in.has("at") {
		at = in.num("at")
	} else {
		r.note("Without the battery's temperature none is corrected for.")
	}
	c, err := battery.FromVoltage(kind, in.num("volts"), at)
	if err != nil {
		return r, in.fail("volts", err)
	}
	r.add("charge_percent", round(c.Percent, 1))
	if kind == battery.Flooded {
		freezes, err := battery.FreezesAt(c.Percent)
		if err != nil {
			return r, err
		}
		r.add("acid_freezes_degC", round(freezes, 0))
	} else {
		r.Source = "common practice for glass mat and gel; temperature as in the BCI table"
	}
	switch {
	case c.Outside && c.Percent > 50:
		r.note("This is more than the table knows: a surface charge is likely, so let it rest and measure again.")
	case c.Outside:
		r.note("This is less than the table knows: flat, and perhaps harmed.")
	}
	return r, nil
}

func batteryLoad(in *input) (Result, error) {
	var r Result
	least, err := battery.LoadMinimum(in.num("at"))
	if err != nil {
		return r, in.fail("at", err)
	}
	amps, err := battery.LoadCurrent(in.num("rated"))
	if err != nil {
		return r, in.fail("rated", err)
	}
	r.add("load_A", round(amps, 0))
	r.add("least_V", round(least, 2))
	if in.has("volts") {
		r.add("passed", in.num("volts") >= least)
	}
	return r, nil
}

func batteryRating(in *input) (Result, error) {
	var r Result
	by, err := battery.ParseStandard(in.text("by"))
	if err != nil {
		return r, in.fail("by", err)
	}
	printed, err := battery.ParseStandard(in.text("printed"))
	if err != nil {
		return r, in.fail("printed", err)
	}
	s, err := battery.Compare(in.num("measured"), by, in.num("rated"), printed)
	if err != nil {
		return r, in.fail("rated", err)
	}
	r.add("percent", round(s.Percent, 1))
	r.add("least_percent", round(s.Least, 1))
	r.add("most_percent", round(s.Most, 1))
	r.add("verdict", string(s.Judge()))
	if by != printed {
		r.note("%s and %s test differently, so no exact factor exists (%s is likely): set the tester to %s and measure again.", by, printed, plusMinus(s.Least, s.Most, "%"), printed)
	}
	return r, nil
}
