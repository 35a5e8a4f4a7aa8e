package shop

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"witnessmark/core/estimate"
)

// TakenBack is a close-out that was taken back, with who did it and why.
type TakenBack struct {
	Close Kept[CloseOut]
	End   Kept[CloseOutEnd]
}

// CloseBackInput takes a close-out back, as typed. CloseOutID is the one that was on the screen: the work may have been closed out again
// since.
type CloseBackInput struct{ ID, DecisionID, CloseOutID, Why, By string }

// TakeBackCloseOut takes back in one transaction all that a close-out stored: the close-out itself ends with who took it back and why, its
// renewals are withdrawn, its first readings with their round and the links to that round's report, or its odometer reading, and the
// causes that it confirmed. Looks and items that were to come back because of it don't any more. The work is open again with what was
// ticked, and can be closed out again. What the close-out ended before the owner stays ended.
//
// Sent twice it is stored once; ErrConflict when somebody else took it back. Later rounds and renewals don't stand in the way: they count
// from what is left. What does is said by CloseOutHeld, and is Invalid with the field "back". "why" is the other field of errors.
func (s *Shop) TakeBackCloseOut(ctx context.Context, in CloseBackInput) error {
	return s.store.Update(ctx, func(w Writer) error {
		if old, err := w.Record(ctx, in.ID); err == nil && old.Kind == KindCloseOutEnd && old.Ref == in.CloseOutID {
			return nil // the same form again
		} else if err != nil && !errors.Is(err, ErrNotFound) {
			return err
		}
		o, err := workOrder(ctx, w, in.DecisionID)
		if err != nil {
			return err
		}
		if o.Close == nil || o.Close.ID != in.CloseOutID {
			return fmt.Errorf("this close-out was taken back already: %w", ErrConflict)
		}
		facts, err := s.backFacts(ctx, w, o, in)
		if err != nil {
			return err
		}
		for _, f := range facts {
			if _, err := w.Put(ctx, f); err != nil {
				return err
			}
		}
		return nil
	})
}

// backFacts reads what was typed and gives all that ends with a close-out, the record of its end first.
func (s *Shop) backFacts(ctx context.Context, r Reader, o *WorkOrder, in CloseBackInput) ([]Fact, error) {
	held, err := closeOutHeld(ctx, r, o)
	if err != nil {
		return nil, err
	}
	why := squeeze(in.Why)
	var bad Invalid
	switch {
	case held != "":
		bad = append(bad, FieldError{Field: "back", Text: held})
	case why == "":
		bad = append(bad, FieldError{Field: "why", Text: "Say why it is taken back: the wrong sheet, a wrong distance."})
	case len([]rune(why)) > maxWhy:
		bad = append(bad, FieldError{Field: "why", Text: fmt.Sprintf("This is longer than %d characters. Keep what matters.", maxWhy)})
	}
	if len(bad) > 0 {
		return nil, bad
	}
	rec, err := s.record(in.ID, KindCloseOutEnd, o.Car.CarID, o.Close.ID, in.By, CloseOutEnd{Why: why})
	if err != nil {
		return nil, err
	}
	rec.Once = closeOutEndOnce(o.Close.ID)
	t := taking{id: in.ID, car: o.Car.CarID, why: why, by: squeeze(in.By), now: ms(s.now()), out: []Fact{{Record: &rec}}}
	if err := t.renewals(ctx, r, o.Close.ID); err != nil {
		return nil, err
	}
	if err := t.readings(ctx, r, o.Close); err != nil {
		return nil, err
	}
	return t.out, t.causes(ctx, r, o.Close)
}

// taking gathers the facts that take a close-out's facts back. Their ids count on from its own.
type taking struct {
	id, car, why, by string
	now              int64
	out              []Fact
}

// next is the id of the next fact.
func (t *taking) next() string { return t.id + "-" + strconv.Itoa(len(t.out)) }

func (t *taking) withdraw(what, id string) {
	t.out = append(t.out, Fact{Withdrawal: &WithdrawalFact{ID: t.next(), CarID: t.car, What: what, FactID: id, Why: t.why, By: t.by, ReceivedAt: t.now}})
}

// renewals withdraws those that came with the close-out and still stand.
func (t *taking) renewals(ctx context.Context, r Reader, closeOut string) error {
	list, err := r.Renewals(ctx, t.car)
	for _, n := range list {
		if strings.HasPrefix(n.ID, renewalIDs(closeOut)) {
			t.withdraw(OfRenewal, n.ID)
		}
	}
	return err
}

