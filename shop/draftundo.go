package shop

import (
	"context"
	"errors"
	"fmt"

	"witnessmark/core/estimate"
)

// ErrOffered says that a version was put before the owner, and so can't be undone: a change makes a new one.
var ErrOffered = errors.New("this version was put before the owner; change it instead, which asks for a new answer")

// DraftStanding is what became of one version of an estimate.
type DraftStanding struct {
	// Offered is true when it was put before the owner, Ended when every offer of it was taken back, Answered when the owner answered.
	Offered, Ended, Answered bool
}

// draftStanding says what became of a version.
func draftStanding(ctx context.Context, r Reader, recordID string) (st DraftStanding, err error) {
	offers, err := r.Records(ctx, RecordFilter{Kind: KindOffer, Ref: recordID})
	if err != nil || len(offers) == 0 {
		return st, err
	}
	st.Offered, st.Ended = true, true
	for _, o := range offers {
		ends, err := r.Records(ctx, RecordFilter{Kind: KindOfferEnd, Ref: o.ID, Limit: 1})
		if err != nil {
			return st, err
		}
		said, err := r.Records(ctx, RecordFilter{Kind: KindDecision, Ref: o.ID, Limit: 1})
		if err != nil {
			return st, err
		}
		st.Ended = st.Ended && len(ends) > 0
		st.Answered = st.Answered || len(said) > 0
	}
	return st, nil
}

// DraftHistory is an estimate with its earlier versions.
type DraftHistory struct {
	// Versions are oldest first; Steps stand beside them.
	Versions []Kept[EstimateDraft]
	Steps    []DraftStep
	// UndoTo is the version that an undo puts back, 0 when nothing can be undone.
	UndoTo int
}

// DraftStep is what one version changed, and what became of it.
type DraftStep struct {
	Changed []string
	DraftStanding
}

// Now is the version that counts.
func (h *DraftHistory) Now() Kept[EstimateDraft] { return h.Versions[len(h.Versions)-1] }

// Standing is what became of the version that counts.
func (h *DraftHistory) Standing() DraftStanding { return h.Steps[len(h.Steps)-1].DraftStanding }

// Shown is the newest version that was put before the owner, 0 for none.
func (h *DraftHistory) Shown() int {
	for i := len(h.Steps) - 1; i >= 0; i-- {
		if h.Steps[i].Offered {
			return i + 1
		}
	}
	return 0
}

// DraftHistory gives an estimate with all that happened to it; ErrNotFound when there is none of that number.
func (s *Shop) DraftHistory(ctx context.Context, number string) (*DraftHistory, error) {
	var h DraftHistory
	err := s.store.View(ctx, func(r Reader) error {
		for v := 1; ; v++ {
			d, err := draftVersion(ctx, r, number, v)
			if errors.Is(err, ErrNotFound) && v > 1 {
				break
			}
			if err != nil {
				return err
			}
			var step DraftStep
			if step.DraftStanding, err = draftStanding(ctx, r, d.ID); err != nil {
				return err
			}
			if v > 1 {
				step.Changed = estimate.Changes(h.Versions[v-2].Said.Estimate, d.Said.Estimate)
			}
			h.Versions, h.Steps = append(h.Versions, d), append(h.Steps, step)
		}
		to, err := undoTo(h.Now().Said, func(v int) (EstimateDraft, error) { return h.Versions[v-1].Said, nil })
		if err == nil && !h.Standing().Offered {
			h.UndoTo = to
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return &h, nil
}

// undoTo gives the version whose content an undo puts back: the one before the last change that was not undone yet; 0 for none.
func undoTo(now EstimateDraft, at func(version int) (EstimateDraft, error)) (int, error) {
	v := now
	for v.Equals != 0 {
		var err error
		if v, err = at(v.Equals); err != nil {
			return 0, err
		}
	}
	before := v.Estimate.Version - 1
	if before < 1 {
		return 0, nil
	}
	b, err := at(before)
	if err != nil {
		return 0, err
	}
	if b.Equals != 0 {
		return b.Equals, nil
	}
	return before, nil
}

// UndoDraft makes a new version of an estimate that equals the one before the last change. It is ErrOffered when the version that counts
// was put before the owner, *DraftTaken when another was saved meanwhile, Invalid when there is nothing to undo.
func (s *Shop) UndoDraft(ctx context.Context, number string, base int, id, by string) (Kept[EstimateDraft], error) {
	return s.backTo(ctx, number, base, id, by, func(w Writer, now Kept[EstimateDraft]) (int, error) {
		st, err := draftStanding(ctx, w, now.ID)
		if err != nil {
			return 0, err
		}
		if st.Offered {
			return 0, ErrOffered
		}
		return undoTo(now.Said, func(v int) (EstimateDraft, error) {
			d, err := draftVersion(ctx, w, number, v)
			return d.Said, err
		})
	})
}

// RestoreDraft makes a new version of an estimate that equals an earlier one. After an offer it is a change like any other: it needs a
// new answer of the owner.
func (s *Shop) RestoreDraft(ctx context.Context, number string, base, to int, id, by string) (Kept[EstimateDraft], error) {
	return s.backTo(ctx, number, base, id, by, func(_ Writer, now Kept[EstimateDraft]) (int, error) {
		if to >= now.Said.Estimate.Version {
			return 0, nil
		}
		return to, nil
	})
}

func (s *Shop) backTo(ctx context.Context, number string, base int, id, by string, which func(Writer, Kept[EstimateDraft]) (int, error)) (out Kept[EstimateDraft], err error) {
	err = s.store.Update(ctx, func(w Writer) error {
		if out, err = sameDraft(ctx, w, id, number); err == nil || !errors.Is(err, ErrNotFound) {
			return err
		}
		now, err := draftNow(ctx, w, number)
		if err != nil {
			return err
		}
		if err := draftIs(ctx, w, now, base); err != nil {
			return err
		}
		to, err := which(w, now)
		if err != nil {
			return err
		}
		if to < 1 {
			return Invalid{{Field: "undo", Text: "There is nothing to undo."}}
		}
		old, err := draftVersion(ctx, w, number, to)
		if err != nil {
			return err
		}
		next := old.Said
		next.Did, next.Equals = fmt.Sprintf("put back to version %d", to), to
		if old.Said.Equals != 0 {
			next.Equals = old.Said.Equals
		}
		next.Estimate.Version = now.Said.Estimate.Version + 1
		out, err = s.putDraft(ctx, w, id, now.CarID, by, next)
		return err
	})
	return out, err
}
