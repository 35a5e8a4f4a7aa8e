package shop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"witnessmark/core/estimate"
	"witnessmark/core/judge"
	"witnessmark/core/round"
	"witnessmark/core/verdict"
	"witnessmark/core/work"
)

// MakeDraft makes an estimate of what a car asks for, for a visit on a day (empty is today), and gives its number. It is ErrNoTerms
// while the workshop has not set its prices and taxes, Invalid for a day that is none. Sent twice it is made once.
func (s *Shop) MakeDraft(ctx context.Context, carID, id, by, visitOn string) (number string, err error) {
	if visitOn == "" {
		visitOn = s.today()
	}
	if _, err := time.Parse(dayLayout, visitOn); err != nil {
		return "", Invalid{{Field: "visit", Text: "Enter a day such as 2026-03-21."}}
	}
	d, err := s.firstDraft(ctx, carID, visitOn)
	if err != nil {
		return "", err
	}
	err = s.store.Update(ctx, func(w Writer) error {
		same, err := sameDraft(ctx, w, id, "")
		switch {
		case err == nil && same.CarID != carID:
			return ErrConflict
		case err == nil:
			number = same.Said.Estimate.Number
			return nil
		case !errors.Is(err, ErrNotFound):
			return err
		}
		if number, err = s.newNumber(ctx, w); err != nil {
			return err
		}
		d.Estimate.Number = number
		if err := estimate.Check(d.Estimate); err != nil {
			return draftProblems(err)
		}
		_, err = s.putDraft(ctx, w, id, carID, by, d)
		return err
	})
	return number, err
}

// newNumber gives the next number of the year: 2026-0001.
func (s *Shop) newNumber(ctx context.Context, r Reader) (string, error) {
	name := func(n int) string { return fmt.Sprintf("%s-%04d", s.now().Format("2006"), n) }
	n, err := lastHeld(func(n int) (bool, error) { return hasOnce(ctx, r, name(n), 1) })
	return name(n + 1), err
}

// firstDraft puts together the first version of an estimate, without its number.
func (s *Shop) firstDraft(ctx context.Context, carID, visitOn string) (d EstimateDraft, err error) {
	car, err := s.Car(ctx, carID)
	if err != nil {
		return d, err
	}
	terms, set, err := s.Terms(ctx)
	if err != nil {
		return d, err
	}
	if !set {
		return d, ErrNoTerms
	}
	prices, err := s.Prices(ctx)
	if err != nil {
		return d, err
	}
	wants, err := s.draftWants(ctx, carID)
	if err != nil {
		return d, err
	}
	e := estimate.Estimate{Version: 1, Workshop: s.letterhead(terms), Car: s.carLines(car), Owner: car.Owner.Name, VisitOn: visitOn, Terms: terms.Estimate,
		ValidUntil: s.now().AddDate(0, 0, terms.ValidDays).Format(dayLayout)}
	if e.Items, e.Shared, err = s.drafting(car, terms, prices).items(wants); err != nil {
		return d, Invalid{{Field: "estimate", Text: upperFirst(err.Error()) + "."}}
	}
	d = EstimateDraft{Estimate: e, Did: "made"}
	if i := slices.IndexFunc(wants, func(w Want) bool { return w.RoundID != "" }); i >= 0 {
		d.RoundID = wants[i].RoundID
	}
	return d, nil
}

// drafting is what is needed to price work on a car.
func (s *Shop) drafting(car CarVersion, terms Terms, prices *PriceList) *drafting {
	facets, families := s.FacetsOf(car), s.FamiliesOf(car)
	specs := round.WithFamilies(s.cat, facets, s.judgedCar(car, 0, nil).Specs)
	return &drafting{cat: s.cat, facets: facets, terms: terms,
		litres: func(spec string) (float64, bool) {
			x, ok := specs[spec].Numbers[""]
			return x, ok
		},
		price: func(part string) (Price, bool) { return PriceFor(prices, part, car, families) }}
}

