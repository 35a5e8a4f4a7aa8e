package sums

import (
	"fmt"
	"math"

	"witnessmark/core/geometry"
	"witnessmark/core/unit"
)

var inAngle = []unit.Unit{unit.Degrees, unit.Minutes}

const angleCaution = "The car's own values and tolerances go before this answer. A car on a lift can fall and a rolling car can crush."

var angleSums = []Sum{
	{
		Name: "toe", Title: "Toe: mm at a diameter to degrees and minutes", Source: "geometry: asin(mm / diameter); side slip 1000 * mm / diameter (49 CFR 570.7(d)(1) in feet per mile)", Caution: angleCaution,
		Keys: []Key{
			{Name: "mm", Title: "Toe, toe-in above 0", Units: []unit.Unit{unit.MM, unit.Inch}, Bare: true, Example: "2mm"},
			{Name: "diameter", Title: "Diameter at which it was measured", Units: []unit.Unit{unit.MM, unit.Inch, unit.CM}, Example: "400mm"},
		},
		Outputs: []Output{{"degrees", "Angle in degrees"}, {"minutes", "The same angle in minutes"}, {"text", "In degrees and minutes"}, {"per_wheel_minutes", "For each wheel when mm was both together"}, {"slip_m_per_km", "Side slip"}, {"slip_ft_per_mile", "Side slip"}},
		Example: "mm=2mm diameter=400mm", run: toe,
	},
	{
		Name: "toe-mm", Title: "Toe: degrees or minutes to mm at a diameter", Source: "geometry: diameter * sin(angle)", Caution: angleCaution,
		Keys: []Key{
			{Name: "angle", Title: "Toe, toe-in above 0", Units: inAngle, Example: "17'"},
			{Name: "diameter", Title: "Diameter at which it is measured", Units: []unit.Unit{unit.MM, unit.Inch, unit.CM}, Example: "400mm"},
		},
		Outputs: []Output{{"mm", "Toe"}, {"in", "Toe"}},
		Example: "angle=17' diameter=400mm", run: toeMM,
	},
	{
		Name: "steering-play", Title: "Free play at the steering wheel", Source: "49 CFR 570.7(a) Table 1; Directive 2014/45/EU Annex I, 2.3 (a fifth of the diameter), from memory",
		Caution: "Slack steering is looked into before the next drive. Whoever opens a steering has learned it; the country's test goes before this answer.",
		Keys: []Key{
			{Name: "wheel", Title: "Diameter of the steering wheel", Units: []unit.Unit{unit.MM, unit.Inch, unit.CM}, Example: "406mm"},
			{Name: "play", Title: "Free way at the rim", Units: []unit.Unit{unit.MM, unit.Inch, unit.CM}, Example: "35mm"},
			{Name: "market", Title: "Rules", Kind: Choice, Choices: []string{"us", "eu"}, Default: "us"},
		},
		Outputs: []Output{{"limit_mm", "Most free way"}, {"verdict", "Verdict"}, {"degrees", "Free way as an angle"}},
		Example: "wheel=406mm play=35mm", run: steeringPlay,
	},
	{
		Name: "wheel-angles", Title: "Four wheels: total toe, thrust angle, side difference of camber", Source: "geometry; bounds are common practice", Caution: angleCaution, AnyOf: []string{"toe", "camber"},
		Keys: []Key{
			{Name: "toe", Title: "Toe of FL, FR, RL, RR, toe-in above 0", Kind: List, Units: inAngle, Optional: true, Example: "6'; 6'; 18'; -6'"},
			{Name: "camber", Title: "Camber of FL, FR, RL, RR, top outwards above 0", Kind: List, Units: inAngle, Optional: true, Example: "-0.5deg; -1.1deg; -1.5deg; -1.4deg"},
		},
		Outputs: []Output{{"front_toe_minutes", "Total toe, front"}, {"rear_toe_minutes", "Total toe, rear"}, {"thrust_minutes", "Thrust angle, to the right above 0"}, {"front_left_minutes", "Front left against the thrust line"}, {"front_right_minutes", "Front right against the thrust line"}, {"thrust_ok", "Thrust angle within practice"},
			{"front_cross_camber_degrees", "Camber, left less right, front"}, {"rear_cross_camber_degrees", "Camber, left less right, rear"}, {"camber_ok", "Side difference within practice"}},
		Example: "toe=6';6';18';-6'", run: wheelAngles,
	},
}

