package simulate

import (
	"math"
	"strings"
	"time"

	"witnessmark/core/facet"
	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/shop"
)

// place is one position of one point.
type place struct{ point, at string }

// car is one car with its hidden state.
type car struct {
	w       *workshop
	n       int
	model   *model
	class   string // petrol or diesel
	version shop.CarVersion
	facets  facet.Set
	born    time.Time
	use     use
	today   float64 // days after birth
	// changes says that something of the car is said anew halfway.
	changes bool
	steps   map[point.Depth][]round.Step

	// ids, laws and the day's looks draw from streams of their own.
	ids, laws, looks dice

	lives   map[place]*condition
	wear    []*part
	battery battery
	frailty float64
	levels  levels
	tyres   tyres
	done    CarTruth
	last    float64 // day of the newest round
	photos  int
}

// newCar draws who the car is and how it is driven.
func newCar(w *workshop, n int) *car {
	d := newDice(w.o.Seed, n, "who")
	c := &car{w: w, n: n, model: chooseModel(d, n), ids: newDice(w.o.Seed, n, "ids"), laws: newDice(w.o.Seed, n, "laws")}
	c.looks = newDice(w.o.Seed, n, "looks")
	c.class = "petrol"
	if strings.Contains(c.model.body, "diesel") {
		c.class = "diesel"
	}
	age := c.model.youngest + d.IntN(c.model.oldest-c.model.youngest+1)
	c.born = time.Date(w.o.Today.Year()-age, time.Month(1+d.IntN(12)), 1, 0, 0, 0, 0, time.UTC)
	if most := w.o.Today.AddDate(-w.o.Years-1, 0, 0); c.born.After(most) {
		c.born = time.Date(most.Year(), most.Month(), 1, 0, 0, 0, 0, time.UTC)
	}
	c.use = newUse(newDice(w.o.Seed, n, "use"), c.born, w.o.Today, c.class == "diesel")
	c.today = c.use.days(w.o.Today)
	c.identify(d)
	c.frailty = c.laws.logNormal(0, FrailtySD)
	c.done = CarTruth{CarID: c.version.CarID, Plate: c.version.Plate, Class: c.class, PerYearKm: c.use.perYr,
		LaidUp: c.use.laidUp, NowKm: math.Floor(c.use.at(c.today))}
	return c
}

// walk gives the steps of a round of this depth.
func (c *car) walk(depth point.Depth, hot bool) []round.Step {
	if hot {
		steps, _ := round.Walk(c.w.cat, depth, round.Known{Facets: c.facets, EngineHot: true})
		return steps
	}
	if c.steps == nil {
		c.steps = map[point.Depth][]round.Step{}
	}
	if s, ok := c.steps[depth]; ok {
		return s
	}
	steps, _ := round.Walk(c.w.cat, depth, round.Known{Facets: c.facets})
	c.steps[depth] = steps
	return steps
}

// begin gives every part a past, as it is found when the car first comes in.
func (c *car) begin(day float64) {
	c.lives = map[place]*condition{}
	for _, depth := range point.Depths {
		for _, s := range c.walk(depth, false) {
			for _, at := range s.Slots {
				c.beginLife(s.Point, at, day)
			}
		}
	}
	for i := range wearClasses {
		c.beginWear(&wearClasses[i], day)
	}
	c.beginBattery(day)
	c.beginTyres(day)
	c.beginLevels(day)
}

// close ends the truth's running cycles at the last day.
func (c *car) close() CarTruth {
	for _, p := range c.wear {
		c.truthOfPart(p, 0)
	}
	for _, step := range c.walk(point.Full, false) {
		for _, at := range step.Slots {
			if l := c.lives[place{step.Point.ID, at}]; l != nil {
				c.truthOfLife(l, -1)
			}
		}
	}
	return c.done
}

// km is the odometer as it is read on a day.
func (c *car) km(day float64) float64 { return math.Floor(c.use.at(day)) }

// on writes a day after birth as a date.
func (c *car) on(day float64) string { return c.use.date(day).Format(time.DateOnly) }

// ms is a time of that day in milliseconds since 1970.
func (c *car) ms(day float64, hours float64) int64 {
	return c.use.date(day).UnixMilli() + int64(hours*3600e3)
}
