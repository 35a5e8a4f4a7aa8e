package visit

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// blockedAlone lists the jobs that no visit takes even when nothing else is done there, each with the reason.
func blockedAlone(p Problem, b *board) []Blocked {
	var out []Blocked
	for j := range b.n {
		if !b.anywhere(j) {
			out = append(out, Blocked{Jobs: []int{j}, Why: whyNowhere(p, b, j), Minimal: true})
		}
	}
	return out
}

func (b *board) anywhere(j int) bool {
	for v := range b.m {
		if b.ok[v*b.n+j] {
			return true
		}
	}
	return false
}

// whyNowhere says what keeps a job from every visit.
func whyNowhere(p Problem, b *board, j int) string {
	job := p.Jobs[j]
	early, roomy, rich := false, 0, math.Inf(-1)
	work, money := b.needs(j)
	for v, x := range p.Visits {
		if math.IsInf(job.Penalty[v], 1) || job.Pin >= 0 && job.Pin != v {
			continue
		}
		early = true
		roomy = max(roomy, x.Capacity)
		rich = max(rich, b.budget[v]-x.Fixed)
	}
	which := "the visits within its limit hold"
	if job.Pin >= 0 {
		which = fmt.Sprintf("%s, where it is pinned, holds", p.Visits[job.Pin].ID)
	}
	switch {
	case len(p.Visits) == 0:
		return fmt.Sprintf("%s: there is no visit", job.ID)
	case !early && job.Pin >= 0:
		return fmt.Sprintf("%s is pinned to %s, which is beyond its limit", job.ID, p.Visits[job.Pin].ID)
	case !early:
		return fmt.Sprintf("%s: every visit is beyond its limit", job.ID)
	case work > roomy:
		return fmt.Sprintf("%s takes %s of labour with its set-ups; %s at most %s", job.ID, p.hours(work), which, p.hours(roomy))
	case money > rich:
		return fmt.Sprintf("%s costs %s with its set-ups; the budgets that it may use leave at most %s", job.ID, p.money(money), p.money(max(0, rich)))
	}
	return fmt.Sprintf("%s: no visit within its limit has both the labour and the money for it", job.ID)
}

// whyTogether says what a set of jobs asks of the visits that it may use.
func whyTogether(p Problem, b *board, jobs []int) string {
	var names, places []string
	work, room := 0, 0
	used := make([]bool, b.k)
	for _, j := range jobs {
		names = append(names, p.Jobs[j].ID)
		work += b.work[j]
		for _, s := range b.need[j] {
			if !used[s] {
				used[s] = true
				work += b.setWork[s]
			}
		}
	}
	for v, x := range p.Visits {
		if slices.ContainsFunc(jobs, func(j int) bool { return b.ok[v*b.n+j] }) {
			places = append(places, x.ID)
			room += x.Capacity
		}
	}
	text := fmt.Sprintf("%s cannot all be placed at %s", allOrNamed(names, b.n, "jobs"), allOrNamed(places, b.m, "visits"))
	if work > room {
		return fmt.Sprintf("%s: together they take at least %s of labour, and there is room for %s", text, p.hours(work), p.hours(room))
	}
	return text + ": no way to divide them among these visits keeps to labour, budgets and limits"
}

// allOrNamed names things, or says how many they are where they are all, and more than a reader takes in.
func allOrNamed(names []string, all int, what string) string {
	if len(names) == all && all > 6 {
		return fmt.Sprintf("the %d %s", all, what)
	}
	return strings.Join(names, ", ")
}
