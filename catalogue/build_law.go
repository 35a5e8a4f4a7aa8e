package catalogue

import (
	"sort"
	"strings"

	"witnessmark/core/point"
)

// lawEntry is a law on its way into the catalogue.
type lawEntry struct {
	e   *entry
	raw *rawLaw
	law *point.Law
}

// law turns a raw law into the core's type; what it says of points, items and facets is checked once those are read.
func (b *builder) law(e *entry) {
	var r rawLaw
	if !b.decode(e, &r) {
		return
	}
	l := &point.Law{ID: r.ID, Item: r.Item, Unit: r.Unit, By: r.By, Step: r.Step, Weight: r.Weight, Risk: r.Risk, Planned: r.Planned,
		Failed: r.Failed, Source: source(r.Source)}
	l.Point, l.Axle, _ = strings.Cut(r.ID, "/")
	if r.Cap != nil {
		l.Cap = &point.Schedule{Km: r.Cap.Km, Months: r.Cap.Months}
	}
	if r.Life != nil {
		v := r.Life.V
		l.Life = &point.LifeLaw{Model: v.Model, Median: v.Median, Spread: v.Spread, Shape: v.Shape, ShapeSpread: v.ShapeSpread,
			Medians: v.Medians, Turned: v.Turned, Sensitivity: v.Sensitivity, Specificity: v.Specificity}
	}
	if r.Wear != nil {
		v := r.Wear.V
		l.Wear = &point.WearLaw{Value: v.Value, New: v.New, NewSD: v.NewSD, NewSpec: v.NewSpec, Rate: v.Rate, Spread: v.Spread,
			Noise: v.Noise, Step: v.Step, Rises: v.Rises, Limit: v.Limit}
	}
	b.laws = append(b.laws, lawEntry{e, &r, l})
}

// allLaws checks the risks and the laws and puts them into the catalogue, the laws sorted by id.
func (b *builder) allLaws(c *point.Catalogue) {
	items := map[string]bool{}
	for _, id := range c.Items() {
		items[id] = true
	}
	for _, e := range b.entries {
		if e.kind == "risk" {
			b.risk(c, e)
		}
	}
	for _, l := range b.laws {
		b.checkLaw(c, l, items)
		c.Laws = append(c.Laws, l.law)
	}
	sort.Slice(c.Laws, func(i, j int) bool { return c.Laws[i].ID < c.Laws[j].ID })
}

// risk takes the accepted risk of one consequence.
func (b *builder) risk(c *point.Catalogue, e *entry) {
	var r rawRisk
	if !b.decode(e, &r) {
		return
	}
	k := point.Consequence(r.ID)
	if k != point.People && k != point.Machine && k != point.Comfort {
		b.fault(e.file, e.node.Line, "risk %q; expected people, machine or comfort", r.ID)
	}
	if !(r.Accept > 0 && r.Accept <= mostRisk) {
		b.fault(e.file, e.node.Line, "risk %s: accept is %g; expected a probability above 0 and at most %g", r.ID, r.Accept, mostRisk)
	}
	b.sourceOf(c, e.file, e.node.Line, "risk "+r.ID, r.Source, false)
	if c.Risks == nil {
		c.Risks = map[point.Consequence]float64{}
	}
	c.Risks[k] = r.Accept
}
