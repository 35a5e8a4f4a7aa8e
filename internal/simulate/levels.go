package simulate

import (
	"math"

	"witnessmark/core/point"
)

// levels are the fluids that sink between top-ups, as the share of the band when last filled and the loss since.
type levels struct {
	filled  map[string]float64 // share of the band
	on      map[string]float64 // day
	perYear map[string]float64 // band per year
}

var sinking = map[string]struct{ mean, sd float64 }{
	"engine-oil-level":     {0.35, 0.7},
	"coolant-level":        {0.12, 0.8},
	"steering-fluid-level": {0.07, 0.8},
	"adblue-level":         {1.1, 0.2},
	"brake-fluid-level":    {0.01, 0.3},
}

func (c *car) beginLevels(day float64) {
	c.levels = levels{map[string]float64{}, map[string]float64{}, map[string]float64{}}
	for _, s := range c.walk(point.Full, false) {
		k, ok := sinking[s.Point.ID]
		if !ok {
			continue
		}
		c.levels.perYear[s.Point.ID] = c.laws.logNormal(math.Log(k.mean), k.sd)
		c.fill(s.Point.ID, day-c.laws.between(20, 200))
	}
}

// fill brings a fluid to where people fill it.
func (c *car) fill(id string, day float64) {
	c.levels.filled[id] = c.laws.bell(0.86, 0.06)
	c.levels.on[id] = day
}

// level is the true share of the band.
func (c *car) level(p *point.Point, day float64) float64 {
	years := (day - c.levels.on[p.ID]) / daysPerYear
	switch p.ID {
	case "washer-fluid":
		return math.Min(1, 0.12+0.95*math.Pow(c.looks.Float64(), 0.7))
	case "brake-fluid-level":
		return 0.98 - 0.72*c.liningUsed(day) - c.levels.perYear[p.ID]*years
	case "engine-oil-level":
		km := c.use.at(day) - c.use.at(c.levels.on[p.ID])
		return c.levels.filled[p.ID] - c.levels.perYear[p.ID]*km/11000
	case "coolant-level":
		y := c.levels.filled[p.ID] - c.levels.perYear[p.ID]*years
		if l := c.lives[place{"coolant-traces", ""}]; l != nil && c.share(l, day) > 1 {
			y -= 0.5
		}
		return y
	}
	if _, ok := c.levels.perYear[p.ID]; ok {
		return c.levels.filled[p.ID] - c.levels.perYear[p.ID]*years
	}
	return 0.6
}

// liningUsed is how much of the brake linings is gone on the mean; that fluid stands behind the pistons.
func (c *car) liningUsed(day float64) float64 {
	sum, n := 0.0, 0.0
	for _, p := range c.wear {
		if p.class.Point != "pad-thickness" {
			continue
		}
		for i := range p.slots {
			sum += (p.new - c.thickness(p, i, day)) / (p.new - p.limit)
			n++
		}
	}
	if n == 0 {
		return 0.3
	}
	return math.Max(0, math.Min(1.2, sum/n))
}
