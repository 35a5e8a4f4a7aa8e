package shop

import (
	"context"

	"witnessmark/core/estimate"
)

// Agreed is what an owner agreed to: the very version that was shown, and the answer.
type Agreed struct {
	Car      CarVersion
	Draft    Kept[EstimateDraft]
	Decision Kept[Decision]
	// Accepted are the items that were accepted, in the estimate's order; empty when none was.
	Accepted []estimate.Item
	// ReplacedBy is the id of a later decision on the same estimate, which counts instead; empty for none.
	ReplacedBy string
}

// Agreed gives what a decision agreed to, a replaced one too; ErrNotFound when there is none.
func (s *Shop) Agreed(ctx context.Context, decisionID string) (a *Agreed, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		a, err = s.agreed(ctx, r, decisionID)
		return err
	})
	return a, err
}

func (s *Shop) agreed(ctx context.Context, r Reader, decisionID string) (*Agreed, error) {
	rec, err := recordOf(ctx, r, KindDecision, decisionID)
	if err != nil {
		return nil, err
	}
	d, err := kept[Decision](rec)
	if err != nil {
		return nil, err
	}
	car, err := answersOf(ctx, r, rec.CarID)
	if err != nil {
		return nil, err
	}
	return agreedOf(ctx, r, d, car)
}

// Agreements lists what was agreed to, in order of arrival: the last answer to each estimate, where anything was accepted. The filter
// narrows the decisions; its Kind is set.
func (s *Shop) Agreements(ctx context.Context, f RecordFilter) (out []*Agreed, err error) {
	f.Kind = KindDecision
	err = s.store.View(ctx, func(r Reader) error {
		list, err := records[Decision](ctx, r, f)
		if err != nil {
			return err
		}
		cars := map[string][]*answer{}
		for _, d := range list {
			if _, ok := cars[d.CarID]; !ok {
				if cars[d.CarID], err = answersOf(ctx, r, d.CarID); err != nil {
					return err
				}
			}
			a, err := agreedOf(ctx, r, d, cars[d.CarID])
			if err != nil {
				return err
			}
			if a.ReplacedBy == "" && len(a.Accepted) > 0 {
				out = append(out, a)
			}
		}
		return nil
	})
	return out, err
}

func agreedOf(ctx context.Context, r Reader, d Kept[Decision], car []*answer) (*Agreed, error) {
	a := &Agreed{Decision: d}
	for _, x := range car {
		switch {
		case x.Decision.ID == d.ID:
			a.Draft = x.Draft
		case a.Draft.ID != "" && x.Draft.Said.Estimate.Number == a.Draft.Said.Estimate.Number:
			a.ReplacedBy = x.Decision.ID
		}
	}
	for _, it := range a.Draft.Said.Estimate.Items {
		if d.Said.Accepted(it.ID) {
			a.Accepted = append(a.Accepted, it)
		}
	}
	var err error
	a.Car, err = r.Car(ctx, d.CarID)
	return a, err
}

// answersOf lists the decisions on a car in order of arrival, or on all cars.
func answersOf(ctx context.Context, r Reader, carID string) ([]*answer, error) {
	list, err := records[Decision](ctx, r, RecordFilter{Kind: KindDecision, CarID: carID})
	if err != nil {
		return nil, err
	}
	out := make([]*answer, len(list))
	for i, d := range list {
		if out[i], err = answerOf(ctx, r, d); err != nil {
			return nil, err
		}
	}
	return out, nil
}
