package shop

import (
	"context"
	"slices"
	"unicode/utf8"

	"witnessmark/core/diagnose"
)

// CausesOf is a round with what may be behind what was found.
type CausesOf struct {
	Car   CarVersion
	Round RoundFact
	// Panels answer the complaints that readings and the owner's words bring up, the gravest first.
	Panels []diagnose.Panel
	// Told is what the owner said, as it stands; Looks is the round's list of looks.
	Told  []ToldFact
	Looks []RoundLook
	// Confirmed are the causes that were confirmed for this round, as they stand. They don't move its own panels: those say what the
	// evidence said, so that one can see whether it was right.
	Confirmed []ConfirmedFact
	// Learned is how many close-outs of other rounds moved the figures.
	Learned int
}

// Panel finds the panel of a complaint, or nil.
func (c *CausesOf) Panel(complaint string) *diagnose.Panel {
	for i := range c.Panels {
		if c.Panels[i].Complaint.ID == complaint {
			return &c.Panels[i]
		}
	}
	return nil
}

// ConfirmedFor gives the confirmed cause of a complaint, or nil.
func (c *CausesOf) ConfirmedFor(complaint string) *ConfirmedFact {
	for i := range c.Confirmed {
		if c.Confirmed[i].Complaint == complaint {
			return &c.Confirmed[i]
		}
	}
	return nil
}

// Look finds a look on the list by its sign, or nil.
func (c *CausesOf) Look(sign string) *RoundLook {
	for i := range c.Looks {
		if c.Looks[i].Sign.ID == sign {
			return &c.Looks[i]
		}
	}
	return nil
}

// Causes says what may be behind what was found at a round.
func (s *Shop) Causes(ctx context.Context, roundID string) (*CausesOf, error) {
	j, err := s.Findings(ctx, roundID)
	if err != nil {
		return nil, err
	}
	return s.CausesOf(ctx, j)
}

// CausesOf says what may be behind the findings of a round that was judged already.
func (s *Shop) CausesOf(ctx context.Context, j *Judged) (*CausesOf, error) {
	out := &CausesOf{Car: j.Car, Round: j.Round}
	err := s.store.View(ctx, func(r Reader) error {
		told, err := r.Told(ctx, j.Round.ID)
		if err != nil {
			return err
		}
		looks, err := r.Looks(ctx, j.Round.ID)
		if err != nil {
			return err
		}
		out.Told, out.Looks = toldNow(told), s.roundLooks(looks)
		return nil
	})
	if err != nil {
		return nil, err
	}
	all, err := s.confirmed(ctx)
	if err != nil {
		return nil, err
	}
	var others []ConfirmedFact
	for _, f := range all {
		if f.RoundID == j.Round.ID {
			out.Confirmed = append(out.Confirmed, f)
		} else {
			others = append(others, f)
		}
	}
	out.Learned = len(others)
	s.answeredAt(out, j)
	out.Panels = diagnose.Panels(s.learnt(others), s.evidence(out, j))
	return out, nil
}

// evidence gathers what is known of a round for the core.
func (s *Shop) evidence(c *CausesOf, j *Judged) diagnose.Input {
	in := diagnose.Input{Facets: s.FacetsOf(j.Car), Result: &j.Result, Checked: map[string]bool{}}
	for _, f := range c.Told {
		for _, id := range f.Signs {
			if s.cat.Sign(id) != nil && !slices.Contains(in.Told, id) {
				in.Told = append(in.Told, id)
			}
		}
	}
	for _, l := range c.Looks {
		if l.Point == nil && (l.Fact.Answer == LookThere || l.Fact.Answer == LookNotThere) {
			in.Checked[l.Sign.ID] = l.Fact.Answer == LookThere
		}
	}
	return in
}

// answeredAt marks looks whose point has a reading in this round.
func (s *Shop) answeredAt(c *CausesOf, j *Judged) {
	read := map[string]bool{}
	for _, f := range current(j.Readings) {
		read[f.Point] = true
	}
	for i := range c.Looks {
		if p := c.Looks[i].Point; p != nil {
			c.Looks[i].Done = read[p.ID]
		}
	}
}

// TellInput is what an owner said, as typed, with the signs that were ticked.
type TellInput struct {
	ID, RoundID, Words string
	Signs              []string
	By                 string
}

// maxWords bounds what is kept of an owner's words, in letters.
const maxWords = 2000

// tooLong reports whether a text has more letters than are kept.
func tooLong(text string) bool { return utf8.RuneCountInString(text) > maxWords }

