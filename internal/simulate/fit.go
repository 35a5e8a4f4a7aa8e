package simulate

import (
	"math"
	"slices"

	"witnessmark/core/point"
)

// parts renews worn parts by axle, by what was read.
func (b *bill) parts() {
	c := b.v.c
	renewed := map[string]bool{}
	for _, p := range c.wear {
		worst, ok := b.worst(p)
		if !ok {
			continue
		}
		left := (worst - p.limit) * map[bool]float64{false: 1, true: -1}[p.class.Grows]
		p2 := chanceToRenew(p.class.Point, left)
		if p.class.Point == "disc-thickness" && left < 0.35 && renewed["pad-thickness"+p.class.Axle] {
			p2 = 0.9
		}
		if p.class.Point == "tyre-tread" && c.oldTyres(p, b.day) {
			p2 = math.Max(p2, 0.5)
		}
		if !b.promised(p) && (p2 == 0 || !c.looks.chance(p2)) {
			continue
		}
		b.fit(p, renewed)
		if p.class.Point == "disc-thickness" { // new discs get new pads
			for _, q := range c.wear {
				if q.class.Point == "pad-thickness" && q.class.Axle == p.class.Axle {
					b.fit(q, renewed)
				}
			}
		}
	}
}

// promised reports whether the part's item is renewed already for another reason (the face of the disc, the state of the pad), so that
// the book tells of new parts that must then be on the car.
func (b *bill) promised(p *part) bool {
	for _, item := range itemsFor(b.v.c.w.cat, b.v.c.w.cat.Point(p.class.Point), p.class.Axle) {
		for _, at := range p.slots {
			if base, _ := point.SplitAt(at); b.covers(item, base) {
				return true
			}
		}
	}
	return false
}

// fit renews the parts of one class on one axle, once.
func (b *bill) fit(p *part, renewed map[string]bool) {
	c, key := b.v.c, p.class.Point+p.class.Axle
	if renewed[key] {
		return
	}
	renewed[key] = true
	c.renewPart(p, b.day)
	if p.class.Point == "tyre-tread" {
		c.dateTyres(p)
	}
	b.add(itemsFor(c.w.cat, c.w.cat.Point(p.class.Point), p.class.Axle), p.class.Axle)
}

// chanceToRenew is how likely a part is renewed with so many mm left to its limit.
func chanceToRenew(id string, left float64) float64 {
	switch {
	case id == "tyre-tread" && left < 0.8, id != "tyre-tread" && left <= 0:
		return 0.93
	case id == "pad-thickness" && left <= 0.5:
		return 0.6
	case id == "tyre-tread" && left < 1.5, id == "pad-thickness" && left <= 1:
		return 0.35
	}
	return 0
}

// worst is the smallest figure (largest for drums) that was read of a part.
func (b *bill) worst(p *part) (worst float64, ok bool) {
	for _, s := range b.v.seen {
		if s.point.ID != p.class.Point || !slices.Contains(p.slots, s.at) {
			continue
		}
		if !ok || s.value < worst != p.class.Grows {
			worst, ok = s.value, true
		}
	}
	return worst, ok
}

// oldTyres reports tyres of ten years.
func (c *car) oldTyres(p *part, day float64) bool {
	base, _ := point.SplitAt(p.slots[0])
	return c.use.date(day).Sub(c.tyres.made[base]).Hours()/24 > 9.6*daysPerYear
}

func (b *bill) battery() {
	c := b.v.c
	for _, s := range b.v.seen {
		if s.point.ID == "battery-cranking-current" && (s.value < 0.65*c.model.ratedA && c.looks.chance(0.85) || b.day-c.battery.from > 97*daysPerMonth && c.looks.chance(0.4)) {
			c.renewBattery(b.day)
			b.add(itemsFor(c.w.cat, s.point, ""), "")
		}
	}
}
