package outlook

import (
	"cmp"
	"math"
	"slices"

	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/wear"
)

// assembly is one car's outlook while it is made.
type assembly struct {
	cat     *point.Catalogue
	h       *History
	classes Classes
	c       clock
	groups  []*group
	scope   scope
}

// assemble reads a history: where each place's looks belong, and to which cycles.
func assemble(cat *point.Catalogue, h *History, classes Classes) *assembly {
	a := &assembly{cat: cat, h: h, classes: classes, c: newClock(h)}
	car := h.Car
	car.Specs = round.WithFamilies(cat, car.Facets, car.Specs)
	car.OdometerKm = nowKm(&a.c)
	a.groups = applying(cat, &car)
	a.scope = newScope(cat, car, a.groups)
	index := indexed(h, a.groups, a.c.today)
	for _, g := range a.groups {
		value := a.scope.values(h, g)
		for _, t := range g.tracks {
			t.see(h, index[g.p.ID], &a.c, value)
			t.split(h, &a.c)
		}
	}
	a.scope.limits(h, a.groups)
	return a
}

// Of says what a car's history means for what comes: every item with a law that applies to the car, from the classes as they
// were learnt and from the catalogue's laws where none was. The same input gives the same outlook; nothing given is changed.
func Of(cat *point.Catalogue, h History, classes Classes) Outlook {
	a := assemble(cat, &h, classes)
	o := Outlook{Today: dateOf(a.c.today), Known: a.c.known, Horizon: dateOf(a.c.horizon)}
	if a.c.known {
		low, mid, high := a.c.use.Rate()
		o.PerYear = Range{sane(low), sane(mid), sane(high)}
		const tenth = 1.2815516
		o.NowKm = Range{a.c.ahead.km(a.c.today, -tenth), a.c.ahead.km(a.c.today, 0), a.c.ahead.km(a.c.today, tenth)}
	}
	for _, g := range a.groups {
		if g.law.Life != nil {
			o.Items = append(o.Items, a.conditionItems(g)...)
		} else {
			o.Items = append(o.Items, a.quantityItems(g)...)
		}
		for _, t := range g.tracks {
			o.Questions = append(o.Questions, t.questions...)
		}
	}
	slices.SortStableFunc(o.Items, byDay)
	o.Next = carNext(&o, &a.c)
	return o
}

// byDay orders items: past their limit, then by the middle of the forecast, then those without a date.
func byDay(x, y Item) int {
	return cmp.Or(cmp.Compare(stage(&x), stage(&y)), x.Reach.Mid.Compare(y.Reach.Mid), cmp.Compare(x.Reach.Exposure.Mid, y.Reach.Exposure.Mid))
}

func stage(it *Item) int {
	switch {
	case it.Unsure != "":
		return 3
	case it.Past:
		return 0
	case it.Reach.OpenMid:
		return 2
	}
	return 1
}

// item begins an item with what holds for conditions and quantities alike.
func (a *assembly) item(g *group, t *track, fit *Fitted) (Item, *timeline) {
	cy := &t.cycles[len(t.cycles)-1]
	it := Item{Law: g.law, Point: g.p, At: t.at, Where: t.where, Look: NextLook{Item: -1, Open: true, On: dateOf(a.c.horizon), Risk: accepted(a.cat, g.law, g.p)}}
	it.Basis = Basis{Key: Key(g.law.ID, g.class, "")}
	if fit != nil {
		it.Basis = Basis{Key: fit.Key, Cars: fit.Cars, Looks: fit.Looks, Learned: true}
	}
	for i := range t.cycles {
		for _, s := range t.cycles[i].sights {
			it.Basis.Own++
			shown := Shown{On: a.h.Looks[s.look].On, Km: math.Max(0, s.km), Exposure: s.x, Value: s.value, State: s.state, Turned: s.turned}
			if i == len(t.cycles)-1 {
				it.Shown = append(it.Shown, shown)
			} else {
				it.Earlier = append(it.Earlier, shown)
			}
		}
	}
	l := &timeline{c: &a.c, km: g.law.Unit == "km", begin: cy.begin}
	it.Since = Since{From: cy.from, Sure: cy.renewal >= 0 || g.law.Item == "" && cy.dated, Km: math.Max(0, cy.km)}
	if !math.IsNaN(cy.day) {
		it.Since.On = dateOf(cy.day)
		it.Exposure = sane(math.Max(0, l.at(a.c.today)))
	}
	return it, l
}

