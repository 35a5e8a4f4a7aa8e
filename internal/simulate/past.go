package simulate

import (
	"slices"
	"strings"

	"witnessmark/core/point"
	"witnessmark/shop"
)

// itemsFor lists what a renewal at a point renews: the point's own item, else what the jobs of the state or of the point
// renew. For parts of an axle an item that names the axle is chosen where there is one.
func itemsFor(cat *point.Catalogue, p *point.Point, stateOrAxle string) []string {
	if p == nil {
		return nil
	}
	if p.Renewal != nil {
		return []string{p.Renewal.Item}
	}
	jobs := p.Jobs
	if s := p.StateByID(stateOrAxle); s != nil && len(s.Jobs) > 0 {
		jobs = s.Jobs
	}
	for _, id := range jobs {
		j := cat.Jobs[id]
		if j == nil || len(j.Renews) == 0 {
			continue
		}
		word := map[string]string{"F": "front", "R": "rear"}[stateOrAxle]
		for _, item := range j.Renews {
			if word != "" && strings.Contains(item, word) {
				return []string{item}
			}
		}
		return slices.Clone(j.Renews)
	}
	return nil
}

// firstItem is the item that a point's renewal is booked under, or empty.
func firstItem(cat *point.Catalogue, p *point.Point) string {
	if list := itemsFor(cat, p, ""); len(list) > 0 {
		return list[0]
	}
	return ""
}

// pastRenewals copies what the service book tells of earlier work, as far as it was written down.
func (c *car) pastRenewals(day float64, ms int64) {
	told := map[string]bool{}
	tell := func(items []string, from float64, at string) {
		if from < 1 || from >= day {
			return
		}
		for _, item := range items {
			if told[item+at] {
				continue
			}
			told[item+at] = true
			ms += 20e3
			f := shop.RenewalFact{ID: c.ids.id(ms), CarID: c.version.CarID, Item: item, At: at, On: c.on(from), Km: c.km(from), Note: "from the service book", By: c.version.By, ReceivedAt: ms}
			if c.looks.chance(0.05) {
				f.Km = -1
			}
			c.w.put(shop.Fact{Renewal: &f})
		}
	}
	for _, s := range c.walk(point.Full, false) {
		l := c.lives[place{s.Point.ID, s.Slots[0]}]
		if l != nil && (s.Point.Renewal != nil || scheduled[s.Point.ID] > 0) && c.looks.chance(0.75) {
			tell(itemsFor(c.w.cat, s.Point, ""), l.from, "")
		}
	}
	for _, p := range c.wear {
		if (p.class.Point == "pad-thickness" || p.class.Point == "tyre-tread") && c.looks.chance(0.4) {
			tell(itemsFor(c.w.cat, c.w.cat.Point(p.class.Point), p.class.Axle), p.from, p.class.Axle)
		}
	}
	if c.looks.chance(0.6) {
		tell(itemsFor(c.w.cat, c.w.cat.Point("battery-cranking-current"), ""), c.battery.from, "")
	}
}
