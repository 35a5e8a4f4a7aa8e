package sums

import (
	"errors"

	"witnessmark/core/coolant"
	"witnessmark/core/exchange"
	"witnessmark/core/unit"
)

var (
	inLitres  = []unit.Unit{unit.L, unit.Quart, unit.Gallon, unit.ML}
	inDegrees = []unit.Unit{unit.DegC, unit.DegF}
	inPercent = []unit.Unit{unit.Percent}
	glycolKey = Key{Name: "glycol", Title: "Glycol", Kind: Choice, Choices: []string{"ethylene", "propylene"}}
)

const (
	coolantSource  = "ASHRAE Handbook Fundamentals 2001, ch. 21; disagreement with Melinder, IIR (2010)"
	coolantCaution = "Never open a hot cooling system. Glycol is poisonous: keep it from children and animals and hand the old coolant in. The maker's coolant type goes before any sum."
)

var fluidSums = []Sum{
	{
		Name: "coolant-freeze", Title: "Coolant: freezing point of a mixture", Source: coolantSource, Caution: coolantCaution, OneOf: []string{"volume", "mass"},
		Keys: []Key{
			glycolKey,
			{Name: "volume", Title: "Share by volume", Units: inPercent, Optional: true, Example: "50%"},
			{Name: "mass", Title: "Share by mass", Units: inPercent, Optional: true, Example: "52%"},
		},
		Outputs: []Output{{"freeze_degC", "Freezing point"}, {"uncertainty_degC", "What the published tables disagree by"}, {"volume_percent", "Share by volume"}, {"mass_percent", "Share by mass"}},
		Example: "glycol=ethylene volume=50%", run: coolantFreeze,
	},
	{
		Name: "coolant-mix", Title: "Coolant: how much concentrate", Source: coolantSource + "; volumes added", Caution: coolantCaution,
		Keys: []Key{
			glycolKey,
			{Name: "capacity", Title: "Capacity of the system", Units: inLitres, Example: "7.5L"},
			{Name: "now", Title: "Protects now to", Units: inDegrees, Example: "-20C"},
			{Name: "drain", Title: "Can be drained", Units: inLitres, Example: "4L"},
			{Name: "target", Title: "Shall protect to", Units: inDegrees, Example: "-37C"},
		},
		Outputs: []Output{{"concentrate_L", "Concentrate over all drains"}, {"water_L", "Water over all drains"}, {"drains", "Times drained"}, {"reached_degC", "Protects then to"},
			{"last_concentrate_L", "Concentrate in the last filling"}, {"last_water_L", "Water in the last filling"}, {"from_percent", "Share before, by volume"}, {"to_percent", "Share after, by volume"}, {"uncertainty_degC", "What the published tables disagree by"}},
		Example: "glycol=ethylene capacity=7.5L now=-20C drain=4L target=-37C", run: coolantMix,
	},
	{
		Name: "coolant-reading", Title: "Coolant: what an instrument's reading means", Caution: coolantCaution, OneOf: []string{"gravity", "index", "ethylene_scale"},
		Source: "Melinder, IIR (2010) for density; CRC Handbook for refractive index, from memory; freezing point as coolant-freeze",
		Keys: []Key{
			glycolKey,
			{Name: "gravity", Title: "Hydrometer, specific gravity", Kind: Number, Optional: true, Example: "1.068"},
			{Name: "index", Title: "Refractive index", Kind: Number, Optional: true, Example: "1.383"},
			{Name: "ethylene_scale", Title: "Read on the ethylene scale", Units: inDegrees, Optional: true, Example: "-30C"},
			{Name: "at", Title: "Temperature of the sample", Units: inDegrees, Default: "20C", Example: "20C"},
		},
		Outputs: []Output{{"freeze_degC", "Freezing point"}, {"uncertainty_degC", "Uncertainty"}, {"mass_percent", "Share by mass"}, {"volume_percent", "Share by volume"}},
		Example: "glycol=ethylene gravity=1.068 at=20C", run: coolantReading,
	},
	{
		Name: "fluid-exchange", Title: "Part exchanges of a fluid", OneOf: []string{"times", "wanted"},
		Source: "share of old fluid left = (1 - drain/capacity)^times, mixed fully between exchanges", Caution: "Level and temperature of the fluid are the maker's; wrong fluid harms a gearbox for good. Hand the old fluid in.",
		Keys: []Key{
			{Name: "capacity", Title: "Capacity", Units: inLitres, Example: "9L"},
			{Name: "drain", Title: "Comes out each time", Units: inLitres, Example: "4L"},
			{Name: "times", Title: "Exchanges", Kind: Number, Optional: true, Example: "3"},
			{Name: "wanted", Title: "Most old fluid that may be left", Units: inPercent, Optional: true, Example: "10%"},
		},
		Outputs: []Output{{"old_share", "Old fluid left, share of one"}, {"times", "Exchanges"}, {"litres", "New fluid to buy"}},
		Example: "capacity=9L drain=4L wanted=10%", run: fluidExchange,
	},
}

