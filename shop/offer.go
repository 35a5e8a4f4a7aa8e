package shop

import (
	"context"
	"errors"
	"fmt"
	"time"

	"witnessmark/core/estimate"
)

// Errors of what is put before an owner, which callers tell apart.
var (
	// ErrReplaced says that a newer version was put before the owner meanwhile.
	ErrReplaced = errors.New("a newer version of this estimate was made")
	// ErrPast says that the last day on which it could be answered has passed.
	ErrPast = errors.New("the last day on which this estimate could be answered has passed")
	// ErrNotShown says that an answer speaks of another text than the one that is offered.
	ErrNotShown = errors.New("what was answered is not what is offered now")
	// ErrWorkedOff says that the work which the owner agreed to is closed out, so that nothing of it can be asked again.
	ErrWorkedOff = errors.New("the work on this estimate is closed out: make a new estimate")
)

// OfferInput puts a version of an estimate before its owner.
type OfferInput struct {
	Number string
	// Version is the one that was on the screen; 0 takes the latest.
	Version int
	ID, By  string
	// Days is how long the link lives, for the answer and for reading it afterwards; below 1 or above MaxShareDays is DefaultShareDays.
	Days int
}

// Offer puts one version of an estimate before the owner and gives the link's token, once: it is kept nowhere. Older offers of the same
// estimate that were not answered end with it. It is Invalid when the estimate isn't ready, ErrConflict when the form was sent before
// or another version was saved meanwhile, ErrWorkedOff when the work is closed out.
func (s *Shop) Offer(ctx context.Context, in OfferInput) (token string, err error) {
	token = newToken()
	err = s.store.Update(ctx, func(w Writer) error {
		if err := unused(ctx, w, in.ID); err != nil {
			return err
		}
		d, err := s.toOffer(ctx, w, in.Number, in.Version)
		if err != nil {
			return err
		}
		_, err = s.putOffer(ctx, w, d, in.ID, in.By, hashToken(token), in.Days)
		return err
	})
	if err != nil {
		return "", err
	}
	return token, nil
}

// unused is nil while no record has an id, else ErrConflict.
func unused(ctx context.Context, r Reader, id string) error {
	switch _, err := r.Record(ctx, id); {
	case errors.Is(err, ErrNotFound):
		return nil
	case err != nil:
		return err
	}
	return fmt.Errorf("form %q was sent before: %w", id, ErrConflict)
}

// toOffer gives the version that can be put before the owner, or says why none can.
func (s *Shop) toOffer(ctx context.Context, r Reader, number string, version int) (Kept[EstimateDraft], error) {
	d, err := draftNow(ctx, r, number)
	if err != nil {
		return d, err
	}
	if version != 0 && version != d.Said.Estimate.Version {
		return d, fmt.Errorf("version %d of estimate %s was saved meanwhile: %w", d.Said.Estimate.Version, number, ErrConflict)
	}
	// Before what is missing: no price that is added makes closed-out work open again.
	switch done, err := workedOff(ctx, r, d.CarID, number); {
	case err != nil:
		return d, err
	case done != "":
		return d, ErrWorkedOff
	}
	if err := estimate.Ready(d.Said.Estimate, s.today()); err != nil {
		return d, notReady(err)
	}
	return d, nil
}

// notReady turns what the core finds wrong into a form's problems.
func notReady(err error) error {
	var found estimate.Problems
	if !errors.As(err, &found) {
		return err
	}
	out := make(Invalid, len(found))
	for i, p := range found {
		out[i] = FieldError{Field: "offer", Text: upperFirst(p.Place) + ": " + p.Text + "."}
	}
	return out
}

// putOffer stores an offer and ends the older ones.
func (s *Shop) putOffer(ctx context.Context, w Writer, d Kept[EstimateDraft], id, by, tokenHash string, days int) (*Offered, error) {
	older, err := s.offersOf(ctx, w, d.CarID, d.Said.Estimate.Number)
	if err != nil {
		return nil, err
	}
	if days < 1 || days > MaxShareDays {
		days = DefaultShareDays
	}
	o := Offer{TokenHash: tokenHash, Digest: estimate.Digest(d.Said.Estimate), ExpiresAt: ms(s.now().Add(time.Duration(days) * 24 * time.Hour))}
	rec, err := s.record(id, KindOffer, d.CarID, d.ID, by, o)
	if err != nil {
		return nil, err
	}
	rec.Once = offerOnce(tokenHash)
	if _, err := w.Put(ctx, Fact{Record: &rec}); err != nil {
		return nil, err
	}
	for _, old := range older {
		if old.Decision != nil || old.End != nil {
			continue
		}
		if err := s.endOffer(ctx, w, old, id+"-ends-"+old.Offer.ID, by, OfferEnd{ReplacedBy: id}); err != nil {
			return nil, err
		}
	}
	return s.offered(ctx, w, Kept[Offer]{Record: rec, Said: o})
}

func (s *Shop) endOffer(ctx context.Context, w Writer, o *Offered, id, by string, end OfferEnd) error {
	rec, err := s.record(id, KindOfferEnd, o.Offer.CarID, o.Offer.ID, by, end)
	if err != nil {
		return err
	}
	_, err = w.Put(ctx, Fact{Record: &rec})
	return err
}

// TakeBack ends an offer that was not answered yet: its link opens nothing any more. Sent twice it is stored once; an offer that is
// answered is *Answered, and nothing is stored.
func (s *Shop) TakeBack(ctx context.Context, offerID, id, by, why string) error {
	return s.store.Update(ctx, func(w Writer) error {
		rec, err := recordOf(ctx, w, KindOffer, offerID)
		if err != nil {
			return err
		}
		k, err := kept[Offer](rec)
		if err != nil {
			return err
		}
		o, err := s.offered(ctx, w, k)
		switch {
		case err != nil:
			return err
		case o.Decision != nil:
			return &Answered{o}
		case o.End != nil:
			return nil
		}
		return s.endOffer(ctx, w, o, id, by, OfferEnd{Why: bounded(squeeze(why), maxWhy)})
	})
}

// recordOf gives a record of a kind; ErrNotFound when the id is another kind's.
func recordOf(ctx context.Context, r Reader, kind, id string) (Record, error) {
	rec, err := r.Record(ctx, id)
	if err == nil && rec.Kind != kind {
		err = fmt.Errorf("%s %q: %w", kind, id, ErrNotFound)
	}
	return rec, err
}

// offerOnce is the key by which an offer is found from its token.
func offerOnce(tokenHash string) string { return "offer/" + tokenHash }

// once gives the key that an offer is stored under.
func (o *Offer) once(string) string { return offerOnce(o.TokenHash) }

// check refuses an offer that proves nothing.
func (o *Offer) check() error {
	if len(o.TokenHash) != 64 || len(o.Digest) != 64 || o.ExpiresAt <= 0 {
		return errors.New("offer: expected the token's hash, the digest of what is shown and an end")
	}
	return nil
}
