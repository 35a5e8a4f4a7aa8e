package simulate

import "math"

// wearClasses are the laws of parts that wear. The figures are plausible, invented, and what forecasts are scored against.
var wearClasses = []WearClass{
	{Point: "pad-thickness", Axle: "F", New: 11.5, NewSD: 0.15, LogRate: math.Log(0.19), CarSD: 0.32, SideSD: 0.05, PlaceSD: 0.07, Noise: 0.15, Step: 0.5, Limit: 3},
	{Point: "pad-thickness", Axle: "R", New: 10.5, NewSD: 0.15, LogRate: math.Log(0.125), CarSD: 0.30, SideSD: 0.05, PlaceSD: 0.08, Noise: 0.15, Step: 0.5, Limit: 3},
	{Point: "disc-thickness", Axle: "F", NewSD: 0.03, LogRate: math.Log(0.021), CarSD: 0.28, SideSD: 0.05, Noise: 0.04, Step: 0.1},
	{Point: "disc-thickness", Axle: "R", NewSD: 0.03, LogRate: math.Log(0.014), CarSD: 0.28, SideSD: 0.05, Noise: 0.04, Step: 0.1},
	{Point: "shoe-lining", Axle: "R", New: 5, NewSD: 0.1, LogRate: math.Log(0.03), CarSD: 0.3, SideSD: 0.06, Noise: 0.15, Step: 0.5, Limit: 1.6},
	{Point: "drum-diameter", Axle: "R", NewSD: 0.03, LogRate: math.Log(0.009), CarSD: 0.3, SideSD: 0.06, Noise: 0.05, Step: 0.1, Grows: true},
	{Point: "tyre-tread", Axle: "F", New: 7.9, NewSD: 0.1, LogRate: math.Log(0.135), CarSD: 0.26, SideSD: 0.03, PlaceSD: 0.05, Noise: 0.12, Step: 0.1, Limit: 1.6},
	{Point: "tyre-tread", Axle: "R", New: 7.9, NewSD: 0.1, LogRate: math.Log(0.105), CarSD: 0.26, SideSD: 0.03, PlaceSD: 0.05, Noise: 0.12, Step: 0.1, Limit: 1.6},
}

// battery is the law of the starter battery: share of the rated current New - Rate*months, in percent, ln Rate normal.
var batteryClass = struct{ New, NewSD, LogRate, CarSD, Noise, Limit float64 }{
	New: 104, NewSD: 3, LogRate: math.Log(0.42), CarSD: 0.3, Noise: 2, Limit: 60,
}

// life is a short way to write a law for every class of car.
func life(point, unit string, shape, scale float64) LifeClass {
	return LifeClass{Point: point, Unit: unit, Shape: shape, Scale: scale, CarSD: 0.15, Slip: 0.02}
}

// lifeClasses are the laws of looked-at conditions. Points without one fall under their group's general law.
var lifeClasses = []LifeClass{
	{Point: "engine-oil-look", Class: "petrol", Unit: "km", Shape: 4, Scale: 16500, CarSD: 0.2, Slip: 0.05},
	{Point: "engine-oil-look", Class: "diesel", Unit: "km", Shape: 4, Scale: 14000, CarSD: 0.2, Slip: 0.05},
	{Point: "brake-fluid-look", Unit: "months", Shape: 3.5, Scale: 38, CarSD: 0.15, Slip: 0.05},
	{Point: "coolant-look", Unit: "months", Shape: 4, Scale: 84, CarSD: 0.15, Slip: 0.04},
	{Point: "steering-fluid-look", Unit: "months", Shape: 3, Scale: 96, CarSD: 0.2, Slip: 0.04},
	{Point: "cabin-filter", Unit: "months", Shape: 3, Scale: 16, CarSD: 0.2, Slip: 0.05},
	{Point: "air-filter", Unit: "km", Shape: 3, Scale: 27000, CarSD: 0.2, Slip: 0.05},
	{Point: "wipers", Unit: "months", Shape: 2.5, Scale: 18, CarSD: 0.2, Slip: 0.04},
	{Point: "drive-belt", Class: "petrol", Unit: "km", Shape: 4, Scale: 120000, CarSD: 0.15, Slip: 0.03},
	{Point: "drive-belt", Class: "diesel", Unit: "km", Shape: 4, Scale: 105000, CarSD: 0.15, Slip: 0.03},
	life("key-battery", "months", 3, 34),
	life("clutch-fluid", "months", 3, 70),
	life("gearbox-fluid-look", "km", 4, 170000),
	life("axle-oil-look", "km", 4, 190000),
	life("fan-rock", "km", 3.5, 165000),
	life("pump-bearing", "km", 3.5, 210000),
	life("hoses-cooling", "months", 4.5, 300),
	life("coolant-traces", "months", 3, 420),
	life("coolant-cap-and-tank", "months", 4, 330),
	life("upper-strut-mount", "km", 3.5, 330000),
	life("crankcase-vent-hose", "months", 4, 300),
	life("vacuum-hoses", "months", 4, 380),
	life("engine-mounts-above", "km", 3.5, 330000),
	life("control-arm-bush", "km", 3.5, 390000),
	life("anti-roll-bush", "km", 3.5, 360000),
	life("drop-link", "km", 3, 380000),
	life("ball-joint", "km", 3.5, 400000),
	life("track-rod-end", "km", 3.5, 360000),
	life("damper", "km", 3.5, 360000),
	life("spring", "months", 3.5, 440),
	life("boot-driveshaft", "months", 3.5, 460),
	life("boot-steering-rack", "months", 3.5, 420),
	life("ball-joint-boot", "months", 3.5, 480),
	life("track-rod-end-boot", "months", 3.5, 460),
	life("wheel-bearing", "km", 3.5, 560000),
	life("leak-valve-cover", "km", 2.8, 260000),
	life("leak-filter-housing", "km", 2.8, 330000),
	life("leak-front-seal", "km", 3, 380000),
	life("leak-sump", "km", 2.8, 330000),
	life("leak-gearbox", "km", 3, 420000),
	life("leak-axle", "km", 3, 400000),
	life("leak-steering", "km", 3, 360000),
	life("exhaust-line", "months", 3.5, 260),
	life("exhaust-mounts", "months", 3, 280),
	life("brake-pipes", "months", 4, 340),
	life("brake-hoses", "months", 4, 340),
	life("floor-and-sills", "months", 4, 380),
	life("jacking-points", "months", 4, 380),
	life("rust-outside", "months", 2.5, 420),
	life("caliper-slide", "months", 2.5, 420),
	life("disc-surface", "km", 2.5, 330000),
	life("battery-terminals", "months", 2, 150),
	life("washer-jets", "months", 2, 170),
	life("parking-brake", "months", 2.5, 200),
	life("flex-disc", "km", 3.5, 260000),
	life("centre-bearing", "km", 3.5, 280000),
}