// Tell stores what an owner said at a round. Words without a matched sign are kept too. Fields of errors are "words" and "signs".
func (s *Shop) Tell(ctx context.Context, in TellInput) error {
	f := ToldFact{ID: in.ID, RoundID: in.RoundID, Words: squeeze(in.Words), By: squeeze(in.By), ReceivedAt: ms(s.now())}
	var bad Invalid
	switch {
	case f.Words == "":
		bad = append(bad, FieldError{Field: "words", Text: "Write what the owner says, in the owner's own words."})
	case tooLong(f.Words):
		bad = append(bad, FieldError{Field: "words", Text: "That is longer than 2000 letters. Keep what matters."})
	}
	for _, id := range in.Signs {
		if s.cat.Sign(id) == nil {
			bad = append(bad, FieldError{Field: "signs", Text: "One of the ticked signs is not in the catalogue. Choose again."})
			break
		}
		f.Signs = appendOnce(f.Signs, id)
	}
	if len(bad) > 0 {
		return bad
	}
	return s.ofRound(ctx, in.RoundID, func(r RoundFact) Fact { f.CarID = r.CarID; return Fact{Told: &f} })
}

// WithdrawTold takes back what was stored of an owner's words.
func (s *Shop) WithdrawTold(ctx context.Context, id, roundID, told, by string) error {
	return s.ofRound(ctx, roundID, func(r RoundFact) Fact {
		return Fact{Told: &ToldFact{ID: id, RoundID: r.ID, CarID: r.CarID, Withdraws: told, By: squeeze(by), ReceivedAt: ms(s.now())}}
	})
}

// ofRound stores a fact that names its round and car.
func (s *Shop) ofRound(ctx context.Context, roundID string, make func(RoundFact) Fact) error {
	return s.store.Update(ctx, func(w Writer) error {
		r, err := roundOf(ctx, w, roundID)
		if err != nil {
			return err
		}
		_, err = w.Put(ctx, make(r))
		return err
	})
}

// ConfirmInput is a close-out: what the cause of a complaint turned out to be.
type ConfirmInput struct{ ID, RoundID, Complaint, Cause, Note, By string }

// Confirm stores what the cause of a complaint turned out to be, with what was seen of the complaint's signs by then. A later one for the same
// round and complaint takes its place. Fields of errors are "cause" and "note".
func (s *Shop) Confirm(ctx context.Context, in ConfirmInput) error {
	f, err := s.confirmedFact(ctx, in)
	if err != nil {
		return err
	}
	return s.put(ctx, Fact{Confirmed: &f})
}

// confirmedFact reads a confirmed cause with what was seen of the complaint's signs.
func (s *Shop) confirmedFact(ctx context.Context, in ConfirmInput) (ConfirmedFact, error) {
	complaint := s.cat.Complaint(in.Complaint)
	if complaint == nil {
		return ConfirmedFact{}, ErrNotFound
	}
	note := squeeze(in.Note)
	switch {
	case in.Cause != CauseElse && !slices.Contains(complaint.Causes, in.Cause):
		return ConfirmedFact{}, Invalid{{Field: "cause", Text: "Choose what it turned out to be, or something else."}}
	case in.Cause == CauseElse && note == "":
		return ConfirmedFact{}, Invalid{{Field: "note", Text: "Say in a few words what it was."}}
	case tooLong(note):
		return ConfirmedFact{}, Invalid{{Field: "note", Text: "That is longer than 2000 letters. Keep what matters."}}
	}
	c, err := s.Causes(ctx, in.RoundID)
	if err != nil {
		return ConfirmedFact{}, err
	}
	f := ConfirmedFact{ID: in.ID, RoundID: c.Round.ID, CarID: c.Round.CarID, Complaint: in.Complaint, Cause: in.Cause, Note: note, By: squeeze(in.By), ReceivedAt: ms(s.now())}
	if p := c.Panel(in.Complaint); p != nil {
		f.Seen = seenOf(p)
	}
	return f, nil
}

// seenOf says of a panel's signs that were looked for whether they were there.
func seenOf(p *diagnose.Panel) map[string]bool {
	var out map[string]bool
	for _, e := range p.Evidence {
		if e.Show != diagnose.Shown && e.Show != diagnose.NotShown {
			continue
		}
		if out == nil {
			out = map[string]bool{}
		}
		out[e.Sign.ID] = e.Show == diagnose.Shown
	}
	return out
}

// WithdrawConfirmed takes back a confirmed cause, and what was learned from it.
func (s *Shop) WithdrawConfirmed(ctx context.Context, id, roundID, confirmed, by string) error {
	return s.ofRound(ctx, roundID, func(r RoundFact) Fact {
		return Fact{Confirmed: &ConfirmedFact{ID: id, RoundID: r.ID, CarID: r.CarID, Withdraws: confirmed, By: squeeze(by), ReceivedAt: ms(s.now())}}
	})
}

// confirmed gives the confirmed causes that stand, from memory while the store has nothing newer.
func (s *Shop) confirmed(ctx context.Context) ([]ConfirmedFact, error) {
	var seq int64
	var all []ConfirmedFact
	err := s.store.View(ctx, func(r Reader) (err error) {
		if seq, err = r.ConfirmedSeq(ctx); err != nil {
			return err
		}
		if kept, ok := s.closed.get(seq); ok {
			all = kept
			return nil
		}
		if all, err = r.Confirmed(ctx); err == nil {
			all = confirmedNow(all)
			s.closed.put(seq, all)
		}
		return err
	})
	return all, err
}
