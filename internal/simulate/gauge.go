package simulate

// gauge says how the value of a measured point follows the share of a life that is used: from good to bad, where a job
// falls due, around the car's own level, with the noise of a look.
type gauge struct {
	good, bad  float64
	carSD      float64
	noise      float64
	companions map[string]float64
	// follows names another point whose life counts.
	follows string
}

// gauges are the measured points without a wear law. The life is the point's own unless it follows another.
var gauges = map[string]gauge{
	"brake-pedal-reserve":        {good: 0.66, bad: 0.34, carSD: 0.04, noise: 0.02},
	"key-off-current":            {good: 0.019, bad: 0.06, carSD: 0.005, noise: 0.002},
	"brake-fluid-boiling-point":  {good: 252, bad: 178, carSD: 5, noise: 3, follows: "brake-fluid-look"},
	"brake-fluid-water":          {good: 0.2, bad: 3.2, carSD: 0.15, noise: 0.25, follows: "brake-fluid-look"},
	"coolant-freeze-point":       {good: -40, bad: -35.5, carSD: 1.2, noise: 0.8, follows: "coolant-look"},
	"washer-freeze-point":        {good: -25, bad: -18, carSD: 2, noise: 3},
	"charging-voltage":           {good: 14.25, bad: 13.3, carSD: 0.12, noise: 0.05},
	"aircon-cooling":             {good: 5, bad: 10.8, carSD: 0.8, noise: 0.7},
	"co-idle":                    {good: 0.05, bad: 0.4, carSD: 0.02, noise: 0.02},
	"co-high-idle":               {good: 0.03, bad: 0.26, carSD: 0.015, noise: 0.015},
	"lambda":                     {good: 1.0, bad: 1.035, carSD: 0.004, noise: 0.004},
	"opacity":                    {good: 0.2, bad: 1.2, carSD: 0.08, noise: 0.06},
	"steering-free-play":         {good: 8, bad: 32, carSD: 2.5, noise: 1.2, companions: map[string]float64{"wheel_mm": 375}},
	"damper-rocking":             {good: 0.6, bad: 1.6, carSD: 0.1, noise: 0.12, follows: "damper"},
	"ride-height":                {good: 372, bad: 352, carSD: 14, noise: 2},
	"lamps-aim":                  {good: 1.22, bad: 1.75, carSD: 0.06, noise: 0.06, companions: map[string]float64{"height_mm": 650}},
	"steering-linkage-play":      {good: 0.6, bad: 2.6, carSD: 0.2, noise: 0.2, follows: "track-rod-end"},
	"wheel-toe":                  {good: 11, bad: 27, carSD: 3, noise: 1},
	"wheel-runout":               {good: 0.5, bad: 1.7, carSD: 0.12, noise: 0.1},
	"disc-runout":                {good: 0.022, bad: 0.07, carSD: 0.006, noise: 0.005, follows: "disc-surface"},
	"disc-thickness-variation":   {good: 0.006, bad: 0.021, carSD: 0.002, noise: 0.002, follows: "disc-surface"},
	"brake-efficiency":           {good: 70, bad: 56, carSD: 2.5, noise: 1.5},
	"secondary-brake-efficiency": {good: 38, bad: 28, carSD: 1.5, noise: 1},
	"parking-brake-efficiency":   {good: 26, bad: 18.5, carSD: 1.2, noise: 0.8, follows: "parking-brake"},
	"damping-efficiency":         {good: 78, bad: 42, carSD: 3, noise: 2, follows: "damper"},
	"brake-balance":              {good: 94, bad: 76, carSD: 1.5, noise: 1.5, follows: "caliper-slide"},
	"secondary-brake-balance":    {good: 93, bad: 75, carSD: 1.5, noise: 1.5, follows: "caliper-slide"},
}

// scheduled points carry the age of something that is renewed by the book, in years.
var scheduled = map[string]float64{"timing-belt-age": 7.6, "spark-plug-age": 4.6, "fuel-filter-age": 5}

// seldom are points that a full round takes only now and then, with the share of rounds and the reason otherwise.
var seldom = map[string]struct {
	share float64
	why   string
}{
	"disc-thickness-variation":   {0.05, "no judder: not measured"},
	"disc-runout":                {0.3, "no judder: not measured"},
	"key-off-current":            {0.06, "battery keeps its charge: not measured"},
	"wheel-toe":                  {0.15, "tyres wear evenly: not measured"},
	"wheel-runout":               {0.2, "no vibration: not measured"},
	"ride-height":                {0.25, "car stands level: not measured"},
	"damping-efficiency":         {0.35, "tester not at hand"},
	"brake-fluid-boiling-point":  {0.3, "water share was measured instead"},
	"co-idle":                    {0.4, "gas tester away for calibration"},
	"co-high-idle":               {0.4, "gas tester away for calibration"},
	"lambda":                     {0.4, "gas tester away for calibration"},
	"opacity":                    {0.4, "smoke tester away for calibration"},
	"brake-efficiency":           {0.45, "no roller tester: stopped on the road instead"},
	"secondary-brake-efficiency": {0.4, "no roller tester"},
	"parking-brake-efficiency":   {0.45, "no roller tester"},
	"brake-balance":              {0.45, "no roller tester"},
	"secondary-brake-balance":    {0.4, "no roller tester"},
	"stored-wheels":              {0.3, "no wheels stored here"},
	"radio-interference":         {0.4, "radio left off"},
	"wheel-bolt-recheck":         {0.6, "no wheel was off lately"},
}
