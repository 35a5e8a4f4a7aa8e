package shop

import (
	"context"
	"slices"

	"witnessmark/core/estimate"
	"witnessmark/core/judge"
	"witnessmark/core/work"
)

// dueDealings is what was agreed on a car, as far as the due list asks.
type dueDealings struct {
	answers []dueAnswer
	putOffs []PutOffLine
	notDone []NotDoneLine
	follows []FollowLine
}

// dueAnswer is an owner's answer to an estimate, with the close-out of the work if there is one.
type dueAnswer struct {
	*answer
	closed *CloseOut
	// replaced is true when the owner answered the same estimate again.
	replaced bool
}

// dealingsOf reads what was agreed. What was settled is in it: the list shows that apart.
func (s *Shop) dealingsOf(ctx context.Context, r Reader, carID string) (*dueDealings, error) {
	out := &dueDealings{}
	all, err := answersOf(ctx, r, carID)
	if err != nil || len(all) == 0 {
		return out, err
	}
	stand, _, err := closeOuts(ctx, r, RecordFilter{CarID: carID})
	if err != nil {
		return nil, err
	}
	closed := closedBy(stand)
	for i, x := range all {
		a := dueAnswer{answer: x}
		a.replaced = slices.ContainsFunc(all[i+1:], func(y *answer) bool { return y.Draft.Said.Estimate.Number == x.Draft.Said.Estimate.Number })
		if c := closed[x.Decision.ID]; c != nil {
			a.closed = &c.Said
		}
		out.answers = append(out.answers, a)
	}
	if out.putOffs, err = s.PutOffs(ctx, r, carID); err != nil {
		return nil, err
	}
	out.putOffs = slices.DeleteFunc(out.putOffs, func(l PutOffLine) bool { return l.Gone != "" && l.Gone != goneSettled })
	if out.notDone, err = s.NotDone(ctx, r, carID); err != nil {
		return nil, err
	}
	out.notDone = slices.DeleteFunc(out.notDone, func(l NotDoneLine) bool { return l.Gone })
	if out.follows, err = s.FollowUps(ctx, r, carID); err != nil {
		return nil, err
	}
	out.follows = slices.DeleteFunc(out.follows, func(l FollowLine) bool { return l.Looked })
	return out, nil
}

// answered reports whether an owner has answered to one of a finding's jobs where it is, after the round that found it. What was agreed
// and then could not be done has a line of its own.
func (d *dueDealings) answered(f *judge.Finding, r RoundFact) bool {
	for i := range d.answers {
		a := &d.answers[i]
		if a.Decision.Seq < r.Seq {
			continue
		}
		for _, it := range a.Draft.Said.Estimate.Items {
			if it.Job == "" || !slices.Contains(f.Jobs, it.Job) || !renewalReaches(it.At, f.At) && !renewalReaches(f.At, it.At) {
				continue
			}
			if slices.ContainsFunc(a.Decision.Said.Answers, func(x estimate.Answer) bool { return x.Item == it.ID }) {
				return true
			}
		}
	}
	return false
}

// dueAnswered is what the work would renew that is agreed, put off, or was agreed and not done: all that has a line of its own.
func (s *Shop) dueAnswered(in *dueFacts, o *CarOutlook) []Renews {
	var doings []work.Doing
	add := func(it estimate.Item) { doings = append(doings, work.Doing{Job: it.Job, At: it.At}) }
	for i := range in.dealings.answers {
		a := &in.dealings.answers[i]
		for _, it := range a.Draft.Said.Estimate.Items {
			if a.closed == nil && !a.replaced && a.Decision.Said.Accepted(it.ID) {
				add(it)
			}
		}
	}
	for i := range in.dealings.putOffs {
		if l := &in.dealings.putOffs[i]; l.Kept {
			add(l.Item)
		}
	}
	for i := range in.dealings.notDone {
		if l := &in.dealings.notDone[i]; l.Open {
			add(l.Item)
		}
	}
	return s.RenewedBy(doings, o.Facets)
}

// accepted names the items that the owner accepted.
func (a *dueAnswer) accepted() (names []string) {
	for _, it := range a.Draft.Said.Estimate.Items {
		if a.Decision.Said.Accepted(it.ID) {
			names = append(names, it.Name)
		}
	}
	return names
}
