package shop

import (
	"context"
	"fmt"
	"math"
	"slices"

	"witnessmark/core/money"
	"witnessmark/core/visit"
	"witnessmark/core/work"
)

// Plan says at which visit what a car asks for is best done.
func (s *Shop) Plan(ctx context.Context, carID string) (*CarPlan, error) {
	return s.PlanWithin(ctx, carID, 0)
}

// PlanWithin plans with a bound on what the owner spends at one visit, in the workshop's currency; 0 is none. It counts only once
// terms are saved.
func (s *Shop) PlanWithin(ctx context.Context, carID string, budget money.Amount) (*CarPlan, error) {
	p, t, set, err := s.planning(ctx, carID, budget, "")
	if err != nil {
		return nil, err
	}
	c := &CarPlan{Car: p.asked.page.Car, Today: p.asked.today.Format(dayLayout), Terms: t, TermsSet: set, Days: p.days, Unplaced: p.unplaced, Notes: p.notes,
		Proven: p.plan.Status == visit.Optimal, Gap: p.plan.Gap, Budget: budget}
	for _, a := range p.asked.dealt.agreed {
		var names []string
		for _, it := range a.Accepted {
			names = append(names, lowerName(it.Name))
		}
		e := &a.Draft.Said.Estimate
		c.Notes = append(c.Notes, fmt.Sprintf("Agreed on estimate %s for %s and not planned again: %s.", e.Number, day(e.VisitOn).Format("2 January 2006"), listed(names)))
	}
	if len(p.problem.Jobs) == 0 {
		c.Proven = true
		return c, nil
	}
	bill, err := visit.Price(p.problem, p.plan.At)
	if err != nil {
		return nil, err
	}
	for _, v := range bill.Visits {
		x, err := s.plannedVisit(p, &v)
		if err != nil {
			return nil, err
		}
		c.Visits = append(c.Visits, x)
	}
	for i := range c.Unplaced {
		s.nameWith(&c.Unplaced[i].PlannedWant)
	}
	return c, nil
}

// planning poses and solves a car's plan; a day more can be asked for.
func (s *Shop) planning(ctx context.Context, carID string, budget money.Amount, more string) (*planning, Terms, bool, error) {
	a, err := s.askedOf(ctx, carID)
	if err != nil {
		return nil, Terms{}, false, err
	}
	t, set, err := s.Terms(ctx)
	if err != nil {
		return nil, t, set, err
	}
	var days []string
	if more != "" {
		days = []string{more}
	}
	pr, err := s.pricing(ctx, a.page.Car, t, set)
	if err != nil {
		return nil, t, set, err
	}
	p, err := s.pose(a, weightsOf(t, set, budget), pr, days)
	if err == nil && len(p.problem.Jobs) > 0 {
		err = p.solve(ctx, s.patience)
	}
	return p, t, set, err
}

// plannedVisit puts one visit's bill into words.
func (s *Shop) plannedVisit(p *planning, v *visit.VisitBill) (PlannedVisit, error) {
	x := PlannedVisit{PlanDay: p.days[v.Visit], Minutes: v.Labour}
	place := map[int]int{}
	var doings []work.Doing
	var priced []Want
	for n, j := range v.Jobs {
		place[j] = n
		w := p.placedWant(p.jobs[j])
		s.nameWith(&w)
		w.Pinned, w.Here = p.problem.Jobs[j].Pin >= 0, p.here(j)
		x.Wants = append(x.Wants, w)
		doings = append(doings, work.Doing{Job: w.Job, At: w.At})
		if w.From != FromFollowUp {
			priced = append(priced, w.Want)
		}
		if w.From != FromFollowUp && s.cat.Work[w.Job] == nil {
			x.Unknown = append(x.Unknown, w.Name)
		}
	}
	for _, k := range v.Setups {
		u := PlannedSetup{Name: p.problem.Setups[k].ID, Minutes: p.problem.Setups[k].Labour}
		for _, j := range v.Jobs {
			if slices.Contains(p.problem.Jobs[j].Setups, k) {
				u.Of = append(u.Of, place[j])
			}
		}
		u.Saved = u.Minutes * (len(u.Of) - 1)
		x.Setups = append(x.Setups, u)
	}
	if p.pricing != nil {
		cost, err := p.pricing.visit(priced)
		x.Cost, x.Lacks = cost.toPay, cost.missing
		return x, err
	}
	for _, k := range work.Pick(s.cat, doings, p.asked.page.Facets) {
		if part := s.cat.Parts[k.Part]; part != nil && !k.Maybe && !part.Sundry {
			x.Lacks = appendOnce(x.Lacks, lowerName(part.Name))
		}
	}
	return x, nil
}