func toe(in *input) (Result, error) {
	var r Result
	mm, d := in.num("mm"), in.num("diameter")
	degrees, err := geometry.ToeDegrees(mm, d)
	if err != nil {
		return r, err
	}
	slip, err := geometry.SideSlip(mm, d)
	if err != nil {
		return r, err
	}
	r.add("degrees", round(degrees, 4))
	r.add("minutes", round(60*degrees, 2))
	r.add("text", inMinutes(degrees))
	r.add("per_wheel_minutes", round(30*degrees, 2))
	r.add("slip_m_per_km", round(slip, 2))
	r.add("slip_ft_per_mile", round(geometry.FeetPerMile(slip), 1))
	return r, nil
}

// inMinutes writes an angle as 0° 17.2', rounded before it is taken apart so that 60 minutes never appear.
func inMinutes(degrees float64) string {
	tenths := math.Round(math.Abs(degrees) * 600)
	sign := ""
	if degrees < 0 && tenths > 0 {
		sign = "-"
	}
	return fmt.Sprintf("%s%d° %.1f'", sign, int(tenths)/600, math.Mod(tenths, 600)/10)
}

func toeMM(in *input) (Result, error) {
	var r Result
	mm, err := geometry.ToeMM(in.num("angle"), in.num("diameter"))
	if err != nil {
		return r, err
	}
	r.add("mm", round(mm, 2))
	r.add("in", round(mm/25.4, 3))
	return r, nil
}

func steeringPlay(in *input) (Result, error) {
	var r Result
	find := geometry.LashLimit
	if in.text("market") == "eu" {
		find = geometry.LashLimitEU
	}
	limit, err := find(in.num("wheel"))
	if err != nil {
		return r, in.fail("wheel", err)
	}
	angle, err := geometry.LashDegrees(in.num("wheel"), in.num("play"))
	if err != nil {
		return r, in.fail("play", err)
	}
	r.add("limit_mm", round(limit, 2))
	r.add("verdict", string(geometry.JudgeLash(in.num("play"), limit)))
	r.add("degrees", round(angle, 1))
	return r, nil
}

func wheelAngles(in *input) (Result, error) {
	var r Result
	four := func(key string) (geometry.Wheels, error) {
		v := in.list(key)
		if len(v) != 4 {
			return geometry.Wheels{}, in.fail(key, fmt.Errorf("these are %d readings; expected four: FL, FR, RL, RR", len(v)))
		}
		return geometry.Wheels{FL: v[0], FR: v[1], RL: v[2], RR: v[3]}, nil
	}
	if in.has("toe") {
		w, err := four("toe")
		if err != nil {
			return r, err
		}
		t, err := geometry.ToeOf(w)
		if err != nil {
			return r, in.fail("toe", err)
		}
		r.add("front_toe_minutes", round(60*t.Front, 1))
		r.add("rear_toe_minutes", round(60*t.Rear, 1))
		r.add("thrust_minutes", round(60*t.Thrust, 1))
		r.add("front_left_minutes", round(60*t.FrontLeft, 1))
		r.add("front_right_minutes", round(60*t.FrontRight, 1))
		r.add("thrust_ok", math.Abs(t.Thrust) <= geometry.MostThrust+1e-9)
	}
	if in.has("camber") {
		w, err := four("camber")
		if err != nil {
			return r, err
		}
		front, rear, err := geometry.CrossCamber(w)
		if err != nil {
			return r, in.fail("camber", err)
		}
		r.add("front_cross_camber_degrees", round(front, 3))
		r.add("rear_cross_camber_degrees", round(rear, 3))
		r.add("camber_ok", math.Max(math.Abs(front), math.Abs(rear)) <= geometry.MostCrossCamber+1e-9)
	}
	return r, nil
}
