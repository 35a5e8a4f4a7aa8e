package sums

import (
	"errors"
	"math"

	"witnessmark/core/tyre"
	"witnessmark/core/unit"
)

var (
	inLength   = []unit.Unit{unit.MM, unit.Inch, unit.CM, unit.In32}
	inPressure = []unit.Unit{unit.Bar, unit.PSI, unit.KPa}
	inHeight   = []unit.Unit{unit.Metre}
	marketKey  = Key{Name: "market", Title: "Rules", Kind: Choice, Choices: []string{"eu", "us"}, Default: "eu"}
)

const tyreCaution = "What the car's papers and the maker ask for, and the country's law, go before this answer."

var tyreSums = []Sum{
	{
		Name: "tyre-age", Title: "Tyre: age from the date code", Source: "49 CFR 574.5(b)(3); three digits by its edition before 1999", Caution: tyreCaution,
		Keys: []Key{
			{Name: "code", Title: "Date code", Kind: Code, Example: "1217"},
			{Name: "on", Title: "On the day", Kind: Date, Example: "2026-03-21"},
		},
		Outputs: []Output{{"made", "Made in the week"}, {"years", "Age in years"}, {"months", "Age in whole months"}},
		Example: "code=1217 on=2026-03-21", run: tyreAge,
	},
	{
		Name: "tyre-pressure", Title: "Tyre: pressure at another temperature", Source: "ideal gas law on absolute pressures at constant volume; standard atmosphere (ISO 2533, from memory)",
		Caution: "Set pressures cold, by the placard. Never bleed a hot tyre down to the cold figure.",
		Keys: []Key{
			{Name: "set", Title: "Set to", Units: inPressure, Example: "2.3bar"},
			{Name: "at", Title: "At the temperature", Units: inDegrees, Example: "20C"},
			{Name: "now", Title: "Temperature now", Units: inDegrees, Example: "-10C"},
			{Name: "at_altitude", Title: "Set at the altitude", Units: inHeight, Default: "0m", Example: "300m"},
			{Name: "now_altitude", Title: "Altitude now", Units: inHeight, Default: "0m", Example: "1800m"},
		},
		Outputs: []Output{{"bar", "Pressure now"}, {"kPa", "Pressure now"}, {"psi", "Pressure now"}},
		Example: "set=2.3bar at=20C now=-10C", run: tyrePressure,
	},
	{
		Name: "tyre-load", Title: "Tyre: load index and speed symbol against the car's need", Source: "UN R30 Annex 4 and para 2.29 / ISO 4000-1; load above 210 (V) and 240 km/h (W) by the ETRTO rule", Caution: tyreCaution,
		Keys: []Key{
			{Name: "service", Title: "Service description", Kind: Code, Example: "91V"},
			{Name: "axle", Title: "Largest permitted load of the axle", Kind: Mass, Example: "1050kg"},
			{Name: "top", Title: "Top speed of the car", Kind: Speed, Example: "205km/h"},
			{Name: "season", Title: "Season", Kind: Choice, Choices: []string{"summer", "winter", "all-season"}, Default: "summer"},
		},
		Outputs: []Output{{"load_kg", "One tyre carries"}, {"need_kg", "One tyre must carry"}, {"speed_kmh", "Up to"}, {"load_ok", "Load does"}, {"speed_ok", "Speed does"}, {"least_index", "Least load index for the axle"}},
		Example: "service=91V axle=1050kg top=205km/h", run: tyreLoad,
	},
	{
		Name: "tyre-size", Title: "Tyre: another size and the speedometer", Source: "geometry of the size designation (ISO 4000-1); rolling circumference 3.05 x diameter (ETRTO, from memory); UN R39 from memory", Caution: tyreCaution,
		Keys: []Key{
			{Name: "own", Title: "Size that belongs to the car", Kind: Code, Example: "205/55 R16"},
			{Name: "other", Title: "Other size", Kind: Code, Example: "225/45 R17"},
			{Name: "shown", Title: "Speed shown", Kind: Speed, Default: "100km/h", Example: "100km/h"},
		},
		Outputs: []Output{{"own_mm", "Diameter of the own"}, {"other_mm", "Diameter of the other"}, {"own_rolling_mm", "Rolling circumference of the own"}, {"other_rolling_mm", "Rolling circumference of the other"}, {"difference_percent", "Difference"}, {"true_kmh", "True speed"}},
		Example: `own="205/55 R16" other="225/45 R17" shown=100km/h`, run: tyreSize,
	},
	{
		Name: "tread", Title: "Tyre: tread depth", Source: "Directive 89/459/EEC Art. 1 (1.6 mm) and 49 CFR 570.9(a) (2/32 in), both from memory; the season's marks are common practice", Caution: tyreCaution,
		Keys: []Key{
			{Name: "depth", Title: "Depth of the shallowest main groove", Units: inLength, Example: "5/32in"},
			{Name: "season", Title: "Season", Kind: Choice, Choices: []string{"summer", "winter", "all-season"}},
			{Name: "new", Title: "Depth when new", Units: inLength, Optional: true, Example: "8mm"},
			marketKey,
		},
		Outputs: []Output{{"mm", "In mm"}, {"in_32nds", "In 32nds of an inch"}, {"verdict", "Verdict"}, {"left_share", "Usable tread left, share of one"}},
		Example: "depth=5/32in season=summer", run: tread,
	},
}