// nameWith turns the jobs that are done on the way into names.
func (s *Shop) nameWith(w *PlannedWant) {
	for i, id := range w.With {
		if j := s.cat.Jobs[id]; j != nil {
			w.With[i] = j.Name
		}
	}
}

// here says why a job stands where it stands.
func (p *planning) here(j int) string {
	r := visit.Explain(p.problem, p.plan.At, j)
	if r.Visit < 0 {
		return ""
	}
	x := &p.asked.list[p.jobs[j]].ask
	text := ""
	switch {
	case x.Must:
		text = "It must not wait."
	case r.Pinned:
		text = "You put it here."
	case !x.Hard.IsZero():
		text = "It must be done by " + later(x.Hard, p.asked.today).Format("2 January 2006") + "."
	}
	if len(r.With) > 0 {
		text = sentence(text, p.shares(&r))
	} else if r.SavedVisit > 0 {
		text = sentence(text, "Others are done on that day anyway: it needs no visit of its own.")
	} else if p.days[r.Visit].In {
		text = sentence(text, "The car is in on that day anyway.")
	}
	text = sentence(text, p.earlyLate(j, r.Visit))
	if r.Best >= 0 && r.More > 0.5 && !r.Pinned && !x.Must {
		text = sentence(text, fmt.Sprintf("The next best is %s, which weighs %s more.", p.dayWords(r.Best), p.weights.words(r.More)))
	}
	return text
}

// dayWords names a visit within a sentence.
func (p *planning) dayWords(v int) string {
	if v == 0 {
		return "at once"
	}
	return lowerName(p.days[v].Name)
}

// shares: "With renew the brake pads, front axle: shares on the lift and front wheels off, saves 22 minutes."
func (p *planning) shares(r *visit.Reason) string {
	var with, what []string
	for i, w := range r.With {
		if i < 2 {
			with = append(with, lowerName(p.problem.Jobs[w.Job].ID))
		}
		for _, k := range w.Setups {
			what = appendOnce(what, lowerName(p.problem.Setups[k].ID))
		}
	}
	if n := len(r.With) - len(with); n > 0 {
		with = append(with, fmt.Sprintf("%d more", n))
	}
	return fmt.Sprintf("With %s: shares %s, saves %d minutes.", listed(with), listed(what), r.SavedLabour)
}

// earlyLate says what the day means for the part's life, and how probable it is that it falls due before.
func (p *planning) earlyLate(j, v int) string {
	x, t := &p.asked.list[p.jobs[j]].ask, float64(p.dayOf(v))
	text := ""
	if lost := x.Lost(t); lost >= 10 {
		text = "Unused life lost: " + span(lost) + "."
	}
	switch chance := x.When.Chance(t - 1); {
	case x.When.From == x.When.To && t > x.When.Mid:
		text = sentence(text, "That is "+span(t-x.When.Mid)+" after it falls due.")
	case x.When.From < x.When.To && chance >= 0.005 && chance < 0.995:
		text = sentence(text, fmt.Sprintf("In %.0f of 100 such cars it is due before.", math.Max(1, math.Round(chance*100))))
	}
	return text
}

// span writes a number of days for people.
func span(days float64) string {
	if months := math.Round(days / 30.44); months >= 2 {
		return fmt.Sprintf("%.0f months", months)
	}
	if math.Round(days) == 1 {
		return "1 day"
	}
	return fmt.Sprintf("%.0f days", days)
}

// listed joins words: "a, b and c".
func listed(words []string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		text := words[0]
		for _, w := range words[1 : n-1] {
			text += ", " + w
		}
		return text + " and " + words[n-1]
	}
}