// letterhead is what stands at the head for the workshop.
func (s *Shop) letterhead(t Terms) []string {
	var out []string
	for _, l := range append([]string{s.name}, t.Address...) {
		if l = squeeze(l); l != "" {
			out = append(out, l)
		}
	}
	return out
}

// carLines is what stands at the head for the car.
func (s *Shop) carLines(c CarVersion) []string {
	out := []string{c.Plate}
	if c.Description != "" {
		out = append(out, c.Description)
	}
	if c.VIN != "" {
		out = append(out, "VIN "+c.VIN)
	}
	return out
}

// draftWants lists the doings that the car's newest round asks for; none when there is no round.
func (s *Shop) draftWants(ctx context.Context, carID string) ([]Want, error) {
	var rounds []RoundFact
	err := s.store.View(ctx, func(r Reader) (err error) {
		rounds, err = r.Rounds(ctx, carID)
		return err
	})
	if err != nil || len(rounds) == 0 {
		return nil, err
	}
	j, err := s.Findings(ctx, rounds[0].ID)
	if err != nil {
		return nil, err
	}
	return s.findingWants(j), nil
}

// findingWants turns what a round found due into doings, what other jobs do on their way left out, worst first.
func (s *Shop) findingWants(j *Judged) []Want {
	var all []Want
	for _, sec := range s.report(j).Sections {
		if verdict.Due.Worse(sec.Verdict) {
			continue
		}
		for _, f := range sec.Findings {
			for _, job := range f.Jobs {
				for _, d := range work.Doings(s.cat, []work.Want{{Job: job, At: f.At}}) {
					all = append(all, s.findingWant(j, sec, f, d))
				}
			}
		}
	}
	all = eachOnce(all)
	var doings []work.Doing
	for _, w := range all {
		doings = append(doings, work.Doing{Job: w.Job, At: w.At})
	}
	_, folded := work.Fold(s.cat, doings)
	return foldWants(all, folded)
}

// findingWant is one doing that a finding asks for.
func (s *Shop) findingWant(j *Judged, sec ReportSection, f judge.Finding, d work.Doing) Want {
	w := Want{Job: d.Job, At: d.At, Name: withWhere(d.Job, d.At), From: FromFinding, RoundID: j.Round.ID, Wait: sec.Wait, Verdict: sec.Verdict,
		Category: sec.Category, Must: sec.Verdict == verdict.Unsafe, Quantities: f.Quantities}
	if job := s.cat.Jobs[d.Job]; job != nil {
		w.Name = withWhere(job.Name, d.At)
	}
	w.Why = strings.Join(append([]string{sec.Title + ":"}, sec.Saw...), " ")
	return w
}

// foldWants takes out what another doing does on its way, and lets that one carry its reasons.
func foldWants(all []Want, folded []work.Folded) []Want {
	find := func(d work.Doing) int {
		return slices.IndexFunc(all, func(w Want) bool { return w.Job == d.Job && w.At == d.At })
	}
	into := map[work.Doing]work.Doing{}
	for _, f := range folded {
		into[f.Doing] = f.Into
	}
	last := func(d work.Doing) work.Doing { // what is folded into something folded goes where that goes
		for range folded {
			next, ok := into[d]
			if !ok {
				break
			}
			d = next
		}
		return d
	}
	gone := make([]bool, len(all))
	for _, f := range folded {
		from, into := find(f.Doing), find(last(f.Into))
		if from < 0 || into < 0 {
			continue
		}
		gone[from] = true
		carry := all[from]
		carry.Job, carry.At, carry.Quantities = all[into].Job, all[into].At, nil
		all[into] = eachOnce([]Want{all[into], carry})[0]
	}
	var out []Want
	for i, w := range all {
		if !gone[i] {
			out = append(out, w)
		}
	}
	return out
}