// readings withdraws the first readings as they stand now, their round and the links to its report; or the odometer reading that was
// stored instead of a round.
func (t *taking) readings(ctx context.Context, r Reader, c *Kept[CloseOut]) error {
	odometer, err := r.Odometer(ctx, t.car)
	if err != nil {
		return err
	}
	for _, o := range odometer {
		if o.ID == odometerID(c.ID) {
			t.withdraw(OfOdometer, o.ID)
		}
	}
	if c.Said.RoundID == "" {
		return nil
	}
	list, err := r.Readings(ctx, c.Said.RoundID)
	if err != nil {
		return err
	}
	for _, m := range current(list) {
		t.out = append(t.out, Fact{Reading: &ReadingFact{ID: t.next(), RoundID: m.RoundID, CarID: t.car, Point: m.Point, At: m.At, Withdrawn: true, By: t.by,
			TakenAt: t.now, ReceivedAt: t.now}})
	}
	links, err := r.Shares(ctx, c.Said.RoundID)
	for _, l := range links {
		t.out = append(t.out, Fact{ShareEnd: &ShareEnd{ID: t.next(), ShareID: l.ID, By: t.by, ReceivedAt: t.now}})
	}
	t.withdraw(OfRound, c.Said.RoundID)
	return err
}

// causes withdraws those that the close-out confirmed, and any that was confirmed at its round since.
func (t *taking) causes(ctx context.Context, r Reader, c *Kept[CloseOut]) error {
	list, err := r.Confirmed(ctx)
	for _, f := range confirmedStanding(list) {
		if f.CarID == t.car && (strings.HasPrefix(f.ID, causeIDs(c.ID)) || f.RoundID == c.Said.RoundID) {
			t.out = append(t.out, Fact{Confirmed: &ConfirmedFact{ID: t.next(), RoundID: f.RoundID, CarID: f.CarID, Withdraws: f.ID, By: t.by, ReceivedAt: t.now}})
		}
	}
	return err
}

// CloseOutHeld says why a close-out can't be taken back, in a sentence; empty when it can.
func (s *Shop) CloseOutHeld(ctx context.Context, o *WorkOrder) (held string, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		held, err = closeOutHeld(ctx, r, o)
		return err
	})
	return held, err
}

// closeOutHeld looks for what builds on a close-out: the owner has agreed to one of its items anew since, on an estimate that counts.
// With the first work open again it would be agreed twice.
func closeOutHeld(ctx context.Context, r Reader, o *WorkOrder) (string, error) {
	all, err := answersOf(ctx, r, o.Car.CarID)
	if err != nil || o.Close == nil {
		return "", err
	}
	for _, x := range all {
		if x.Decision.Seq <= o.Close.Seq {
			continue
		}
		a, err := agreedOf(ctx, r, x.Decision, all)
		if err != nil {
			return "", err
		}
		if name := bothAgree(o.Items, a); name != "" {
			return fmt.Sprintf("The owner has agreed to “%s” again since, on estimate %s, so this work can't be opened again: it would be agreed twice. A wrong renewal is taken back on the car's page, a wrong reading corrected at its point.",
				name, a.Draft.Said.Estimate.Number), nil
		}
	}
	return "", nil
}

// bothAgree names an item that a later agreement asks for too; empty for none.
func bothAgree(items []estimate.Item, later *Agreed) string {
	if later.ReplacedBy != "" {
		return ""
	}
	for i := range items {
		for k := range later.Accepted {
			if items[i].Job != "" && sameDoing(&items[i], &later.Accepted[k]) {
				return items[i].Name
			}
		}
	}
	return ""
}

// closeOutEndOnce is the key of a close-out's end: it is taken back once.
func closeOutEndOnce(closeOut string) string { return "closeout-end/" + closeOut }

// once gives the key that the end of a close-out is stored under.
func (*CloseOutEnd) once(closeOut string) string { return closeOutEndOnce(closeOut) }

// check refuses an end that says not why, or too much.
func (e *CloseOutEnd) check() error {
	if e.Why == "" || len([]rune(e.Why)) > maxWhy {
		return errors.New("close-out-end: expected why it was taken back, in a sentence or two")
	}
	return nil
}
