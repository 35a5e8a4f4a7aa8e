package shop

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"unicode/utf8"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
)

// ErrNoTerms says that nothing can be priced yet, as the workshop has not said how it charges.
var ErrNoTerms = errors.New("the workshop has not set its prices and taxes yet")

// Bounds of what can be entered as terms.
const (
	mostTaxes   = 6
	mostRate    = 10_000_000_000 // minor units of a single price, so that a price times any quantity of a job stays countable
	wholeRate   = 1_000_000      // 100 %
	mostValid   = 365            // days
	mostRemind  = 365            // days
	mostVisit   = 10_000         // minutes
	addressRows = 6
)

// Terms gives how the workshop charges and works; set is false while nothing was saved.
func (s *Shop) Terms(ctx context.Context) (t Terms, set bool, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		k, err := termsNow(ctx, r)
		t, set = k.Said, k.ID != ""
		return err
	})
	return t, set, err
}

// termsNow gives the terms that count; without an id when nothing was saved.
func termsNow(ctx context.Context, r Reader) (Kept[Terms], error) {
	list, err := records[Terms](ctx, r, RecordFilter{Kind: KindTerms, Last: true, Limit: 1})
	if err != nil || len(list) == 0 {
		return Kept[Terms]{}, err
	}
	return list[0], nil
}

// TermsHistory gives what was saved as terms, newest first, at most so many.
func (s *Shop) TermsHistory(ctx context.Context, limit int) (list []Kept[Terms], err error) {
	err = s.store.View(ctx, func(r Reader) error {
		list, err = records[Terms](ctx, r, RecordFilter{Kind: KindTerms, Last: true, Limit: limit})
		return err
	})
	return list, err
}

// SuggestedTerms is what the empty form offers. Nothing of it counts before it is saved; the tax has no rate, as that is the law's
// where the workshop is.
func SuggestedTerms() Terms {
	return Terms{ValidDays: 14, VisitMinutes: 480, RemindDays: 21,
		Estimate:  estimate.Terms{Taxes: []estimate.Tax{{ID: "tax", Name: "Tax"}}},
		LabourTax: "tax", PartsTax: "tax"}
}

// SaveTerms keeps how the workshop charges and works from now on. Terms that can't be charged by are Invalid, field by field; so is
// leaving out a tax that the price list names. The same form sent twice is stored once.
func (s *Shop) SaveTerms(ctx context.Context, id, by string, t Terms) error {
	if bad := t.problems(); len(bad) > 0 {
		return bad
	}
	rec, err := s.record(id, KindTerms, "", "", by, t)
	if err != nil {
		return err
	}
	return s.store.Update(ctx, func(w Writer) error {
		list, err := pricesNow(ctx, w)
		if err != nil {
			return err
		}
		if bad := taxesOf(&list.Said, &t); len(bad) > 0 {
			return bad
		}
		_, err = w.Put(ctx, Fact{Record: &rec})
		return err
	})
}

// taxesOf finds prices that name a tax which the terms don't have. A list in another currency does not count, so it keeps nothing.
func taxesOf(list *PriceList, t *Terms) (bad Invalid) {
	if list.Currency != t.Estimate.Currency.Code {
		return nil
	}
	gone := map[string]int{}
	for _, p := range list.Prices {
		if p.Tax != "" && !t.hasTax(p.Tax) {
			gone[p.Tax]++
		}
	}
	for _, id := range slices.Sorted(maps.Keys(gone)) {
		bad = append(bad, FieldError{Field: "taxes", Text: fmt.Sprintf("The price list has %s with the tax %q. Keep that tax, or import a list without it first.", howMany(gone[id], "price"), id)})
	}
	return bad
}

// hasTax reports whether a tax of that id is among the terms.
func (t *Terms) hasTax(id string) bool {
	return slices.ContainsFunc(t.Estimate.Taxes, func(x estimate.Tax) bool { return x.ID == id })
}

// check refuses terms that can't be charged by.
func (t *Terms) check() error {
	if bad := t.problems(); len(bad) > 0 {
		return errors.Join(errors.New("terms"), bad)
	}
	return nil
}

