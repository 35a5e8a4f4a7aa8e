package simulate

import (
	"slices"

	"witnessmark/core/point"
	"witnessmark/core/round"
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
	b := &bill{v: v, day: day, places: map[string][]string{}, done: map[*condition]bool{}}
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
	// places are where each item is renewed, in order; empty text is the whole car.
	places map[string][]string
	done   map[*condition]bool
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
	at := s.at
	if s.point.Renewal != nil {
		at = "" // what goes by the calendar is renewed on the whole car
	}
	b.add(itemsFor(c.w.cat, s.point, s.state), at)
}

// late reports whether the calendar or the distance limit is near.
func (b *bill) late(n *point.Renewal, l *condition) bool {
	c := b.v.c
	months := (b.v.day - l.from) / daysPerMonth
	km := c.use.exposure("km", l.from, b.v.day)
	return n.Months > 0 && months > n.Months-1.5 || n.Km > 0 && km > n.Km*0.93
}

// add notes items and where they sit.
func (b *bill) add(items []string, at string) {
	base, _ := point.SplitAt(at)
	for _, item := range items {
		if !slices.Contains(b.items, item) {
			b.items = append(b.items, item)
		}
		if !slices.Contains(b.places[item], base) {
			b.places[item] = append(b.places[item], base)
		}
	}
}

// covers reports whether an item was renewed at a position.
func (b *bill) covers(item, at string) bool {
	return slices.ContainsFunc(b.places[item], func(base string) bool { return round.Renewal{At: base}.Covers(at) })
}

// along renews what goes with an item that was renewed for another reason: the coolant with the pump, both filters of a pair,
// the face of a disc with the disc.
func (b *bill) along() {
	c := b.v.c
	for _, step := range c.walk(point.Full, false) {
		for _, at := range step.Slots {
			l := c.lives[place{step.Point.ID, at}]
			if l == nil || b.done[l] || l.item == "" {
				continue
			}
			if step.Point.Renewal != nil && slices.Contains(b.items, l.item) || b.covers(l.item, at) {
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
		for _, base := range b.places[item] {
			at += 45e3
			c.w.put(shop.Fact{Renewal: &shop.RenewalFact{ID: c.ids.id(at), CarID: c.version.CarID, Item: item, At: base, On: c.on(b.day), Km: c.km(b.day),
				By: b.v.by, ReceivedAt: at}})
		}
	}
}
