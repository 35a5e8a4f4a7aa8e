package outlook

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"witnessmark/core/life"
	"witnessmark/core/renew"
	"witnessmark/core/unit"
)

// advise recommends an interval for what is renewed by a schedule: the longest whose risk of turning before is accepted, for a
// new filling or part. nil where the item is renewed by its condition alone.
func (k *conditions) advise(risk float64, c *clock) *Advice {
	law, p := k.g.law, k.g.p
	if law.Item == "" || p.Renewal == nil && law.Cap == nil {
		return nil
	}
	post := k.fresh()
	if post == nil {
		return nil
	}
	a := &Advice{}
	if p.Renewal != nil {
		a.Usual = p.Renewal.Months
		if law.Unit == "km" {
			a.Usual = p.Renewal.Km
		}
	}
	rule := life.Rule{Risk: risk, Cap: law.Cap.In(law.Unit), CapName: "common practice", Step: law.Step, Fixed: a.Usual, Unit: law.Unit, Say: sayIn(law.Unit, c.units)}
	if law.Unit == "km" && c.units == unit.US {
		rule.Unit = "mi"
	}
	a.Recommendation = life.Recommend(post, k.plain, 0, rule)
	for _, x := range [...]*float64{&a.Interval, &a.Unrounded, &a.Risk, &a.Range[0], &a.Range[1]} {
		*x = sane(*x)
	}
	if !(a.Interval > 0) {
		return nil
	}
	k.cheapest(a)
	return a
}

// fresh is the law of a new filling or part: the grid's, or core/life's where the grid explains nothing; nil where neither can.
func (k *conditions) fresh() life.Predictive {
	if len(k.terms) > 0 {
		if f := (&turning{lognormal: k.model == life.Lognormal, terms: k.terms, likely: []float64{1}}); f.settle() {
			return newLife{f}
		}
	}
	if post := k.exact(); post != nil {
		return post
	}
	return nil
}

// newLife is a life on the grid that has not begun, so that what it survived is nothing.
type newLife struct{ law *turning }

// QuantileGiven is the exposure by which it ends with probability q.
func (l newLife) QuantileGiven(q, _ float64) float64 { return l.law.Quantile(q) }

// SurvivalGiven is the probability that it lasts longer than x.
func (l newLife) SurvivalGiven(x, _ float64) float64 { return 1 - l.law.CDF(x) }

// IntervalRange is where the exposure with the given risk lies under the grid's laws, 8 chances in 10.
func (l newLife) IntervalRange(risk, _ float64) (low, high float64) {
	type end struct{ y, weight float64 }
	z := math.Log(-math.Log1p(-risk))
	if l.law.lognormal {
		z = -math.Sqrt2 * math.Erfcinv(2*risk)
	}
	ends := make([]end, 0, len(l.law.terms))
	total := 0.0
	for _, t := range l.law.terms {
		ends, total = append(ends, end{t.mu + z/t.inv, t.weight}), total+t.weight
	}
	slices.SortFunc(ends, func(a, b end) int { return cmp.Compare(a.y, b.y) })
	at := func(q float64) float64 {
		sum := 0.0
		for _, e := range ends {
			if sum += e.weight; sum >= q*total {
				return math.Exp(e.y)
			}
		}
		return math.Exp(ends[len(ends)-1].y)
	}
	return at(0.1), at(0.9)
}

// sayIn writes exposures as people of the car's country read them: distances to the hundred, in miles where the car counts them.
func sayIn(of string, system unit.System) func(float64) string {
	const mile = 1.609344
	return func(x float64) string {
		if of == "km" && system == unit.US {
			x /= mile
		}
		if of == "km" && x >= 1000 {
			x = math.Round(x/100) * 100
		}
		return strings.ReplaceAll(life.Number(x), " ", "\u202f")
	}
}

// cheapest is the interval of least cost by core/renew, over what the car's posterior leaves possible.
func (k *conditions) cheapest(a *Advice) {
	law := k.g.law
	if !(law.Planned > 0 && law.Failed > 0) {
		return
	}
	var mix renew.Mixture
	for _, t := range coarser(k.terms, 16) {
		mix.Weights = append(mix.Weights, t.weight)
		if k.model == life.Lognormal {
			mix.Parts = append(mix.Parts, renew.Lognormal{Sigma: 1 / t.inv, Median: math.Exp(t.mu)})
		} else {
			mix.Parts = append(mix.Parts, renew.Weibull{Shape: t.inv, Scale: math.Exp(t.mu)})
		}
	}
	best, err := renew.Optimum(mix, law.Planned, law.Failed)
	switch {
	case err != nil:
		a.CheapNote = "An interval of least cost can't be determined."
	case !best.Finite:
		a.CheapNote = best.Reason
	case math.IsInf(best.FlatHigh, 0):
		a.Cheapest, a.CheapNote = best.T, fmt.Sprintf("%s From %s %s on, later costs less than 1 %% more.", best.Reason, life.Number(best.FlatLow), law.Unit)
	default:
		a.Cheapest, a.CheapNote = best.T, best.Reason
		a.Flat = Range{best.FlatLow, best.T, best.FlatHigh}
	}
}

// due sets the day and distance at which the running cycle reaches the interval; both stay empty where nobody knows since when
// it runs. A calendar cap ends an interval of km too.
func (a Advice) due(t *track, l *timeline) *Advice {
	if !l.begin.dated {
		return &a
	}
	var day float64
	cap := t.law.Cap
	if l.km && !l.c.known { // how far the car runs is not known: only the calendar can end the interval
		if cap == nil || cap.Months <= 0 {
			return &a
		}
		day = l.begin.day + math.Floor(cap.Months*daysPerMonth)
	} else if l.km {
		a.DueKm = l.odometer(a.Interval)
		var kms [combined]float64
		for i := range kms {
			kms[i] = a.DueKm
		}
		if day = l.c.ahead.day(&kms, 0.5, l.c.horizon); a.DueKm <= l.c.ahead.last.Km {
			day = l.c.dayOfKm(a.DueKm)
		}
		if cap != nil && cap.Months > 0 && l.begin.day+cap.Months*daysPerMonth < day {
			day = l.begin.day + math.Floor(cap.Months*daysPerMonth)
			a.DueKm, _ = l.c.km(day)
		}
	} else {
		day = math.Min(l.c.horizon+1, l.begin.day+math.Floor(a.Interval*daysPerMonth))
		a.DueKm, _ = l.c.km(day)
	}
	a.DueKm = sane(a.DueKm)
	a.DueOn = dateOf(math.Min(day, l.c.horizon))
	return &a
}

// dayOfKm is the day on which a distance that lies behind was reached.
func (c *clock) dayOfKm(km float64) float64 {
	for i, r := range c.readings {
		if r.Km < km {
			continue
		}
		if i == 0 || r.Km == c.readings[i-1].Km {
			return r.Day
		}
		b := c.readings[i-1]
		return b.Day + (km-b.Km)/(r.Km-b.Km)*(r.Day-b.Day)
	}
	return c.today
}
