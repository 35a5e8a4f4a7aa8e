package shop

import (
	"context"
	"fmt"
	"slices"
	"sort"
	"strings"

	"witnessmark/core/judge"
	"witnessmark/core/point"
	"witnessmark/core/verdict"
)

// Report tells the owner of one round.
func (s *Shop) Report(ctx context.Context, roundID string) (*Report, error) {
	j, err := s.Findings(ctx, roundID)
	if err != nil {
		return nil, err
	}
	r := s.report(j)
	o, err := s.outlookThen(ctx, j.Round)
	if err != nil {
		return nil, err
	}
	r.Ahead, r.NextLook = s.Ahead(o), s.NextLookWords(o)
	r.dateLooks()
	return r, nil
}

func (s *Shop) report(j *Judged) *Report {
	r := &Report{Workshop: s.name, Car: j.Car, Round: j.Round, ByWords: j.Round.By, Catalogue: s.cat.Version, NotApplicable: len(j.Result.NotApplicable),
		Places: j.Result.Places, Looked: j.Result.Looked}
	type key struct {
		point   string
		verdict verdict.Verdict
	}
	index := map[key]int{}
	sound := map[string]bool{}
	asks := map[string]bool{}
	for _, f := range j.Result.Findings {
		switch f.Verdict {
		case verdict.Sound:
			if !sound[f.Point.OwnerName] {
				sound[f.Point.OwnerName] = true
				r.Sound = append(r.Sound, f.Point.OwnerName)
			}
			continue
		case verdict.Unjudged:
			r.Unjudged = append(r.Unjudged, ReportLine{withWhere(f.Point.OwnerName, f.Where), f.Why})
			continue
		}
		asks[f.Point.OwnerName] = true
		k := key{f.Point.ID, f.Verdict}
		at, ok := index[k]
		if !ok {
			at = len(r.Sections)
			index[k] = at
			r.Sections = append(r.Sections, s.section(j, f))
		}
		r.Sections[at].add(s, j, f)
	}
	// A thing that asks for something at one corner is not also told as sound.
	kept := r.Sound[:0]
	for _, name := range r.Sound {
		if !asks[name] {
			kept = append(kept, name)
		}
	}
	r.Sound = kept
	r.NotLooked = notLooked(j.Result.NotLooked)
	return r
}

func (s *Shop) section(j *Judged, f judge.Finding) ReportSection {
	sec := ReportSection{Title: f.Point.OwnerName, Verdict: f.Verdict, Means: f.Means, Wait: f.Wait, ByWhen: byWhen(f.Verdict), Recheck: f.Recheck}
	if f.Limit != nil {
		sec.Limit = limitWords(j.Car, f.Limit) + ": " + f.Limit.Source
	} else if f.Source != "" {
		sec.Limit = upperFirst(f.Source)
	}
	if f.Category != "" {
		sec.Category = strings.TrimSpace(f.Regulation + ": " + f.Category)
	}
	for _, p := range j.Photos {
		if p.Point == f.Point.ID {
			sec.Photos = append(sec.Photos, p.Hash)
		}
	}
	return sec
}

// add joins another finding of the same point and verdict.
func (sec *ReportSection) add(s *Shop, j *Judged, f judge.Finding) {
	sec.Findings = append(sec.Findings, f)
	sec.Saw = saw(sec.Findings)
	for _, id := range f.Jobs {
		sec.ToDo = appendOnce(sec.ToDo, s.JobWords(f, id))
	}
	for _, c := range f.Cautions {
		sec.Cautions = appendOnce(sec.Cautions, c)
	}
	if sec.Recheck == "" {
		sec.Recheck = f.Recheck
	}
}

// JobWords names a job of a finding with what it takes on this car: "Renew the coolant (ethylene glycol concentrate: 3.6 L ...)".
func (s *Shop) JobWords(f judge.Finding, id string) string {
	name := id
	if job := s.cat.Jobs[id]; job != nil {
		name = job.Name
	}
	var takes []string
	for _, q := range f.Quantities {
		if q.Job == id && q.Litres != nil {
			takes = append(takes, q.What+": "+q.Words)
		}
	}
	if len(takes) == 0 {
		return name
	}
	return name + " (" + strings.Join(takes, "; ") + ")"
}

// limitWords writes a limit the owner's way: "1.6 mm at the least".
func limitWords(c CarVersion, l *judge.LimitShown) string {
	side := "at the most"
	if l.Falls {
		side = "at the least"
	}
	return judge.Amount(l.Value, l.Unit, system(c)) + " " + side
}

// withWhere joins a name and a place in words.
func withWhere(name, where string) string {
	switch {
	case where == "":
		return name
	case name == "":
		return upperFirst(where) + ": "
	}
	return name + ", " + where
}

// byWhen says in words how long a verdict can wait (practice).
func byWhen(v verdict.Verdict) string {
	switch v {
	case verdict.Unsafe:
		return "Before the car is driven again."
	case verdict.Overdue:
		return "Now, at this visit. It is past its limit."
	case verdict.Due:
		return "Within 30 days or 1 000 km, at this visit if you can."
	case verdict.Watch:
		return "Nothing now. We look at it again at the next seasonal check."
	}
	return ""
}

// notReached is what an owner reads for places that nobody gave a reason for.
const notReached = "not reached this time"

// manyNames is how many things a reason lists by name; beyond that an owner is told how many in each part of the car.
const manyNames = 15

// notLooked joins places that were not looked at for the same reason. Reasons that somebody gave come before what was
// simply not reached.
func notLooked(ns []judge.NotLooked) []ReportLine {
	var order []string
	by := map[string][]*point.Point{}
	for _, n := range ns {
		reason := n.Reason
		if reason == "no reading" {
			reason = notReached
		}
		if _, ok := by[reason]; !ok {
			order = append(order, reason)
		}
		if !slices.Contains(by[reason], n.Point) {
			by[reason] = append(by[reason], n.Point)
		}
	}
	sort.SliceStable(order, func(i, j int) bool { return order[i] != notReached && order[j] == notReached })
	out := make([]ReportLine, 0, len(order))
	for _, reason := range order {
		out = append(out, ReportLine{namesOf(by[reason]), reason})
	}
	return out
}

// namesOf lists points as owners call them, or counts them by part of the car when they are many.
func namesOf(points []*point.Point) string {
	var names []string
	count := map[string]int{}
	for _, p := range points {
		names = appendOnce(names, p.OwnerName)
		count[p.Group]++
	}
	if len(names) <= manyNames {
		return strings.Join(names, ", ")
	}
	var parts []string
	for _, g := range point.Groups {
		if n := count[g]; n > 0 {
			parts = append(parts, fmt.Sprintf("%s (%d)", itemName(g), n))
		}
	}
	return fmt.Sprintf("%d points: %s", len(points), strings.ToLower(strings.Join(parts, ", ")))
}

func appendOnce(list []string, s string) []string {
	for _, x := range list {
		if x == s {
			return list
		}
	}
	return append(list, s)
}
