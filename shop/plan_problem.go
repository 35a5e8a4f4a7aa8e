package shop

import (
	"fmt"
	"math"
	"slices"
	"time"

	"witnessmark/core/agenda"
	"witnessmark/core/money"
	"witnessmark/core/visit"
	"witnessmark/core/work"
)

// What visits are weighed by while the workshop has saved no terms (practice): hours of labour that a visit costs the owner, and
// minutes of labour that fit one.
const (
	usualVisitHours   = 1.5
	usualVisitMinutes = 480
	// A job whose time nobody has said is weighed as so many minutes; they are no part of a visit's labour.
	unknownMinutes = 30
	// mostHour is how large an hour of labour, or a visit, may be in the planner's unit: a job of a thousand hours stays within what
	// core/visit takes.
	mostHour = 1e6
)

// weights turn labour into the money that the planner weighs: minor units of the workshop's currency, or minutes of labour while it has
// none. They weigh; nothing that an owner pays is computed with them.
type weights struct {
	hour, visit float64
	capacity    int
	budget      float64
	currency    money.Currency
	// unit is how many minor units make one of the planner's: more than 1 where a currency's amounts have many digits.
	unit float64
}

func weightsOf(t Terms, set bool, budget money.Amount) weights {
	if !set || t.HourRate <= 0 {
		return weights{hour: 60, visit: 60 * usualVisitHours, capacity: usualVisitMinutes, unit: 1}
	}
	w := weights{capacity: t.VisitMinutes, currency: t.Estimate.Currency, unit: 1}
	for float64(max(t.HourRate, t.VisitCost))/w.unit > mostHour {
		w.unit *= 10
	}
	w.hour, w.visit = w.of(t.HourRate), w.of(t.VisitCost)
	if w.capacity <= 0 {
		w.capacity = usualVisitMinutes
	}
	if budget > 0 {
		w.budget = w.of(budget)
	}
	return w
}

// of gives an amount in the planner's unit, at most what it takes.
func (w weights) of(a money.Amount) float64 { return math.Min(float64(a)/w.unit, visit.MaxMoney) }

// amount is the reverse.
func (w weights) amount(x float64) money.Amount {
	return money.Amount(math.Round(math.Max(-visit.MaxMoney, math.Min(visit.MaxMoney, x)) * w.unit))
}

// words writes a weight for people.
func (w weights) words(x float64) string {
	if w.currency.Code == "" {
		return fmt.Sprintf("%.0f minutes of labour", x)
	}
	return money.Format(w.currency, w.amount(x))
}

// planning is a car's wants as a problem of core/visit, with what its numbers stand for.
type planning struct {
	asked    *asked
	weights  weights
	pricing  *pricing // nil without terms
	days     []PlanDay
	problem  visit.Problem
	setups   []string // ids, in the problem's order
	jobs     []int    // the problem's jobs as places in asked.list
	minutes  []int    // own labour, of every want
	unplaced []UnplacedWant
	notes    []string
	plan     visit.Plan
}

// pose makes the problem. Wants that no day can take are set aside.
func (s *Shop) pose(a *asked, w weights, pr *pricing, more []string) (*planning, error) {
	here := len(a.page.Rounds) > 0 && a.page.Rounds[0].On == a.today.Format(dayLayout)
	for _, f := range a.list {
		if f.want.From == FromFollowUp {
			more = append(more, f.want.DueOn)
		}
		if on := f.want.NotBefore; on != "" && !day(on).After(a.today.AddDate(0, planMonths, 0)) {
			more = append(more, on) // put off until that day: nearer than the first of a month
		}
	}
	for _, on := range a.dealt.placed {
		if on != "" && !day(on).After(a.today.AddDate(0, planMonths, 0)) {
			more = append(more, on)
		}
	}
	p := &planning{asked: a, weights: w, pricing: pr, days: planDays(a.today, here, more)}
	for v, d := range p.days {
		x := visit.Visit{ID: d.Name, Day: p.dayOf(v), Fixed: w.visit, Budget: w.budget}
		if d.In {
			x.Fixed = 0
		}
		p.problem.Visits = append(p.problem.Visits, x)
	}
	for i := range a.list {
		if err := s.poseWant(p, i); err != nil {
			return nil, err
		}
	}
	p.capacity()
	p.slack()
	return p, nil
}

// dayOf is a visit's day, counted from today.
func (p *planning) dayOf(v int) int {
	return int(math.Round(day(p.days[v].On).Sub(p.asked.today).Hours() / 24))
}

// poseWant adds a want to the problem.
func (s *Shop) poseWant(p *planning, i int) error {
	x := &p.asked.list[i]
	d := x.ask.Doing
	own := 0
	for _, t := range work.Minutes(s.cat, []work.Doing{d}, p.asked.page.Facets).Doings {
		own += t.Minutes
	}
	p.minutes = append(p.minutes, own)
	j := visit.Job{ID: x.want.Name, Labour: own, Price: float64(own) / 60 * p.weights.hour, Pin: -1}
	for slices.ContainsFunc(p.problem.Jobs, func(o visit.Job) bool { return o.ID == j.ID }) {
		j.ID += " (again)"
	}
	var cost priced
	var setups map[string]money.Amount
	if p.pricing != nil && x.want.From != FromFollowUp {
		var err error
		if cost, setups, err = p.pricing.alone(x.want); err != nil {
			return err
		}
		j.Price = p.weights.of(cost.toPay)
	}
	for _, u := range work.SetupsOf(s.cat, d) {
		k := slices.Index(p.setups, u.ID)
		if k < 0 {
			k = len(p.setups)
			p.setups = append(p.setups, u.ID)
			setup := visit.Setup{ID: u.Name, Labour: u.Minutes, Cost: float64(u.Minutes) / 60 * p.weights.hour}
			if paid, ok := setups[u.ID]; ok {
				setup.Cost = p.weights.of(paid)
			}
			p.problem.Setups = append(p.problem.Setups, setup)
		}
		j.Setups = append(j.Setups, k)
	}
	worth := s.worth(p, d, &j, setups != nil && len(cost.missing) == 0)
	some := false
	for v := range p.days {
		pen := s.penalty(p, &x.ask, worth, v)
		some = some || !math.IsInf(pen, 1)
		j.Penalty = append(j.Penalty, pen)
	}
	if !some {
		p.unplaced = append(p.unplaced, UnplacedWant{PlannedWant{Want: x.want, Key: x.key(), Minutes: own}, "There is no day within two years on which it could be done."})
		return nil
	}
	j.Pin = p.pin(x, j.Penalty)
	p.problem.Jobs, p.jobs = append(p.problem.Jobs, j), append(p.jobs, i)
	return nil
}

