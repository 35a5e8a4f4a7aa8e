package shop

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"witnessmark/core/estimate"
)

// holds refuses a record of an import that does not hold against what it refers to, which stands before it: an offer whose digest is not
// that of the estimate, a decision whose digest is not that of what was shown or whose answers are not one to each of its items.
func holds(ctx context.Context, r Reader, rec *Record) error {
	switch rec.Kind {
	case KindOffer:
		return offerHolds(ctx, r, rec)
	case KindDecision:
		return decisionHolds(ctx, r, rec)
	}
	return nil
}

func offerHolds(ctx context.Context, r Reader, rec *Record) error {
	o, err := kept[Offer](*rec)
	if err != nil {
		return err
	}
	of, err := recordOf(ctx, r, KindEstimate, rec.Ref)
	if err != nil {
		return err
	}
	d, err := kept[EstimateDraft](of)
	if err != nil {
		return err
	}
	return digestHolds(rec, o.Said.Digest, &d.Said.Estimate)
}

func decisionHolds(ctx context.Context, r Reader, rec *Record) error {
	d, err := kept[Decision](*rec)
	if err != nil {
		return err
	}
	a, err := answerOf(ctx, r, d)
	if err != nil {
		return err
	}
	e := &a.Draft.Said.Estimate
	if err := digestHolds(rec, d.Said.Digest, e); err != nil {
		return err
	}
	// The day on which it was answered is not held against the days that it names: which day a moment falls on depends on where one is.
	var found estimate.Problems
	if err := estimate.CheckAnswers(*e, d.Said.Answers, ""); !errors.As(err, &found) {
		return err
	}
	var wrong, ids []string
	for _, p := range found {
		wrong = append(wrong, fmt.Sprintf("item %q: %s", p.Place, p.Text))
	}
	for _, it := range e.Items {
		ids = append(ids, fmt.Sprintf("%q", it.ID))
	}
	return fmt.Errorf("record %q: body.answers: %s; expected one answer to each item of estimate %s, version %d: %s", rec.ID, strings.Join(wrong, "; "),
		e.Number, e.Version, strings.Join(ids, ", "))
}

// digestHolds compares what a record says was shown with the estimate that it refers to.
func digestHolds(rec *Record, digest string, e *estimate.Estimate) error {
	if want := estimate.Digest(*e); digest != want {
		return fmt.Errorf("record %q: body.digest is %q; expected %q, the hash of estimate %s, version %d, as it was shown", rec.ID, digest, want, e.Number, e.Version)
	}
	return nil
}
