package shop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"witnessmark/core/estimate"
)

// Bounds of what an answer keeps, in characters (the project's own).
const (
	maxName    = 120
	maxAddress = 120
	maxAgent   = 300
	maxForm    = 80
	maxWhy     = 300
)

// DecideInput is an owner's answer as the page under the link sends it.
type DecideInput struct {
	// Form is the id of the form: sent again with the same answers it is the same answer.
	Form string
	// Digest is that of the text on the screen.
	Digest string
	// Name is typed as a signature.
	Name    string
	Answers []AnswerInput
	// Address and Agent are where it came from, by the network.
	Address, Agent string
}

// Decide stores an owner's answer to an offer and gives the decision's id. An offer is answered once: the same form with the same answers
// and name is a success again without a second record, whatever the network says of it; any other is *Answered, with what was answered.
// It is Invalid when something is missing or wrong, ErrGone, ErrReplaced, ErrPast or ErrNotShown when there is nothing to answer any more.
func (s *Shop) Decide(ctx context.Context, token string, in DecideInput) (id string, err error) {
	err = s.store.Update(ctx, func(w Writer) error {
		o, err := s.openOffer(ctx, w, token)
		if err != nil {
			return err
		}
		d, err := s.decision(o, in.Digest, in.Answers)
		d.How, d.Name, d.Form = BySign, bounded(squeeze(in.Name), maxName), bounded(in.Form, maxForm)
		d.Address, d.Agent = bounded(squeeze(in.Address), maxAddress), bounded(squeeze(in.Agent), maxAgent)
		if d.Name == "" {
			err = errors.Join(err, Invalid{{Field: "name", Text: "Type your name: it signs your answers."}})
		}
		id, err = s.putDecision(ctx, w, o, d, "", err)
		return err
	})
	return id, err
}

// decision reads the answers to an offer. The decision holds what could be read, with the error too.
func (s *Shop) decision(o *Offered, digest string, typed []AnswerInput) (Decision, error) {
	answers, err := s.ReadAnswers(o, typed)
	return Decision{Digest: digest, Answers: answers}, err
}

// putDecision stores an answer unless the offer is answered, ended or another text. bad is what was wrong with what was typed.
func (s *Shop) putDecision(ctx context.Context, w Writer, o *Offered, d Decision, by string, bad error) (string, error) {
	if o.Decision != nil {
		if bad == nil && o.Decision.Said.same(&d) {
			return o.Decision.ID, nil
		}
		return "", &Answered{o}
	}
	switch o.Standing {
	case OfferReplaced:
		return "", ErrReplaced
	case OfferPast:
		return "", ErrPast
	case OfferTaken, OfferExpired:
		return "", ErrGone
	}
	if shown := estimate.Digest(o.Estimate()); d.Digest != o.Offer.Said.Digest || shown != o.Offer.Said.Digest {
		return "", ErrNotShown
	}
	if bad != nil {
		return "", flat(bad)
	}
	if err := estimate.CheckAnswers(o.Estimate(), d.Answers, s.today()); err != nil {
		return "", Invalid{{Field: "answers", Text: err.Error()}}
	}
	rec, err := s.record("decision-"+o.Offer.ID, KindDecision, o.Offer.CarID, o.Offer.ID, by, d)
	if err != nil {
		return "", err
	}
	rec.Once = d.once(o.Offer.ID)
	_, err = w.Put(ctx, Fact{Record: &rec})
	return rec.ID, err
}

// flat joins lists of bad entries into one; another error comes first.
func flat(err error) error {
	var all Invalid
	joined, ok := err.(interface{ Unwrap() []error })
	if !ok {
		return err
	}
	for _, e := range joined.Unwrap() {
		var inv Invalid
		if !errors.As(flat(e), &inv) {
			return e
		}
		all = append(all, inv...)
	}
	return all
}

// same reports whether two decisions come from one form with the same answers. Where they came from by the network does not count:
// phones change their address between two tries.
func (d *Decision) same(o *Decision) bool {
	return d.Form != "" && d.Form == o.Form && d.How == o.How && d.Name == o.Name && d.SaidOn == o.SaidOn && d.Digest == o.Digest && slices.Equal(d.Answers, o.Answers)
}

// Accepted reports whether an item was accepted.
func (d *Decision) Accepted(item string) bool {
	return slices.ContainsFunc(d.Answers, func(a estimate.Answer) bool { return a.Item == item && a.Answer == estimate.Accept })
}

// once gives the key that a decision is stored under: an offer has one.
func (d *Decision) once(offer string) string { return "decision/" + offer }

// check refuses a decision that proves nothing.
func (d *Decision) check() error {
	switch {
	case d.How != BySign && d.How != BySpoken:
		return fmt.Errorf("decision: how is %q; expected %s or %s", d.How, BySign, BySpoken)
	case d.Name == "" || utf8.RuneCountInString(d.Name) > maxName:
		return errors.New("decision: expected the name of who answered")
	case len(d.Digest) != 64:
		return errors.New("decision: expected the digest of what was answered")
	case len(d.Answers) == 0:
		return errors.New("decision: without answers it decides nothing")
	case (d.How == BySpoken) != (d.SaidOn != ""):
		return errors.New("decision: a spoken answer, and no other, says when it was given")
	}
	return nil
}

// bounded cuts a text behind so many characters.
func bounded(text string, most int) string {
	text = strings.ToValidUTF8(text, "")
	n := 0
	for i := range text {
		if n == most {
			return text[:i]
		}
		n++
	}
	return text
}
