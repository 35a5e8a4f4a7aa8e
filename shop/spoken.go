package shop

import (
	"context"
	"errors"
	"strings"
	"time"
)

// SpeakInput is an answer that an owner gave by word of mouth, as the adviser writes it down.
type SpeakInput struct {
	Number string
	// Version is the one that was on the screen.
	Version int
	// After is the id of the decision that was known when the form was made; empty for none. A newer one is told instead of replaced.
	After string
	// Form is the id of the form, By who wrote it down, Who gave the answer.
	Form, By, Who string
	// SaidOn is when, as typed: 2026-03-21 14:05.
	SaidOn  string
	Digest  string
	Answers []AnswerInput
}

// saidLayout is how the time of a spoken answer is kept.
const saidLayout = "2006-01-02 15:04"

// Speak stores a spoken answer to the latest version of an estimate and gives the decision's id. The version counts as put before the
// owner with it, without a link; what was offered before and not answered ends. Sent twice it is stored once. Errors are those of
// Offer and Decide.
func (s *Shop) Speak(ctx context.Context, in SpeakInput) (id string, err error) {
	err = s.store.Update(ctx, func(w Writer) error {
		o, err := s.spokenOffer(ctx, w, in)
		if err != nil {
			return err
		}
		d, err := s.decision(o, in.Digest, in.Answers)
		d.How, d.Form, d.Name = BySpoken, bounded(in.Form, maxForm), bounded(squeeze(in.Who), maxName)
		said, bad := s.saidOn(in.SaidOn, o)
		d.SaidOn = said
		if d.Name == "" {
			bad = append(bad, FieldError{Field: "who", Text: "Say who gave the answer."})
		}
		if squeeze(in.By) == "" {
			bad = append(bad, FieldError{Field: "by", Text: "Say who wrote it down: your initials."})
		}
		if len(bad) > 0 {
			err = errors.Join(err, bad)
		}
		id, err = s.putDecision(ctx, w, o, d, squeeze(in.By), err)
		return err
	})
	return id, err
}

// spokenOffer gives the offer that a spoken answer is of: the one that this form answered before, the open one of the latest version, or
// a new one without a link.
func (s *Shop) spokenOffer(ctx context.Context, w Writer, in SpeakInput) (*Offered, error) {
	now, err := draftNow(ctx, w, in.Number)
	if err != nil {
		return nil, err
	}
	all, err := s.offersOf(ctx, w, now.CarID, in.Number)
	if err != nil {
		return nil, err
	}
	var last *Offered
	for _, o := range all {
		if o.Decision != nil {
			last = o
		}
	}
	if last != nil && (last.Decision.ID != in.After || last.Decision.Said.Form == in.Form) {
		return last, nil // the same form again, or somebody was first: putDecision tells which
	}
	if n := len(all); n > 0 && all[n-1].Standing == OfferOpen && all[n-1].Draft.ID == now.ID && in.Version == now.Said.Estimate.Version {
		return all[n-1], nil
	}
	d, err := s.toOffer(ctx, w, in.Number, in.Version)
	if err != nil {
		return nil, err
	}
	return s.putOffer(ctx, w, d, "spoken-"+bounded(in.Form, maxForm), in.By, hashToken(newToken()), DefaultShareDays)
}

// saidOn reads when an answer was spoken: not in the future, and not before there was anything to answer.
func (s *Shop) saidOn(typed string, o *Offered) (string, Invalid) {
	t, err := time.ParseInLocation(saidLayout, strings.Replace(strings.TrimSpace(typed), "T", " ", 1), s.now().Location())
	made := time.UnixMilli(o.Draft.ReceivedAt).In(s.now().Location()).Truncate(time.Minute)
	text := ""
	switch {
	case err != nil:
		text = "Enter a day and a time such as 2026-03-21 14:05."
	case t.After(s.now()):
		text = "This time lies in the future."
	case t.Before(made):
		text = "This version was made later than that, at " + made.Format(saidLayout) + ": the answer was to something else."
	}
	if text != "" {
		return squeeze(typed), Invalid{{Field: "said", Text: text}}
	}
	return t.Format(saidLayout), nil
}
