package shop

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
)

// Terms gives how the workshop charges and works; set is false while nothing was saved.
func (s *Shop) Terms(ctx context.Context) (t Terms, set bool, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		list, err := records[Terms](ctx, r, RecordFilter{Kind: KindTerms, Last: true, Limit: 1})
		if err == nil && len(list) > 0 {
			t, set = list[0].Said, true
		}
		return err
	})
	return t, set, err
}

// SaveTerms keeps how the workshop charges and works from now on. Terms that can't be charged by are Invalid; the same form sent
// twice is stored once.
func (s *Shop) SaveTerms(ctx context.Context, id, by string, t Terms) error {
	if err := t.check(); err != nil {
		return Invalid{{Field: "terms", Text: err.Error()}}
	}
	rec, err := s.record(id, KindTerms, "", "", by, t)
	if err != nil {
		return err
	}
	return s.put(ctx, Fact{Record: &rec})
}

// check finds what keeps the terms from being charged by.
func (t *Terms) check() error {
	var err error
	add := func(bad bool, format string, args ...any) {
		if bad {
			err = errors.Join(err, fmt.Errorf("terms: "+format, args...))
		}
	}
	if e := estimate.CheckTerms(t.Estimate); e != nil {
		err = fmt.Errorf("terms: %w", e)
	}
	for what, id := range map[string]string{"labour": t.LabourTax, "parts": t.PartsTax} {
		add(!slices.ContainsFunc(t.Estimate.Taxes, func(x estimate.Tax) bool { return x.ID == id }), "there is no tax %q for %s", id, what)
	}
	add(t.HourRate <= 0 || t.HourRate > money.Most, "an hour of labour costs nothing, or too much")
	add(t.SundriesRate < 0 || t.SundriesRate > 1_000_000 || t.SundriesMost < 0, "sundries can't be below 0 or above 100 %%")
	add(t.ValidDays < 1 || t.ValidDays > 365, "estimates are valid for %d days; expected 1 to 365", t.ValidDays)
	add(t.VisitMinutes < 1 || t.VisitMinutes > 10_000, "a visit holds %d minutes; expected 1 to 10000", t.VisitMinutes)
	add(t.VisitCost < 0 || t.RemindDays < 0 || t.RemindDays > 365, "the cost of a visit or the days ahead are out of range")
	return err
}
