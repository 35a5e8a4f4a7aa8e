package simulate

import (
	"math"

	"witnessmark/core/point"
)

// part is what wears on one axle, renewed together.
type part struct {
	class *WearClass
	slots []string
	rate  []float64 // mm per 1000 km, by slot; negative where wear makes the figure larger
	fresh []float64 // mm when fitted, by slot
	from  float64   // day of fitting
	limit float64
	new   float64
}

// thickness is a slot's true figure on a day. It stays above nothing at all.
func (c *car) thickness(p *part, i int, day float64) float64 {
	y := p.fresh[i] - p.rate[i]*(c.use.at(day)-c.use.at(p.from))/1000
	return math.Max(y, 0.4)
}

// beginWear draws the rates of one class of parts on this car, and when the present ones were fitted.
func (c *car) beginWear(class *WearClass, day float64) {
	pt := c.w.cat.Point(class.Point)
	if pt == nil {
		return
	}
	p := &part{class: class, new: class.New, limit: class.Limit}
	for _, at := range pt.Positions.Slots(c.facets) {
		if point.Axle(at) == class.Axle {
			p.slots = append(p.slots, at)
		}
	}
	if len(p.slots) == 0 {
		return
	}
	c.stamped(p)
	c.drawRates(p)
	c.fit(p, 0)
	if c.crossed(p, day) {
		span := (p.new - p.limit) / p.rate[0] * 1000
		p.from = c.use.when(math.Max(0, c.use.at(day)-c.laws.Float64()*span))
	}
	c.wear = append(c.wear, p)
}

// stamped takes the figures of the model for discs and drums.
func (c *car) stamped(p *part) {
	switch p.class.Point {
	case "disc-thickness":
		p.new, p.limit = c.model.frontDisc, c.model.frontDisc-2
		if p.class.Axle == "R" {
			p.new, p.limit = c.model.rear, math.Round((c.model.rear-1.5)*10)/10
		}
	case "drum-diameter":
		p.new, p.limit = c.model.rear, c.model.rear+1.5
	}
}

// drawRates draws the rates of a part's slots: the car's own, the side's, the place's.
func (c *car) drawRates(p *part) {
	k := p.class
	axle := k.LogRate + c.laws.bell(0, k.CarSD)
	sides := map[string]float64{}
	p.rate = p.rate[:0]
	for _, at := range p.slots {
		base, _ := point.SplitAt(at)
		if _, ok := sides[base]; !ok {
			sides[base] = c.laws.bell(0, k.SideSD)
		}
		rate := math.Exp(axle + sides[base] + c.laws.bell(0, k.PlaceSD))
		if k.Grows {
			rate = -rate
		}
		p.rate = append(p.rate, rate)
	}
}

// fit puts new parts on.
func (c *car) fit(p *part, day float64) {
	p.from, p.fresh = day, p.fresh[:0]
	for range p.slots {
		p.fresh = append(p.fresh, p.new+c.laws.bell(0, p.class.NewSD))
	}
}

// crossed reports whether any slot of the part is past its limit.
func (c *car) crossed(p *part, day float64) bool {
	for i := range p.slots {
		y := c.thickness(p, i, day)
		if y < p.limit != p.class.Grows {
			return true
		}
	}
	return false
}

// partOf finds the part and slot of a place.
func (c *car) partOf(id, at string) (*part, int) {
	for _, p := range c.wear {
		if p.class.Point != id {
			continue
		}
		for i, s := range p.slots {
			if s == at {
				return p, i
			}
		}
	}
	return nil, 0
}

// renewPart keeps the truth of the old parts and fits new ones. Tyres and pads of another make wear at another rate, but
// the car and its driver stay the same, so most of the rate stays.
func (c *car) renewPart(p *part, day float64) {
	c.truthOfPart(p, c.km(day))
	c.fit(p, day)
}

// truthOfPart keeps what was drawn for each slot; ended is 0 while the part is in.
func (c *car) truthOfPart(p *part, ended float64) {
	if c.w.o.NoTruth {
		return
	}
	for i, at := range p.slots {
		from := c.use.at(p.from)
		c.done.Wear = append(c.done.Wear, WearCycle{Point: p.class.Point, At: at, FittedOn: c.on(p.from), FittedKm: from, New: p.fresh[i],
			Rate: p.rate[i], Limit: p.limit, CrossKm: from + (p.fresh[i]-p.limit)/p.rate[i]*1000, EndedKm: ended})
	}
}
