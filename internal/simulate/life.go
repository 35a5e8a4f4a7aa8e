package simulate

import (
	"math"

	"witnessmark/core/point"
)

// condition is a looked-at thing at one place, between two renewals.
type condition struct {
	point *point.Point
	at    string
	law   LifeClass
	item  string
	from  float64 // day after birth
	span  float64 // exposure at which it turns
	scale float64 // the law's, times what is the car's own
	// stages by share of the span, first to last.
	stages []stage
}

// exposureOf is what the condition has run until a day.
func (c *car) exposureOf(l *condition, day float64) float64 {
	return c.use.exposure(l.law.Unit, l.from, day)
}

// share is how much of its life the condition has used; from 1 on it has turned.
func (c *car) share(l *condition, day float64) float64 { return c.exposureOf(l, day) / l.span }

// beginLife draws a condition's present cycle as it is found on the day when the car first comes in. What turned long ago was
// put right by somebody at a time that nobody wrote down.
func (c *car) beginLife(p *point.Point, at string, day float64) {
	key := place{p.ID, at}
	if c.lives[key] != nil {
		return
	}
	l := &condition{point: p, at: at, law: c.lawFor(p)}
	l.item = firstItem(c.w.cat, p)
	l.scale = l.law.Scale * c.laws.logNormal(0, l.law.CarSD) * c.frailty
	c.draw(l)
	if s := c.share(l, day); s > 1 && (s > 1.3 || c.laws.chance(0.7)) {
		c.draw(l)
		run := c.laws.Float64() * 0.95 * l.span
		if p.Renewal != nil && p.Renewal.Months > 0 {
			run = math.Min(run, c.laws.Float64()*c.inUnit(l, p.Renewal.Months, day))
		}
		l.from = c.use.before(l.law.Unit, day, run)
	}
	c.lives[key] = l
}

// inUnit turns months of use before a day into the condition's unit.
func (c *car) inUnit(l *condition, months, day float64) float64 {
	return c.use.exposure(l.law.Unit, math.Max(0, day-months*daysPerMonth), day)
}

// lawFor is the point's law for this car: its class, and its family's weak spots.
func (c *car) lawFor(p *point.Point) LifeClass {
	law := lawOf(p.ID, p.Group, c.class)
	if f, ok := familyLives[c.model.family][p.ID]; ok {
		law.Scale *= f
		if law.Class == "" {
			law.Class = c.model.family
		}
	}
	if mostlyUnsafe(p) {
		law.Scale *= 4
	}
	if years := scheduled[p.ID]; years > 0 {
		law = LifeClass{Point: p.ID, Unit: "months", Shape: 14, Scale: years * 12, CarSD: 0.05}
	}
	return law
}

// draw starts a new cycle's luck.
func (c *car) draw(l *condition) {
	l.span = math.Max(c.laws.weibull(l.law.Shape, l.scale), l.law.Scale*0.001)
	l.stages = stages[l.point.ID]
	if l.stages == nil {
		l.stages = c.drawStages(l.point)
	}
}

// renewLife ends a cycle on a day and starts the next.
func (c *car) renewLife(l *condition, day float64) {
	c.truthOfLife(l, day)
	l.from = day
	c.draw(l)
}

// truthOfLife keeps a cycle of a law of its own; day -1 leaves it running.
func (c *car) truthOfLife(l *condition, day float64) {
	if c.w.o.NoTruth || !ownLaw[l.point.ID] {
		return
	}
	t := LifeCycle{Point: l.point.ID, At: l.at, Item: l.item, Unit: l.law.Unit, FromOn: c.on(l.from), FromKm: c.km(l.from), Shape: l.law.Shape, Scale: l.scale, Life: l.span}
	if day >= 0 {
		t.EndedOn = c.on(day)
	} else {
		day = c.today
	}
	t.Ran = c.exposureOf(l, day)
	c.done.Lives = append(c.done.Lives, t)
}

// ownLaw lists the points that lifeClasses names.
var ownLaw = func() map[string]bool {
	m := map[string]bool{}
	for _, l := range lifeClasses {
		m[l.Point] = true
	}
	return m
}()
