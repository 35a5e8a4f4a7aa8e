package simulate

import (
	"math"
	"slices"
	"strings"

	"witnessmark/core/point"
	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// work does what the owner agreed to, some days after the round and always before the next one. What lies after the last
// day has not happened yet.
func (v *visit) work() {
	c := v.c
	day := v.day + 1 + float64(c.looks.IntN(6))
	if v.depth == point.Driveway || day > c.today-1 {
		return
	}
	b := &bill{v: v, day: day, notes: map[string][]string{}, done: map[*condition]bool{}}
	for _, s := range v.seen {
		b.consider(s)
	}
	b.parts()
	b.battery()
	b.along()
	b.write()
	if v.depth == point.Full {
		c.setPressures(v.day)
	}
}

// bill collects what is renewed.
type bill struct {
	v     *visit
	day   float64
	items []string
	notes map[string][]string
	done  map[*condition]bool
}

// yes is the owner's answer by verdict.
func (b *bill) yes(f verdict.Verdict) bool {
	p := map[verdict.Verdict]float64{verdict.Due: 0.82, verdict.Overdue: 0.95, verdict.Unsafe: 1}[f]
	return p > 0 && b.v.c.looks.chance(p)
}

// consider decides about one reading of a looked-at condition or level.
func (b *bill) consider(s sight) {
	c := b.v.c
	if _, ok := sinking[s.point.ID]; ok {
		if s.value < 0.45 && s.point.ID != "brake-fluid-level" {
			c.fill(s.point.ID, b.v.day)
		}
		return
	}
	l := c.lives[place{s.point.ID, s.at}]
	if l == nil || s.point.ID == "brake-fluid-level" {
		return
	}
	wanted := b.yes(s.verdict)
	if _, ok := gauges[s.point.ID]; ok || scheduled[s.point.ID] > 0 {
		wanted = c.share(l, b.v.day) > 0.92 && c.looks.chance(0.85)
	}
	if n := s.point.Renewal; n != nil && !wanted {
		wanted = b.late(n, l) && c.looks.chance(0.85)
	}
	if !wanted {
		return
	}
	c.renewLife(l, b.day)
	b.done[l] = true
	if s.point.ID == "engine-oil-look" {
		c.fill("engine-oil-level", b.day)
	}
	b.add(itemsFor(c.w.cat, s.point, s.state), s.at)
}

// late reports whether the calendar or the distance limit is near.
func (b *bill) late(n *point.Renewal, l *condition) bool {
	c := b.v.c
	months := (b.v.day - l.from) / daysPerMonth
	km := c.use.exposure("km", l.from, b.v.day)
	return n.Months > 0 && months > n.Months-1.5 || n.Km > 0 && km > n.Km*0.93
}

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
		if p2 == 0 || !c.looks.chance(p2) {
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

// add notes items and where they sit.
func (b *bill) add(items []string, at string) {
	for _, item := range items {
		if !slices.Contains(b.items, item) {
			b.items = append(b.items, item)
		}
		if base, _ := point.SplitAt(at); base != "" && !slices.Contains(b.notes[item], point.Where(base)) {
			b.notes[item] = append(b.notes[item], point.Where(base))
		}
	}
}

// along renews what goes with an item that was renewed for another reason: the coolant with the pump, both filters of a pair.
func (b *bill) along() {
	c := b.v.c
	for _, step := range c.walk(point.Full, false) {
		for _, at := range step.Slots {
			l := c.lives[place{step.Point.ID, at}]
			whole := at == "" || step.Point.Renewal != nil
			if l != nil && whole && !b.done[l] && l.item != "" && slices.Contains(b.items, l.item) {
				c.renewLife(l, b.day)
				b.done[l] = true
			}
		}
	}
}

// write puts the renewals into the book.
func (b *bill) write() {
	c := b.v.c
	at := c.ms(b.day, 16)
	for _, item := range b.items {
		at += 45e3
		c.w.put(shop.Fact{Renewal: &shop.RenewalFact{ID: c.ids.id(at), CarID: c.version.CarID, Item: item, On: c.on(b.day), Km: c.km(b.day),
			Note: strings.Join(b.notes[item], ", "), By: b.v.by, ReceivedAt: at}})
	}
}
