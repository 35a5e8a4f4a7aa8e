package shop

import (
	"context"
	"slices"

	"witnessmark/core/estimate"
	"witnessmark/core/point"
)

// goneSettled says that a line was taken off the due list.
const goneSettled = "settled"

// PutOffLine is an item that an owner put off, or declined, and what became of it.
type PutOffLine struct {
	// Due is its id on the due list: the decision's and the item's.
	Due               string
	CarID, DecisionID string
	// Number is the estimate's, On the day of the answer.
	Number, On string
	Item       estimate.Item
	// Terms are those that the item's prices were under.
	Terms estimate.Terms
	// UntilOn and UntilKm are until when it was put off; empty and 0 are not said.
	UntilOn string
	UntilKm int64
	// Declined is true when it was declined; Warned are the words that were shown then and ticked, for what must not be put off.
	Declined bool
	Warned   string
	// Kept is true while it stands: not answered again, renewed or settled since. Gone says which of these it was, in words.
	Kept bool
	Gone string
}

// PutOffs lists what owners put off, in order of their answers, also what stands no longer; an empty id is all cars.
func (s *Shop) PutOffs(ctx context.Context, r Reader, carID string) ([]PutOffLine, error) {
	return s.leftOpen(ctx, r, carID, estimate.PutOff)
}

// DeclinedLines lists what owners declined, in order of their answers, also what stands no longer; an empty id is all cars.
func (s *Shop) DeclinedLines(ctx context.Context, r Reader, carID string) ([]PutOffLine, error) {
	return s.leftOpen(ctx, r, carID, estimate.Decline)
}

func (s *Shop) leftOpen(ctx context.Context, r Reader, carID, how string) ([]PutOffLine, error) {
	all, err := answersOf(ctx, r, carID)
	if err != nil {
		return nil, err
	}
	settled, err := settledDues(ctx, r, carID)
	if err != nil {
		return nil, err
	}
	renewals := map[string][]RenewalFact{}
	var out []PutOffLine
	for i, x := range all {
		for _, a := range x.Decision.Said.Answers {
			k := slices.IndexFunc(x.Draft.Said.Estimate.Items, func(it estimate.Item) bool { return it.ID == a.Item })
			if a.Answer != how || k < 0 {
				continue
			}
			l := s.lineOf(x, &x.Draft.Said.Estimate.Items[k], a)
			if _, ok := renewals[l.CarID]; !ok {
				if renewals[l.CarID], err = r.Renewals(ctx, l.CarID); err != nil {
					return nil, err
				}
			}
			l.Gone = s.goneBy(&l, x, all[i+1:], renewals[l.CarID], settled[l.Due])
			l.Kept = l.Gone == ""
			out = append(out, l)
		}
	}
	return out, nil
}

func (s *Shop) lineOf(x *answer, it *estimate.Item, a estimate.Answer) PutOffLine {
	return PutOffLine{Due: x.Decision.ID + "/" + a.Item, CarID: x.Decision.CarID, DecisionID: x.Decision.ID, Number: x.Draft.Said.Estimate.Number, On: s.answeredOn(&x.Decision),
		Item: *it, Terms: x.Draft.Said.Estimate.Terms, UntilOn: a.UntilOn, UntilKm: a.UntilKm, Declined: a.Answer == estimate.Decline, Warned: a.Warned}
}

// answeredOn is the day on which a decision was made: when it was spoken, else when it arrived.
func (s *Shop) answeredOn(d *Kept[Decision]) string {
	if d.Said.SaidOn != "" {
		return d.Said.SaidOn[:len(dayLayout)]
	}
	return s.dayOf(d.ReceivedAt)
}

// goneBy says why a line stands no longer, in words; empty while it stands.
func (s *Shop) goneBy(l *PutOffLine, x *answer, later []*answer, renewals []RenewalFact, settled bool) string {
	for _, y := range later {
		if y.Decision.CarID != l.CarID {
			continue
		}
		if a := answerTo(y, &l.Item); a != "" {
			return map[string]string{estimate.Accept: "accepted later", estimate.Decline: "declined later", estimate.PutOff: "put off again"}[a]
		}
	}
	if s.renewedAfter(l, x.Decision.Seq, renewals) {
		return "renewed since"
	}
	if settled {
		return goneSettled
	}
	return ""
}

// answerTo gives a decision's answer to the same doing as an item's; empty when it is about other things.
func answerTo(y *answer, item *estimate.Item) string {
	e := &y.Draft.Said.Estimate
	for _, a := range y.Decision.Said.Answers {
		i := slices.IndexFunc(e.Items, func(it estimate.Item) bool { return it.ID == a.Item })
		if i < 0 {
			continue
		}
		if sameDoing(&e.Items[i], item) {
			return a.Answer
		}
	}
	return ""
}

// renewedAfter reports whether all that a line's job renews was renewed where it is about after the answer: on a later day, or on the
// same day and written down later. A renewal of long ago that is only now written down answers nothing.
func (s *Shop) renewedAfter(l *PutOffLine, seq int64, renewals []RenewalFact) bool {
	j := s.cat.Jobs[l.Item.Job]
	if j == nil || len(j.Renews) == 0 {
		return false
	}
	for _, item := range j.Renews {
		reached := func(at string) bool {
			return slices.ContainsFunc(renewals, func(r RenewalFact) bool {
				return r.Item == item && (r.On > l.On || r.On == l.On && r.Seq > seq) && renewalReaches(r.At, at)
			})
		}
		at := l.Item.At
		both := slices.Contains(point.Axles, at) && reached(at+"L") && reached(at+"R")
		if !both && !reached(at) {
			return false
		}
	}
	return true
}

// settledDues tells which lines of the due list were taken off it and not put back.
func settledDues(ctx context.Context, r Reader, carID string) (map[string]bool, error) {
	list, err := records[Settled](ctx, r, RecordFilter{Kind: KindSettled, CarID: carID})
	out := map[string]bool{}
	for _, k := range list {
		out[k.Said.Due] = !k.Said.Back
	}
	return out, err
}
