package shop

import (
	"context"
	"errors"
	"fmt"

	"witnessmark/core/estimate"
)

// DraftSave is a change to an estimate as a form sends it.
type DraftSave struct {
	Number string
	// Base is the version that was on the screen.
	Base   int
	ID, By string
	Change DraftChange
}

// DraftChange is one thing that can be done to an estimate.
type DraftChange interface {
	// apply changes e, whose lists are its own, and says what was done. It is Invalid when what was typed can't be used. id names
	// what is new.
	apply(e *estimate.Estimate, id string) (did string, err error)
}

// DraftTaken says that somebody else saved the same version first. It is an ErrConflict.
type DraftTaken struct {
	// Now is the version that counts, Changed what it changes of the one that was on the screen.
	Now     Kept[EstimateDraft]
	Changed []string
}

// Error says who was first.
func (t *DraftTaken) Error() string {
	return fmt.Sprintf("estimate %s is at version %d by now", t.Now.Said.Estimate.Number, t.Now.Said.Estimate.Version)
}

// Unwrap makes it an ErrConflict.
func (t *DraftTaken) Unwrap() error { return ErrConflict }

// SaveDraft makes a new version of an estimate with one change in it. A change that changes nothing makes none. It is Invalid when what
// was typed can't be used, *DraftTaken when another version was saved meanwhile; nothing is stored then. Sent twice it is stored once.
func (s *Shop) SaveDraft(ctx context.Context, in DraftSave) (out Kept[EstimateDraft], err error) {
	if in.Change == nil {
		return out, errors.New("save an estimate: no change given")
	}
	err = s.store.Update(ctx, func(w Writer) error {
		if out, err = sameDraft(ctx, w, in.ID, in.Number); err == nil || !errors.Is(err, ErrNotFound) {
			return err
		}
		now, err := draftNow(ctx, w, in.Number)
		if err != nil {
			return err
		}
		if err := draftIs(ctx, w, now, in.Base); err != nil {
			return err
		}
		next := now.Said
		next.Equals, next.Estimate = 0, ownLists(next.Estimate)
		if next.Did, err = in.Change.apply(&next.Estimate, in.ID); err != nil {
			return err
		}
		out, err = s.nextDraft(ctx, w, now, next, in.ID, in.By)
		return err
	})
	return out, err
}

// sameDraft gives the version that a form has stored already; ErrNotFound when it has stored none, ErrConflict when its id was used for
// something else.
func sameDraft(ctx context.Context, r Reader, id, number string) (Kept[EstimateDraft], error) {
	rec, err := r.Record(ctx, id)
	if err != nil {
		return Kept[EstimateDraft]{}, err
	}
	if rec.Kind != KindEstimate {
		return Kept[EstimateDraft]{}, ErrConflict
	}
	d, err := kept[EstimateDraft](rec)
	if err == nil && number != "" && d.Said.Estimate.Number != number {
		return d, ErrConflict
	}
	return d, err
}

// draftIs refuses to go on when the version that counts is not the one that was on the screen.
func draftIs(ctx context.Context, r Reader, now Kept[EstimateDraft], base int) error {
	if now.Said.Estimate.Version == base {
		return nil
	}
	taken := &DraftTaken{Now: now}
	seen, err := draftVersion(ctx, r, now.Said.Estimate.Number, base)
	switch {
	case errors.Is(err, ErrNotFound):
	case err != nil:
		return err
	default:
		taken.Changed = estimate.Changes(seen.Said.Estimate, now.Said.Estimate)
	}
	return taken
}

// nextDraft stores next as the version behind now, unless nothing that is shown differs.
func (s *Shop) nextDraft(ctx context.Context, w Writer, now Kept[EstimateDraft], next EstimateDraft, id, by string) (Kept[EstimateDraft], error) {
	if estimate.Digest(next.Estimate) == estimate.Digest(now.Said.Estimate) {
		return now, nil
	}
	next.Estimate.Version = now.Said.Estimate.Version + 1
	if err := estimate.Check(next.Estimate); err != nil {
		return now, draftProblems(err)
	}
	return s.putDraft(ctx, w, id, now.CarID, by, next)
}

// putDraft stores one version.
func (s *Shop) putDraft(ctx context.Context, w Writer, id, carID, by string, d EstimateDraft) (Kept[EstimateDraft], error) {
	rec, err := s.record(id, KindEstimate, carID, "", by, d)
	if err != nil {
		return Kept[EstimateDraft]{}, err
	}
	rec.Once = draftOnce(d.Estimate.Number, d.Estimate.Version)
	_, err = w.Put(ctx, Fact{Record: &rec})
	return Kept[EstimateDraft]{Record: rec, Said: d}, err
}

// draftProblems turns what the core finds wrong into a form's problem.
func draftProblems(err error) error {
	var found estimate.Problems
	if !errors.As(err, &found) {
		return err
	}
	var out Invalid
	for _, p := range found {
		out = append(out, FieldError{Field: "estimate", Text: upperFirst(p.Place) + ": " + p.Text + "."})
	}
	return out
}

// ownLists gives an estimate whose items, preparations and lines can be changed without changing the one given.
func ownLists(e estimate.Estimate) estimate.Estimate {
	e.Items = append([]estimate.Item(nil), e.Items...)
	for i := range e.Items {
		e.Items[i].Lines = append([]estimate.Line(nil), e.Items[i].Lines...)
	}
	e.Shared = append([]estimate.Shared(nil), e.Shared...)
	for i := range e.Shared {
		e.Shared[i].Lines = append([]estimate.Line(nil), e.Shared[i].Lines...)
		e.Shared[i].Items = append([]string(nil), e.Shared[i].Items...)
	}
	return e
}