// groupLaws are the general laws by group. Lamps fail at any age, so their shape is one.
var groupLaws = map[string]LifeClass{
	"lamps":        life("", "months", 1, 1900),
	"body":         life("", "months", 2.6, 1300),
	"visibility":   life("", "months", 2, 900),
	"suspension":   life("", "km", 3, 1500000),
	"brakes":       life("", "months", 2.6, 1500),
	"wheels-tyres": life("", "months", 1.5, 2600),
	"road":         life("", "km", 2, 1100000),
}

// general is the law of all other points.
var general = life("", "months", 2.6, 1400)

// families make a weak spot's life shorter.
var familyLives = map[string]map[string]float64{
	"tarn-16":  {"fan-rock": 0.7, "leak-filter-housing": 0.7, "crankcase-vent-hose": 0.75, "coolant-cap-and-tank": 0.65, "ignition-leads": 0.4},
	"orrin-22": {"timing-chain-noise": 0.25, "intake-ducts": 0.3, "engine-mounts-above": 0.7, "orrin-swirl-rod": 0.25},
}

// lawOf finds the law of a point for a class of car.
func lawOf(point, group, class string) LifeClass {
	for _, l := range lifeClasses {
		if l.Point == point && (l.Class == "" || l.Class == class) {
			return l
		}
	}
	l, ok := groupLaws[group]
	if !ok {
		l = general
	}
	l.Point = point
	return l
}

// stage is a state with the share of the life from which it is seen.
type stage struct {
	state string
	from  float64
}

// stages say how the states of some points follow each other where their verdicts do not tell.
var stages = map[string][]stage{
	"engine-oil-look":     {{"honey-clear", 0}, {"brown-translucent", 0.3}, {"dark-opaque", 1}},
	"brake-fluid-look":    {{"clear-pale", 0}, {"darkened", 1}, {"opaque", 1.45}},
	"coolant-look":        {{"bright-clear", 0}, {"faded", 0.75}, {"cloudy", 1}, {"rusty", 1.6}},
	"steering-fluid-look": {{"bright-clear", 0}, {"faded", 1}, {"dark", 1.4}},
	"cabin-filter":        {{"clean", 0}, {"dusty", 0.4}, {"loaded", 1}, {"wet-or-torn", 2.2}},
	"air-filter":          {{"clean", 0}, {"dusty", 0.45}, {"loaded", 1}},
	"wipers":              {{"clean-wipe", 0}, {"fine-streaks", 0.6}, {"streaks-or-chatters", 1}, {"torn-or-missing", 2}},
	"drive-belt":          {{"sound", 0}, {"fine-cracks", 0.75}, {"many-cracks", 1}, {"chunks-or-frayed", 1.3}},
	"fan-rock":            {{"no-play", 0}, {"fan-only-moves", 1}, {"pulley-moves-too", 1.2}},
	"gearbox-fluid-look":  {{"clear", 0}, {"dark", 1}},
	"axle-oil-look":       {{"clear", 0}, {"dark", 1}},
	"clutch-fluid":        {{"full-clear", 0}, {"dark", 1}},
	"leak-valve-cover":    leakStages,
	"leak-filter-housing": leakStages,
	"leak-front-seal":     leakStages,
	"leak-sump":           leakStages,
	"leak-gearbox":        leakStages,
	"leak-axle":           leakStages,
	"leak-steering":       leakStages,
}

// A leak turns when it drips.
var leakStages = []stage{{"dry", 0}, {"film", 0.62}, {"seep-class-1", 0.8}, {"drip-class-2", 1}, {"running-class-3", 1.8}}
