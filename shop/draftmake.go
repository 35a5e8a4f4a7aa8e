package shop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"witnessmark/core/estimate"
	"witnessmark/core/judge"
	"witnessmark/core/money"
)

// MakeDraft makes an estimate of what the plan has for a car until the day of a visit (empty is today), and gives its number. It is ErrNoTerms
// while the workshop has not set its prices and taxes, Invalid for a day that is none. Sent twice it is made once.
func (s *Shop) MakeDraft(ctx context.Context, carID, id, by, visitOn string) (number string, err error) {
	return s.MakeDraftWithin(ctx, carID, id, by, visitOn, 0)
}

// MakeDraftWithin is MakeDraft of the plan that PlanWithin gives for the same budget.
func (s *Shop) MakeDraftWithin(ctx context.Context, carID, id, by, visitOn string, budget money.Amount) (number string, err error) {
	if visitOn == "" {
		visitOn = s.today()
	}
	if _, err := time.Parse(dayLayout, visitOn); err != nil {
		return "", Invalid{{Field: "visit", Text: "Enter a day such as 2026-03-21."}}
	}
	d, err := s.firstDraft(ctx, carID, visitOn, budget)
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
func (s *Shop) firstDraft(ctx context.Context, carID, visitOn string, budget money.Amount) (d EstimateDraft, err error) {
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
	wants, err := s.draftWants(ctx, carID, visitOn, budget)
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
	judged := s.judgedCar(car, -1, nil)
	return &drafting{cat: s.cat, facets: facets, terms: terms,
		takes: func(job string) []judge.Quantity { return judge.Takes(s.cat, judged, job) },
		price: func(part string) (Price, bool) { return PriceFor(prices, part, car, families) }}
}

// letterhead is what stands at the head for the workshop.
func (s *Shop) letterhead(t Terms) []string {
	var out []string
	for _, l := range append([]string{s.name}, t.Address...) {
		if l = squeeze(l); l != "" && !slices.Contains(out, l) { // the name may stand in the address too
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

// draftWants lists what the plan has for the car until a day: what is planned for an earlier one was not done by then. Looks that need
// no yes are left out.
func (s *Shop) draftWants(ctx context.Context, carID, visitOn string, budget money.Amount) ([]Want, error) {
	plan, err := s.PlanWithin(ctx, carID, budget)
	if err != nil {
		return nil, err
	}
	var out []Want
	for _, v := range plan.Visits {
		for _, w := range v.Wants {
			if v.On <= visitOn && w.From != FromFollowUp {
				out = append(out, w.Want)
			}
		}
	}
	return out, nil
}