var taxID = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,19}$`)

// problems finds what keeps the terms from being charged by, field by field.
func (t *Terms) problems() (bad Invalid) {
	add := func(wrong bool, field, format string, args ...any) {
		if wrong {
			bad = append(bad, FieldError{Field: field, Text: fmt.Sprintf(format, args...)})
		}
	}
	c := t.Estimate.Currency
	known, ok := money.Known(c.Code)
	add(!ok || known != c, "currency", "The currency %q with %d decimals is not known here.", c.Code, c.Exponent)
	bad = append(bad, t.taxProblems()...)
	add(t.Estimate.Round < 0 || t.Estimate.Round > 100_000, "round", "The total can be rounded to at most 100 000 minor units.")
	add(t.HourRate <= 0, "hour-rate", "An hour of labour must cost something.")
	add(t.HourRate > mostRate, "hour-rate", "This is more than an hour can cost.")
	add(t.SundriesRate < 0 || t.SundriesRate > wholeRate, "sundries-rate", "Sundries are %s of the labour; expected 0 to 100 %%.", t.SundriesRate.Percent())
	add(t.SundriesMost < 0 || t.SundriesMost > mostRate, "sundries-most", "The most for sundries can't be below 0 or that large.")
	add(t.ValidDays < 1 || t.ValidDays > mostValid, "valid-days", "Estimates can be valid for 1 to %d days, not %d.", mostValid, t.ValidDays)
	add(t.VisitMinutes < 1 || t.VisitMinutes > mostVisit, "visit-minutes", "A visit can hold 1 to %d minutes of labour, not %d.", mostVisit, t.VisitMinutes)
	add(t.VisitCost < 0 || t.VisitCost > mostRate, "visit-cost", "The cost of a visit can't be below 0 or that large.")
	add(t.RemindDays < 0 || t.RemindDays > mostRemind, "remind-days", "Owners can be reminded 0 to %d days ahead, not %d.", mostRemind, t.RemindDays)
	add(len(t.Address) > addressRows, "address", "An address of %d lines is too long; expected at most %d.", len(t.Address), addressRows)
	for _, row := range t.Address {
		add(utf8.RuneCountInString(row) > 80, "address", "The line %q is longer than 80 characters.", row)
	}
	return bad
}

func (t *Terms) taxProblems() (bad Invalid) {
	add := func(wrong bool, field, format string, args ...any) {
		if wrong {
			bad = append(bad, FieldError{Field: field, Text: fmt.Sprintf(format, args...)})
		}
	}
	add(len(t.Estimate.Taxes) == 0, "taxes", "Enter at least one tax; a workshop that charges none enters one of 0 %%.")
	add(len(t.Estimate.Taxes) > mostTaxes, "taxes", "%d taxes are too many; expected at most %d.", len(t.Estimate.Taxes), mostTaxes)
	seen := map[string]bool{}
	for i, x := range t.Estimate.Taxes {
		field := fmt.Sprintf("tax-id-%d", i)
		add(!taxID.MatchString(x.ID), field, "%q is no short name of a tax; expected small letters, digits and hyphens.", x.ID)
		add(seen[x.ID], field, "The tax %q stands there twice.", x.ID)
		seen[x.ID] = true
		field = fmt.Sprintf("tax-name-%d", i)
		add(x.Name == "", field, "Enter the tax's name as it stands on estimates.")
		add(utf8.RuneCountInString(x.Name) > 40, field, "The tax's name is longer than 40 characters.")
		add(x.Rate < 0 || x.Rate > wholeRate, fmt.Sprintf("tax-rate-%d", i), "%s is no tax rate; expected 0 to 100 %%.", x.Rate.Percent())
	}
	add(!t.hasTax(t.LabourTax), "labour-tax", "There is no tax %q for labour.", t.LabourTax)
	add(!t.hasTax(t.PartsTax), "parts-tax", "There is no tax %q for parts.", t.PartsTax)
	return bad
}