// lastDay is the day of the newest sight of the running cycle, or of its beginning.
func (t *track) lastDay() float64 {
	cy := &t.cycles[len(t.cycles)-1]
	if n := len(cy.sights); n > 0 {
		return cy.sights[n-1].day
	}
	return cy.day
}

func (a *assembly) conditionItems(g *group) []Item {
	fit := a.classes.lookup(g.law, g.class, a.h.Families)
	prior := lifePrior(g.law.Life, g.class)
	if fit != nil {
		prior = *fit.Life
	}
	k := g.conditions(prior, &a.c)
	risk := accepted(a.cat, g.law, g.p)
	advice := k.advise(risk, &a.c)
	var out []Item
	for _, t := range g.tracks {
		it, l := a.item(g, t, fit)
		cy := &t.cycles[len(t.cycles)-1]
		n := len(cy.sights)
		it.Past = n > 0 && cy.sights[n-1].turned
		if l.km && !a.c.known {
			it.Unsure = noDistance
		} else if f, why := k.running(t, &a.c); f == nil {
			it.Unsure = why
		} else {
			a.foretell(&it, l, f, t)
		}
		if advice != nil {
			it.Advice = advice.due(t, l)
		}
		out = append(out, it)
	}
	return out
}

// foretell fills in what follows from the law of what comes.
func (a *assembly) foretell(it *Item, l *timeline, f *table, t *track) {
	it.Turned = f.CDF(l.at(a.c.today))
	it.Season = f.CDF(l.at(a.c.today + SeasonDays))
	it.Reach = l.reach(f)
	it.Look = nextLook(l, f, it.Look.Risk, t.lastDay(), it.Past)
}

func (a *assembly) classOf(g *group, fit *Fitted) wear.Class {
	if fit != nil {
		return *fit.Wear
	}
	class := wearPrior(g.law, g.tracks[0].step()).Class()
	class.Doubt.Bend = 0 // straight until a history bends it
	return class
}

func (a *assembly) quantityItems(g *group) []Item {
	fit := a.classes.lookup(g.law, g.class, a.h.Families)
	q := g.quantities(a.classOf(g, fit), a.h)
	var out []Item
	for _, t := range g.tracks {
		it, l := a.item(g, t, fit)
		a.measure(&it, l, q, t)
		out = append(out, it)
	}
	return out
}

// measure fills in a measured item.
func (a *assembly) measure(it *Item, l *timeline, q *quantities, t *track) {
	cy := &t.cycles[len(t.cycles)-1]
	lim := t.limit
	n := len(cy.sights)
	switch {
	case l.km && !a.c.known:
		it.Unsure = noDistance
		return
	case n == 0 && !cy.dated:
		it.Unsure = "Nobody has measured it yet, and when it was last renewed is not known."
		return
	case !lim.known:
		it.Unsure = lim.why
		return
	}
	it.Limit, it.LimitUnit, it.LimitSource = &lim.value, lim.unit, lim.source
	it.Past = n > 0 && lim.is.Broken(cy.sights[n-1].value, lim.value)
	wf, err := q.forecast(t)
	if err != nil {
		it.Unsure = "Nothing can be computed: " + err.Error() + "."
		return
	}
	f := &runsOut{wf, t}
	a.foretell(it, l, tabulate(f), t)
	if it.Past {
		it.Turned = 1
	}
	now := math.Max(0, l.at(a.c.today))
	it.Expect, it.Wide, it.Expects = f.expect(now, 0.1, 0.9), f.expect(now, 0.005, 0.995), true
	scale := 1.0
	if l.km {
		scale = 1000
	}
	low, mid, high := f.Rate()
	it.Rate = Range{sane(low * scale), sane(mid * scale), sane(high * scale)}
	it.Band = band(f, l, cy, now, it.Reach.Exposure.High)
}

// band is the level's range over the exposure: from the first reading to where the limit is reached at the latest, or to the
// horizon.
func band(f *runsOut, l *timeline, cy *cycle, now, latest float64) []BandPoint {
	from := 0.0
	if n := len(cy.sights); n > 0 && !cy.dated {
		from = cy.sights[0].x
	}
	end := math.Max(now, math.Min(latest, l.at(l.c.horizon)))
	if !(end > from) {
		return nil
	}
	now = math.Max(from, math.Min(now, end))
	var out []BandPoint
	add := func(x float64) {
		if n := len(out); n == 0 || x > out[n-1].Exposure {
			out = append(out, BandPoint{Exposure: x, Km: l.odometer(x), Level: f.level(x)})
		}
	}
	for _, x := range [...]float64{from, now, now + (end-now)/2, end} {
		add(x)
	}
	return out
}
