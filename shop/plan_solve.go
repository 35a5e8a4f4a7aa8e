package shop

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"witnessmark/core/visit"
)

// solve searches the plan. Where nothing holds everything, placements by hand are let go first, then the least urgent of what
// contradicts is set aside, and both are said.
func (p *planning) solve(ctx context.Context, patience time.Duration) error {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	o := visit.Options{Stop: func() bool { return ctx.Err() != nil }}
	for range 2*len(p.problem.Jobs) + 1 {
		var err error
		if p.plan, err = visit.Solve(p.problem, o); err != nil {
			return err
		}
		switch p.plan.Status {
		case visit.Optimal, visit.Feasible:
			return nil
		case visit.Unknown:
			p.byDay()
			return nil
		}
		p.giveWay()
	}
	return fmt.Errorf("plan: %d jobs can't be planned", len(p.problem.Jobs))
}

// giveWay drops one placement or one want from what contradicts.
func (p *planning) giveWay() {
	blocked := visit.Blocked{Why: "they don't fit together"}
	for j := range p.problem.Jobs {
		blocked.Jobs = append(blocked.Jobs, j)
	}
	if len(p.plan.Unplaceable) > 0 && len(p.plan.Unplaceable[0].Jobs) > 0 {
		blocked = p.plan.Unplaceable[0]
	}
	for _, j := range blocked.Jobs {
		if job := &p.problem.Jobs[j]; job.Pin >= 0 {
			p.notes = append(p.notes, fmt.Sprintf("%s can't stay on %s: %s. It is planned anew.", job.ID, p.dayWords(job.Pin), blocked.Why))
			job.Pin = -1
			return
		}
	}
	last := slices.Max(blocked.Jobs) // wants stand worst first
	reason := upperFirst(blocked.Why) + "."
	if p.asked.list[p.jobs[last]].want.Must {
		reason = sentence("It must not wait, so the limits have to give way, not this.", reason)
	}
	p.unplaced = append(p.unplaced, UnplacedWant{p.placedWant(p.jobs[last]), reason})
	p.problem.Jobs = slices.Delete(p.problem.Jobs, last, last+1)
	p.jobs = slices.Delete(p.jobs, last, last+1)
}

// byDay puts every want on the day that suits it best by itself, where the search has found nothing in time.
func (p *planning) byDay() {
	p.plan = visit.Plan{Status: visit.Feasible, Gap: 1, At: make([]int, len(p.problem.Jobs))}
	for j, job := range p.problem.Jobs {
		best := job.Pin
		for v := range job.Penalty {
			if job.Pin < 0 && (best < 0 || job.Penalty[v] < job.Penalty[best]) && !math.IsInf(job.Penalty[v], 1) {
				best = v
			}
		}
		p.plan.At[j] = best
	}
	bill, err := visit.Price(p.problem, p.plan.At)
	if err != nil || !bill.Feasible {
		p.notes = append(p.notes, "No plan was found in time that holds all limits: every job stands on its own best day.")
	}
}

// placedWant is a want as the plan shows it, without its place.
func (p *planning) placedWant(i int) PlannedWant {
	x := &p.asked.list[i]
	w := PlannedWant{Want: x.want, Key: x.key(), Minutes: p.minutes[i], Reach: p.asked.reach(&x.ask)}
	for _, d := range x.ask.With {
		w.With = append(w.With, d.Job)
	}
	return w
}

func lowerName(text string) string {
	if text == "" || text[0] < 'A' || text[0] > 'Z' {
		return text
	}
	return string(text[0]+'a'-'A') + text[1:]
}
