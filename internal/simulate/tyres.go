package simulate

import (
	"fmt"
	"math"
	"time"

	"witnessmark/core/point"
)

// tyres are the date codes by corner and spare, and when the pressures were last set.
type tyres struct {
	code map[string]string
	made map[string]time.Time
	set  float64 // day
	leak map[string]float64
}

// beginTyres dates the tyres that are on the car.
func (c *car) beginTyres(day float64) {
	c.tyres = tyres{code: map[string]string{}, made: map[string]time.Time{}, leak: map[string]float64{}}
	for _, p := range c.wear {
		if p.class.Point == "tyre-tread" {
			c.dateTyres(p)
		}
	}
	spare := c.born
	if c.laws.chance(0.75) {
		spare = c.use.date(c.laws.between(0.5, 1) * day)
	}
	c.dateTyre("spare", spare)
	c.setPressures(day - c.laws.between(10, 120))
}

// dateTyres gives an axle's tyres their date of making, some months before they were fitted.
func (c *car) dateTyres(p *part) {
	made := c.use.date(p.from).AddDate(0, 0, -20-c.laws.IntN(300))
	for _, at := range p.slots {
		base, _ := point.SplitAt(at)
		c.dateTyre(base, made)
	}
}

func (c *car) dateTyre(base string, made time.Time) {
	year, week := made.ISOWeek()
	c.tyres.made[base] = made
	c.tyres.code[base] = fmt.Sprintf("%02d%02d", week, year%100)
}

// setPressures is the last time that somebody inflated the tyres.
func (c *car) setPressures(day float64) {
	c.tyres.set = day
	for _, base := range point.Corners {
		c.tyres.leak[base] = c.laws.logNormal(math.Log(0.022), 0.35)
		if c.laws.chance(0.012) {
			c.tyres.leak[base] = c.laws.between(0.1, 0.2)
		}
	}
}

// pressure is what a gauge shows at a temperature, by the gas law on absolute pressures.
func (c *car) pressure(base string, day, degC float64) float64 {
	placard := c.model.frontBar
	if point.Axle(base) == "R" {
		placard = c.model.rearBar
	}
	// Owners see to it now and then: no more than three months count, but for a slow leak.
	months := (day - c.tyres.set) / daysPerMonth
	if c.tyres.leak[base] < 0.1 {
		months = math.Min(months, 3)
	}
	cold := math.Max(0.7, placard+0.05-c.tyres.leak[base]*math.Min(months, 5))
	return (cold+1.01325)*(degC+273.15)/293.15 - 1.01325
}

// battery is the starter battery in the car.
type battery struct {
	from        float64 // day of fitting
	fresh, rate float64 // percent of the rated current when new, percent per month
	charge      float64 // mean charge that the owner's driving keeps, percent
}

func (c *car) beginBattery(day float64) {
	c.battery.charge = c.laws.bell(91, 5)
	c.fitBattery(0)
	if s := c.strength(day); s < batteryClass.Limit+2 {
		c.battery.from = math.Max(0, day-c.laws.Float64()*daysPerMonth*(c.battery.fresh-batteryClass.Limit)/c.battery.rate)
	}
}

func (c *car) fitBattery(day float64) {
	k := batteryClass
	c.battery.from = day
	c.battery.fresh = c.laws.bell(k.New, k.NewSD)
	c.battery.rate = math.Exp(k.LogRate + c.laws.bell(0, k.CarSD))
}

// strength is the share of the rated current that the battery truly gives, in percent.
func (c *car) strength(day float64) float64 {
	return math.Max(15, c.battery.fresh-c.battery.rate*(day-c.battery.from)/daysPerMonth)
}

// renewBattery keeps the truth of the old battery and fits a new one.
func (c *car) renewBattery(day float64) {
	if !c.w.o.NoTruth {
		b := c.battery
		c.done.Lives = append(c.done.Lives, LifeCycle{Point: "battery-cranking-current", Item: "battery", Unit: "months", FromOn: c.on(b.from), FromKm: c.km(b.from),
			Life: (b.fresh - batteryClass.Limit) / b.rate, EndedOn: c.on(day), Ran: (day - b.from) / daysPerMonth})
	}
	c.fitBattery(day)
}