func tyreAge(in *input) (Result, error) {
	var r Result
	made, err := tyre.ParseDate(in.text("code"))
	if err != nil {
		return r, in.fail("code", err)
	}
	years, err := tyre.Age(made, in.day)
	if err != nil {
		return r, in.fail("code", err)
	}
	r.add("made", made.String())
	r.add("years", round(years, 2))
	r.add("months", int(math.Floor(years*12)))
	if !made.Stated {
		r.note("Three digits leave the decade open; this is the least age. Every tyre with three digits was made before 2000.")
	}
	return r, nil
}

func tyrePressure(in *input) (Result, error) {
	var r Result
	bar, err := tyre.PressureAt(in.num("set"), tyre.Air{DegC: in.num("at"), Metres: in.num("at_altitude")}, tyre.Air{DegC: in.num("now"), Metres: in.num("now_altitude")})
	if err != nil {
		return r, err
	}
	psi, err := unit.Convert(bar, unit.Bar, unit.PSI)
	if err != nil {
		return r, err
	}
	r.add("bar", round(bar, 3))
	r.add("kPa", round(100*bar, 1))
	r.add("psi", round(psi, 1))
	return r, nil
}

func tyreLoad(in *input) (Result, error) {
	var r Result
	s, err := tyre.ParseService(in.text("service"))
	if err != nil {
		return r, in.fail("service", err)
	}
	f, err := tyre.Fits(s, in.num("axle"), in.num("top"), in.text("season") == "winter")
	if err != nil {
		return r, err
	}
	r.add("load_kg", round(f.LoadKg, 1))
	r.add("need_kg", round(f.NeedKg, 1))
	r.add("speed_kmh", f.Kmh)
	r.add("load_ok", f.LoadOK)
	r.add("speed_ok", f.SpeedOK)
	if index, err := tyre.IndexFor(f.NeedKg); err == nil {
		r.add("least_index", index)
	}
	if f.SpeedOK && f.Kmh < f.TopSpeed {
		r.note("A winter tyre may be slower than the car when the driver is warned of %.0f km/h, as by a label in sight.", f.Kmh)
	}
	return r, nil
}

func tyreSize(in *input) (Result, error) {
	var r Result
	var sizes [2]tyre.Size
	for i, key := range []string{"own", "other"} {
		s, err := tyre.ParseSize(in.text(key))
		if err != nil {
			return r, in.fail(key, err)
		}
		sizes[i] = s
	}
	v, err := tyre.TrueSpeed(sizes[0], sizes[1], in.num("shown"))
	if err != nil {
		return r, in.fail("shown", err)
	}
	r.add("own_mm", round(sizes[0].DiameterMM(), 1))
	r.add("other_mm", round(sizes[1].DiameterMM(), 1))
	r.add("own_rolling_mm", round(sizes[0].RollingMM(), 0))
	r.add("other_rolling_mm", round(sizes[1].RollingMM(), 0))
	r.add("difference_percent", round(100*(sizes[1].DiameterMM()/sizes[0].DiameterMM()-1), 2))
	r.add("true_kmh", round(v, 1))
	if v > in.num("shown") {
		r.note("With the larger tyre the speedometer shows less than before. It may never show less than the truth, and only a test drive tells how much it was ahead.")
	}
	return r, nil
}

func tread(in *input) (Result, error) {
	var r Result
	mm, us := in.num("depth"), in.text("market") == "us"
	v, err := tyre.JudgeTread(mm, in.text("season") == "winter", us)
	if err != nil {
		return r, in.fail("depth", err)
	}
	r.add("mm", round(mm, 3))
	r.add("in_32nds", round(tyre.In32(mm), 2))
	r.add("verdict", string(v))
	if in.has("new") {
		limit := tyre.LegalMM
		if us {
			limit = tyre.LegalUSMM
		}
		if mm > in.num("new") {
			return r, in.fail("depth", errors.New("this is deeper than when new"))
		}
		left, err := tyre.ShareLeft(mm, in.num("new"), limit)
		if err != nil {
			return r, in.fail("new", err)
		}
		r.add("left_share", round(left, 3))
	}
	return r, nil
}
