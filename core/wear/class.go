package wear

import (
	"fmt"
	"math"
)

// Class is what is usual for parts of one kind, in plain numbers, so that it can be stored and a forecast recomputed from it. Y is the unit of
// the quantity, X that of the distance (or days).
type Class struct {
	New     float64 `json:"new"`      // mean level of a new part, Y
	NewSD   float64 `json:"new_sd"`   // its spread from part to part, Y
	LogRate float64 `json:"log_rate"` // mean of ln(Y per X)
	UnitSD  float64 `json:"unit_sd"`  // spread of ln rate from unit to unit
	SideSD  float64 `json:"side_sd"`  // and from side to side within a unit
	LifeSD  float64 `json:"life_sd"`  // and from life to life
	Gauge   float64 `json:"gauge"`    // spread of a reading before it is rounded, Y
	Path    float64 `json:"path"`     // spread of the wear over Curve.Ref as a share of its mean
	Curve   Curve   `json:"curve"`
	Step    float64 `json:"step"` // rounding of the gauge, Y; 0 = not rounded
	// Doubt is how far the class's own figures may be off: standard deviations of New, LogRate and Curve.Bend.
	Doubt Doubt `json:"doubt"`
	// Members are sets of figures between which a small history cannot decide; forecasts weigh them by how well they explain the unit in hand.
	Members []Member `json:"members,omitempty"`
	// Units, Lives and Readings count what the class was learnt from.
	Units    int `json:"units"`
	Lives    int `json:"lives"`
	Readings int `json:"readings"`
}

// Doubt is the uncertainty of a class's own figures, as standard deviations.
type Doubt struct {
	New     float64 `json:"new"`
	LogRate float64 `json:"log_rate"`
	Bend    float64 `json:"bend"`
}

// Bounds of what a class may be. They only keep absurd figures from overflowing.
const (
	maxLogRate = 60
	maxSpread  = 8
	maxBend    = 20
	minShare   = 1e-9
)

// check says what makes a class unusable.
func (c Class) check() error {
	for _, v := range []struct {
		name    string
		v, a, b float64
	}{
		{"mean new level", c.New, -huge, huge}, {"spread of the new level", c.NewSD, 0, huge}, {"ln rate", c.LogRate, -maxLogRate, maxLogRate},
		{"spread between units", c.UnitSD, 0, maxSpread}, {"spread between sides", c.SideSD, 0, maxSpread}, {"spread between lives", c.LifeSD, 0, maxSpread},
		{"spread of a reading", c.Gauge, 0, huge}, {"spread of the path", c.Path, 0, maxSpread}, {"bend", c.Curve.Bend, -maxBend, maxBend},
		{"rounding", c.Step, 0, huge}, {"doubt of the new level", c.Doubt.New, 0, huge}, {"doubt of ln rate", c.Doubt.LogRate, 0, maxSpread},
		{"doubt of the bend", c.Doubt.Bend, 0, maxBend}, {"reference distance", c.Curve.Ref, 1e-9, huge},
	} {
		if !(v.v >= v.a && v.v <= v.b) {
			return fmt.Errorf("class of wear: %s %v is not between %v and %v", v.name, v.v, v.a, v.b)
		}
	}
	return nil
}

// sound says whether the members can be used too.
func (c Class) sound() bool {
	for _, v := range c.variants() {
		if v.class.check() != nil || !(v.w >= 0 && v.w <= 1+1e-9) {
			return false
		}
	}
	return true
}

// solid gives spreads that are zero a floor far below anything measurable, so that no division by zero is possible.
func (c Class) solid() Class {
	floor := minShare * max(math.Abs(c.New), c.NewSD, c.Gauge, c.Step, 1e-6)
	c.NewSD = max(c.NewSD, floor)
	c.Gauge = max(c.Gauge, floor, 0.02*c.Step)
	c.LifeSD = max(c.LifeSD, 1e-6)
	return c
}

// Guess is what is known beforehand of one figure: the most likely value and how far it may be off (a standard deviation; for a spread that
// of its natural logarithm). SD 0 fixes the figure.
type Guess struct{ Mid, SD float64 }

// Prior is what is known of a class before its history: from the catalogue, or next to nothing.
type Prior struct {
	New, NewSD, LogRate, UnitSD, SideSD, LifeSD, Gauge, Path, Bend Guess
	// Ref is a typical distance at the end of a life; Step the rounding of the gauge.
	Ref, Step float64
}

// Usual makes a prior of a catalogue's figures: mean and spread of the new part, typical wear per X and its spread between cars as a share
// (0.3 = 30 %), spread and rounding of the gauge, the wear until the part is renewed. Weight says how many units of history it counts like: a
// figure's SD is the spread of that figure between units divided by the root of the weight.
func Usual(newMean, newSD, rate, rateSD, gauge, step, span, weight float64) Prior {
	w := math.Sqrt(max(weight, 0.1))
	spread := func(v float64) Guess { return Guess{v, min(1, 1/(math.Sqrt2*w)+0.05)} }
	return Prior{
		New: Guess{newMean, max(newSD, gauge) / w}, NewSD: spread(newSD), LogRate: Guess{math.Log(rate), rateSD / w}, UnitSD: spread(rateSD),
		SideSD: Guess{0.06, 0.5}, LifeSD: Guess{0.08, 0.5}, Gauge: spread(gauge), Path: Guess{0.02, 0.8}, Bend: Guess{0, 0.05},
		Ref: span / rate, Step: step,
	}
}

// Class is the class before any history: the prior's middle, with all of the prior's doubt.
func (p Prior) Class() Class {
	return Class{New: p.New.Mid, NewSD: p.NewSD.Mid, LogRate: p.LogRate.Mid, UnitSD: p.UnitSD.Mid, SideSD: p.SideSD.Mid, LifeSD: p.LifeSD.Mid,
		Gauge: p.Gauge.Mid, Path: p.Path.Mid, Curve: Curve{p.Bend.Mid, p.Ref}, Step: p.Step, Doubt: Doubt{p.New.SD, p.LogRate.SD, p.Bend.SD}}
}

// check says what makes a prior unusable.
func (p Prior) check() error {
	for _, g := range p.guesses() {
		if !finite(g.Mid, g.SD) || g.SD < 0 {
			return fmt.Errorf("prior of wear: %v with spread %v is not usable", g.Mid, g.SD)
		}
	}
	return p.Class().check()
}

func (p Prior) guesses() [9]Guess {
	return [9]Guess{p.New, p.NewSD, p.LogRate, p.UnitSD, p.SideSD, p.LifeSD, p.Gauge, p.Path, p.Bend}
}
