package shop

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"witnessmark/core/money"
	"witnessmark/core/visit"
)

// maxKey bounds a want's key, in bytes (the project's own).
const maxKey = 300

// PlanMove says what moving a want to another day would mean, by itself and with the best plan around it. Nothing is stored.
func (s *Shop) PlanMove(ctx context.Context, carID, key, on string, budget money.Amount) (*PlanMove, error) {
	if err := s.checkPlanDay(on); err != nil {
		return nil, err
	}
	p, _, _, err := s.planning(ctx, carID, budget, on)
	if err != nil {
		return nil, err
	}
	j := slices.IndexFunc(p.jobs, func(i int) bool { return p.asked.list[i].key() == key })
	v := slices.IndexFunc(p.days, func(d PlanDay) bool { return d.On == on })
	if j < 0 || v < 0 {
		return nil, ErrNotFound
	}
	w := p.placedWant(p.jobs[j])
	s.nameWith(&w)
	m := &PlanMove{Want: w, Day: p.days[v]}
	ctx, cancel := context.WithTimeout(ctx, s.patience)
	defer cancel()
	c := visit.Move(p.problem, p.plan.At, j, v, visit.Options{Stop: func() bool { return ctx.Err() != nil }})
	if c.Err != nil {
		return nil, c.Err
	}
	p.moveWords(m, &c)
	return m, nil
}

// moveWords tells a move's consequence.
func (p *planning) moveWords(m *PlanMove, c *visit.Consequence) {
	m.Fits = c.Fits
	for _, b := range c.Broken {
		m.Words = append(m.Words, upperFirst(b.Why)+".")
	}
	then := c.Replanned.Status == visit.Optimal || c.Replanned.Status == visit.Feasible
	if !c.Fits && (!then || math.IsInf(p.problem.Jobs[c.Job].Penalty[c.Visit], 1)) {
		return
	}
	diff := c.Alone
	if then && (!c.Fits || c.Difference < c.Alone-0.5) {
		m.Fits, diff = true, c.Difference
		for k, at := range c.Replanned.At {
			if k != c.Job && at != p.plan.At[k] {
				m.Words = append(m.Words, fmt.Sprintf("%s then moves to %s.", p.problem.Jobs[k].ID, p.dayWords(at)))
			}
		}
	}
	m.More = p.weights.amount(diff)
	switch {
	case math.Abs(diff) < 0.5:
		m.Words = append([]string{"It weighs the same as the plan."}, m.Words...)
	case diff > 0:
		m.Words = append([]string{"It weighs " + p.weights.words(diff) + " more than the plan."}, m.Words...)
	default:
		m.Words = append([]string{"It weighs " + p.weights.words(-diff) + " less than the plan."}, m.Words...)
	}
	if text := p.earlyLate(c.Job, c.Visit); text != "" {
		m.Words = append(m.Words, text)
	}
}

// checkPlanDay refuses what is no day, or none that can be planned.
func (s *Shop) checkPlanDay(on string) error {
	today := day(s.today())
	d, err := time.Parse(dayLayout, on)
	switch {
	case err != nil:
		return Invalid{{Field: "on", Text: "Choose a day, such as " + today.Format(dayLayout) + "."}}
	case d.Before(today):
		return Invalid{{Field: "on", Text: "That day is past. Choose today or a later one."}}
	case d.After(today.AddDate(0, planMonths, 0)):
		return Invalid{{Field: "on", Text: "That day lies beyond the two years that are planned."}}
	}
	return nil
}

// Place puts a want on a day, or lets the planner choose again when on is empty. A day beyond what the want allows is Invalid. The same form
// sent twice is stored once.
func (s *Shop) Place(ctx context.Context, id, carID, by, key, on string) error {
	return s.PlaceWithin(ctx, id, carID, by, key, on, 0)
}

// PlaceWithin is Place in the plan that PlanWithin gives for the same budget.
func (s *Shop) PlaceWithin(ctx context.Context, id, carID, by, key, on string, budget money.Amount) error {
	if on != "" {
		m, err := s.PlanMove(ctx, carID, key, on, budget)
		if err != nil {
			return err
		}
		if !m.Fits {
			return Invalid{{Field: "on", Text: m.Want.Name + " can't be put there. " + strings.Join(m.Words, " ")}}
		}
	} else if _, err := s.Car(ctx, carID); err != nil {
		return err
	}
	job, at, _ := strings.Cut(key, "@")
	if job == "" || len(key) > maxKey {
		return ErrNotFound
	}
	rec, err := s.record(id, KindPlaced, carID, "", by, Placed{Job: job, At: at, On: on})
	if err != nil {
		return err
	}
	return s.put(ctx, Fact{Record: &rec})
}

// check refuses a placement that names nothing or no day.
func (p *Placed) check() error {
	if p.Job == "" {
		return fmt.Errorf("placed: no job is named")
	}
	if _, err := time.Parse(dayLayout, p.On); p.On != "" && err != nil {
		return fmt.Errorf("placed: %q is no day", p.On)
	}
	return nil
}