// worth is what a doing costs with its parts and preparations. While not every price is known, its parts are weighed by its labour.
func (s *Shop) worth(p *planning, d work.Doing, j *visit.Job, known bool) float64 {
	if known {
		cost := j.Price
		for _, k := range j.Setups {
			cost += p.problem.Setups[k].Cost
		}
		return cost
	}
	minutes := float64(j.Labour)
	if s.cat.Work[d.Job] == nil {
		minutes = unknownMinutes
	}
	for _, k := range j.Setups {
		minutes += float64(p.problem.Setups[k].Labour)
	}
	return minutes * p.weights.hour / 60 * (1 + agenda.PartsShare)
}

// slack takes off every budget what rounding can add: an estimate rounds its tax and its total once, the problem each job's. What a
// visit costs the owner besides is weighed and nobody is charged it, so it comes on top of the budget.
func (p *planning) slack() {
	if p.weights.budget <= 0 {
		return
	}
	off := float64(len(p.problem.Jobs) + len(p.problem.Setups) + 1)
	if p.pricing != nil {
		off += float64(p.pricing.terms.Round) * off
	}
	budget := math.Max(1, p.weights.budget-off/p.weights.unit)
	for v := range p.problem.Visits {
		p.problem.Visits[v].Budget = math.Min(visit.MaxMoney, budget+p.problem.Visits[v].Fixed)
	}
	p.problem.Money = func(x float64) string {
		if math.Abs(x-budget) < 0.001 { // what the owner named, not what is left of it for rounding
			x = p.weights.budget
		}
		return p.weights.words(x)
	}
}

// penalty is what doing a want at a visit is weighed at for being early or late: unused life thrown away and days beyond the one on which
// it falls due. It is infinite before the day until which it was put off, and after the day by which it must be done.
func (s *Shop) penalty(p *planning, x *agenda.Asked, worth float64, v int) float64 {
	on, t := day(p.days[v].On), float64(p.dayOf(v))
	if on.Before(x.NotBefore) || !x.Hard.IsZero() && on.After(later(x.Hard, p.asked.today)) {
		return math.Inf(1)
	}
	return math.Min(visit.MaxMoney, x.Weight(s.cat, t, worth, p.weights.hour))
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// pin is the visit at which the adviser put a want, -1 for none. A placement that holds no longer is said and let go.
func (p *planning) pin(x *askedFor, penalty []float64) int {
	on := p.asked.dealt.placed[x.key()]
	if on == "" {
		return -1
	}
	v := slices.IndexFunc(p.days, func(d PlanDay) bool { return d.On == on })
	switch {
	case v < 0:
		p.notes = append(p.notes, fmt.Sprintf("%s was put on %s, which is not among the days any more. It is planned anew.", x.want.Name, day(on).Format("2 January 2006")))
	case math.IsInf(penalty[v], 1):
		p.notes = append(p.notes, fmt.Sprintf("%s was put on %s, which is beyond its limit now. It is planned anew.", x.want.Name, day(on).Format("2 January 2006")))
		v = -1
	}
	return v
}

// capacity gives every visit as many working days as the longest doing takes, and the first as many as all that must not wait.
func (p *planning) capacity() {
	longest, musts, paid := 0, 0, map[int]bool{}
	for _, j := range p.problem.Jobs {
		alone, only := j.Labour, onlyFirst(j.Penalty)
		if only {
			musts += j.Labour
		}
		for _, k := range j.Setups {
			alone += p.problem.Setups[k].Labour
			if only && !paid[k] {
				paid[k] = true
				musts += p.problem.Setups[k].Labour
			}
		}
		longest = max(longest, alone)
	}
	whole := func(minutes int) int {
		return p.weights.capacity * max(1, (minutes+p.weights.capacity-1)/p.weights.capacity)
	}
	for v := range p.problem.Visits {
		p.problem.Visits[v].Capacity = whole(longest)
	}
	if first := whole(musts); first > p.problem.Visits[0].Capacity {
		p.problem.Visits[0].Capacity = first
	}
	if n := p.problem.Visits[0].Capacity / p.weights.capacity; n > 1 {
		p.notes = append(p.notes, fmt.Sprintf("What must not wait, or the longest job, takes more than one day's labour: the first visit holds %d days.", n))
	}
}

// onlyFirst reports whether only the first visit takes a job.
func onlyFirst(penalty []float64) bool {
	return !math.IsInf(penalty[0], 1) && !slices.ContainsFunc(penalty[1:], func(x float64) bool { return !math.IsInf(x, 1) })
}
