package shop

import (
	"context"
	"errors"

	"witnessmark/core/estimate"
	"witnessmark/core/work"
)

// Elsewhere is an item of an estimate whose work another estimate of the same car holds too: it is agreed there and still to be done, or it
// was done there since this estimate was made.
type Elsewhere struct {
	// Item is the id of this estimate's item.
	Item string
	// Number is the other estimate's; Place counts its items from 1, and Name is the item's name there.
	Number string
	Place  int
	Name   string
	// DecisionID is the answer that agreed to it.
	DecisionID string
	// DoneOn is the day on which it was done; empty while it is still to be done.
	DoneOn string
}

// Elsewhere lists what of a version of an estimate other estimates of its car hold too, in the order of its items.
func (s *Shop) Elsewhere(ctx context.Context, d Kept[EstimateDraft]) (out []Elsewhere, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		out, err = s.elsewhere(ctx, r, d)
		return err
	})
	return out, err
}

func (s *Shop) elsewhere(ctx context.Context, r Reader, d Kept[EstimateDraft]) (out []Elsewhere, err error) {
	e := &d.Said.Estimate
	list, err := agreements(ctx, r, d.CarID)
	if err != nil {
		return nil, err
	}
	since := int64(-1) // asked for only when something was done
	for i := range e.Items {
		for _, a := range list {
			if a.Draft.Said.Estimate.Number == e.Number {
				continue
			}
			if a.close != nil && since < 0 {
				if since, err = madeAt(ctx, r, d); err != nil {
					return nil, err
				}
			}
			if x, ok := s.heldBy(&e.Items[i], a, since); ok {
				out = append(out, x)
			}
		}
	}
	return out, nil
}

// heldBy tells how an agreement holds an item's work; false when it does not. What was done before since is another time's work.
func (s *Shop) heldBy(it *estimate.Item, a *agreement, since int64) (Elsewhere, bool) {
	if a.close != nil && a.close.Seq < since {
		return Elsewhere{}, false
	}
	for i, o := range a.Draft.Said.Estimate.Items {
		if !a.Decision.Said.Accepted(o.ID) || !s.doneBy(it, &o) {
			continue
		}
		x := Elsewhere{Item: it.ID, Number: a.Draft.Said.Estimate.Number, Place: i + 1, Name: o.Name, DecisionID: a.Decision.ID}
		if a.close != nil {
			if !a.close.Said.did(o.ID) {
				continue
			}
			x.DoneOn = a.close.Said.On
		}
		return x, true
	}
	return Elsewhere{}, false
}

// doneBy reports whether the work of an item is done once another's is: it is the same, or done on its way.
func (s *Shop) doneBy(it, other *estimate.Item) bool {
	return sameDoing(it, other) || it.Job != "" && work.Covers(s.cat, work.Doing{Job: other.Job, At: other.At}, work.Doing{Job: it.Job, At: it.At})
}

// madeAt is when an estimate was made: the arrival of its first version.
func madeAt(ctx context.Context, r Reader, d Kept[EstimateDraft]) (int64, error) {
	first, err := draftVersion(ctx, r, d.Said.Estimate.Number, 1)
	if errors.Is(err, ErrNotFound) {
		return d.Seq, nil
	}
	return first.Seq, err
}

// did reports whether an item was done.
func (c *CloseOut) did(item string) bool {
	for i := range c.Items {
		if c.Items[i].Item == item {
			return c.Items[i].Done
		}
	}
	return false
}
