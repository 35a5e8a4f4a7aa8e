package shop

import (
	"slices"
	"strings"

	"witnessmark/core/judge"
	"witnessmark/core/verdict"
)

// dueRounds is how many of a car's rounds are judged for findings that nobody answered: those whose readings still count.
const dueRounds = 6

// dueFindings are the things that were found unsafe or past their limit, where nobody has looked since, nothing was renewed and no owner
// answered: one line for each point and round, worst place first.
func (s *Shop) dueFindings(in *dueFacts, o *CarOutlook) []DueLine {
	byRound := map[string][]ReadingFact{}
	for _, m := range in.car.history {
		byRound[m.RoundID] = append(byRound[m.RoundID], m)
	}
	later := map[Place]bool{} // places that were looked at in a later round
	var out []DueLine
	judged := 0
	for _, r := range in.car.rounds { // newest first
		if r.On > in.sight.day {
			continue
		}
		readings := current(byRound[r.ID])
		owned := map[Place]bool{}
		for _, m := range readings {
			if p := (Place{m.Point, m.At}); m.Skipped == "" && !later[p] {
				owned[p] = true
			}
		}
		if len(owned) == 0 {
			continue
		}
		if judged++; judged > dueRounds {
			break
		}
		out = append(out, s.dueOfRound(in, r, readings, owned, later)...)
		for p := range owned {
			later[p] = true
		}
	}
	return out
}

// dueOfRound are the lines of one round: what it found at the places that it was the last to look at.
func (s *Shop) dueOfRound(in *dueFacts, r RoundFact, readings []ReadingFact, owned, later map[Place]bool) []DueLine {
	result := s.judge(in.car.car(), r, readings, in.car.renewals)
	var order []string
	byPoint := map[string][]judge.Finding{}
	for _, f := range result.Findings {
		if f.Point == nil || f.Verdict.Urgency() < verdict.Overdue.Urgency() || !stillCounts(&f, owned, later) ||
			s.renewedSinceFound(in.car, &f, r) || in.dealings.answered(&f, r) {
			continue
		}
		if byPoint[f.Point.ID] == nil {
			order = append(order, f.Point.ID)
		}
		byPoint[f.Point.ID] = append(byPoint[f.Point.ID], f)
	}
	var out []DueLine
	for _, id := range order {
		out = append(out, dueFinding(in.car.car(), r, byPoint[id]))
	}
	return out
}

// stillCounts reports whether nobody has looked again at what a finding speaks of. One that compares several places counts while all of
// its point's places do.
func stillCounts(f *judge.Finding, owned, later map[Place]bool) bool {
	if f.Reading != nil {
		return owned[Place{f.Reading.Point, f.Reading.At}]
	}
	for p := range later {
		if p.Point == f.Point.ID {
			return false
		}
	}
	return true
}

// dueFinding is the line of one point's findings.
func dueFinding(c CarVersion, r RoundFact, fs []judge.Finding) DueLine {
	worst := fs[0]
	var places []string
	for _, f := range fs {
		if f.Verdict.Worse(worst.Verdict) {
			worst = f
		}
		if where := f.Where; where != "" && !slices.Contains(places, where) {
			places = append(places, where)
		}
	}
	where := ""
	if len(places) > 0 {
		where = ", " + strings.Join(places, ", ")
	}
	l := DueLine{ID: "finding/" + r.ID + "/" + worst.Point.ID, Kind: DueFinding, RoundID: r.ID, On: r.On, Must: worst.Verdict == verdict.Unsafe}
	l.What = worst.Point.Name + where
	l.Why = strings.Join(saw(fs), " ")
	l.Sure = "Seen on " + shortDate(day(r.On)) + " and judged " + string(worst.Verdict) + "; no answer of the owner is written down."
	l.Tell = worst.Point.OwnerName + where + ": found on " + plainDay(r.On) + ". " + sinceFound(worst.Verdict)
	if worst.Wait != "" {
		l.Tell += " If you wait: " + lowerWord(worst.Wait)
	}
	return l
}

// sinceFound says what a finding that nobody answered asks for on any later day: a mail is read weeks after the look.
func sinceFound(v verdict.Verdict) string {
	if v == verdict.Unsafe {
		return "Do not drive the car until it is put right."
	}
	return "It was past its limit then: have it done now."
}

// renewedSinceFound reports whether what a finding is about was renewed since its round.
func (s *Shop) renewedSinceFound(f *carFacts, find *judge.Finding, r RoundFact) bool {
	about := s.renewedBy(find.Point)
	return slices.ContainsFunc(f.renewals, func(n RenewalFact) bool {
		return slices.Contains(about, n.Item) && renewalReaches(n.At, find.At) && (n.On > r.On || n.On == r.On && n.Seq > r.Seq)
	})
}