func coolantFreeze(in *input) (Result, error) {
	g, _ := coolant.Parse(in.text("glycol"))
	var r Result
	key, freeze := "volume", coolant.FreezeByVolume
	if in.has("mass") {
		key, freeze = "mass", coolant.FreezeByMass
	}
	f, err := freeze(g, in.num(key))
	if err != nil {
		return r, in.fail(key, err)
	}
	freezeFields(&r, f)
	volume, mass := in.num("volume"), in.num("mass")
	err = nil
	if key == "mass" {
		volume, err = coolant.VolumeOf(g, mass)
	} else {
		mass, err = coolant.MassOf(g, volume)
	}
	if err == nil { // beyond the optimum the tables know no pair
		r.add("volume_percent", round(volume, 1))
		r.add("mass_percent", round(mass, 1))
	} else {
		r.note("This is past the optimum: weaker coolant protects better.")
	}
	return r, nil
}

func freezeFields(r *Result, f coolant.Freeze) {
	r.add("freeze_degC", round(f.DegC, 1))
	r.add("uncertainty_degC", round(f.PlusMinus, 1))
	r.Source = f.Source
}

func coolantMix(in *input) (Result, error) {
	g, _ := coolant.Parse(in.text("glycol"))
	var r Result
	for _, key := range []string{"now", "target"} { // blame the temperature that is wrong
		if _, err := coolant.VolumeFor(g, in.num(key)); err != nil {
			return r, in.fail(key, err)
		}
	}
	m, err := coolant.Plan(g, in.num("capacity"), in.num("now"), in.num("drain"), in.num("target"))
	if err != nil {
		return r, in.fail("drain", err)
	}
	r.add("concentrate_L", round(m.Concentrate, 3))
	r.add("water_L", round(m.Water, 3))
	r.add("drains", m.Drains)
	r.add("reached_degC", round(m.Reached.DegC, 1))
	r.add("last_concentrate_L", round(m.LastConcentrate, 3))
	r.add("last_water_L", round(m.LastWater, 3))
	r.add("from_percent", round(m.From, 1))
	r.add("to_percent", round(m.To, 1))
	r.add("uncertainty_degC", round(m.Reached.PlusMinus, 1))
	switch {
	case m.Drains == 0:
		r.note("It protects to the target already; nothing has to be drained.")
	case m.Drains > 1:
		r.note("The fillings before the last are concentrate alone, each mixed by a drive before the next drain.")
	}
	return r, nil
}

func coolantReading(in *input) (Result, error) {
	g, _ := coolant.Parse(in.text("glycol"))
	var r Result
	if in.has("ethylene_scale") {
		if g != coolant.Propylene {
			return r, in.fail("ethylene_scale", errors.New("on its own scale ethylene glycol needs no correction; expected glycol=propylene"))
		}
		f, err := coolant.OnEthyleneScale(in.num("ethylene_scale"))
		if err != nil {
			return r, in.fail("ethylene_scale", err)
		}
		freezeFields(&r, f)
		r.Source = ""
		return r, nil
	}
	key, read, spread := "gravity", coolant.ShareByGravity, 1.0
	if in.has("index") {
		key, read = "index", coolant.ShareByIndex
	}
	if g == coolant.Propylene {
		spread = 2
	}
	mass, err := read(g, in.num(key), in.num("at"))
	if err != nil {
		return r, in.fail(key, err)
	}
	f, err := coolant.FreezeByMass(g, mass)
	if err != nil {
		return r, in.fail(key, err)
	}
	// The instrument's own uncertainty, a percent of glycol or two, is carried over to the freezing point.
	if weaker, err := coolant.FreezeByMass(g, max(0, mass-spread)); err == nil {
		f.PlusMinus += weaker.DegC - f.DegC
	}
	freezeFields(&r, f)
	r.Source = ""
	r.add("mass_percent", round(mass, 1))
	if volume, err := coolant.VolumeOf(g, mass); err == nil {
		r.add("volume_percent", round(volume, 1))
	}
	return r, nil
}

func fluidExchange(in *input) (Result, error) {
	var r Result
	v, d := in.num("capacity"), in.num("drain")
	times, old := int(in.num("times")), 0.0
	var err error
	if in.has("times") {
		if in.num("times") != float64(times) {
			return r, in.fail("times", errors.New("half an exchange is none; expected a whole number"))
		}
		old, err = exchange.Left(v, d, times)
	} else {
		times, old, err = exchange.Times(v, d, in.num("wanted")/100)
	}
	if err != nil {
		return r, err
	}
	r.add("old_share", round(old, 4))
	r.add("times", times)
	r.add("litres", round(exchange.Litres(d, times), 2))
	return r, nil
}
