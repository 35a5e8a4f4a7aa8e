package outlook

import (
	"math"

	"witnessmark/core/point"
)

// LeastGap is how many days lie at least between two visits that are worth calling a car in for (the project's own figure, from
// practice). An item whose accepted risk is passed sooner after a look can't be held by looking: calling the car in every few
// days would drown what can.
const LeastGap = 60

// SeasonDays is how long after a look a car is usually seen again: twice a year, after the winter and before the next (practice).
const SeasonDays = 183

// usualRisk is the accepted probability of passing a limit before the next look where the catalogue gives none (the
// project's own defaults; the idea is the interval from potential to functional failure of SAE JA1011).
var usualRisk = map[point.Consequence]float64{point.People: 0.01, point.Machine: 0.05, point.Comfort: 0.2}

// accepted is the accepted risk of a law.
func accepted(cat *point.Catalogue, law *point.Law, p *point.Point) float64 {
	for _, r := range [...]float64{law.Risk, cat.Risks[p.Consequence], usualRisk[p.Consequence]} {
		if r > 0 && r < 1 {
			return r
		}
	}
	return 0.05
}

// nextLook places an item's next look: as late as the probability of passing the limit before it stays within the accepted risk.
func nextLook(l *timeline, f *table, risk, last float64, past bool) NextLook {
	n := NextLook{Risk: risk, Item: -1}
	if past {
		n.On, n.Now = dateOf(l.c.today), true
		n.Km, _ = l.c.km(l.c.today)
		return n
	}
	day := l.days(f, risk)[0]
	n.Short = day-last < LeastGap
	if n.On, n.Open = l.date(day); day <= l.c.today {
		n.On, n.Now = dateOf(l.c.today), true
		n.Km, _ = l.c.km(l.c.today)
		return n
	}
	n.Km = l.odometer(math.Min(f.Quantile(risk), math.Max(0, l.at(l.c.horizon))))
	return n
}

// carNext is the earliest of the items' looks that a visit can hold. What is past its limit asks for a look now. What no
// sensible spacing of looks can hold asks on the day on which its recommended interval ends, if it has one. What nobody ever looked at
// does not ask: the round itself shows what is missing.
func carNext(o *Outlook, c *clock) NextLook {
	best := NextLook{On: o.Horizon, Item: -1, Open: true}
	best.Km, _ = c.km(c.horizon)
	for i := range o.Items {
		it := &o.Items[i]
		n := it.Look
		if it.Unsure != "" || it.Basis.Own == 0 {
			continue
		}
		if n.Short && !it.Past {
			if it.Advice == nil || it.Advice.DueOn.IsZero() {
				continue
			}
			n.On, n.Km, n.Now, n.Open = it.Advice.DueOn, it.Advice.DueKm, false, false
			if dayOf(n.On) <= c.today {
				n.On, n.Now = dateOf(c.today), true
				n.Km, _ = c.km(c.today)
			}
			n.Open = dayOf(n.On) >= c.horizon
		}
		if n.Open || !best.Open && !n.On.Before(best.On) {
			continue
		}
		best = n
		best.Item = i
	}
	return best
}
