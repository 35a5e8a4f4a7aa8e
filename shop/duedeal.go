package shop

import (
	"context"
	"slices"
	"time"

	"witnessmark/core/estimate"
	"witnessmark/core/judge"
	"witnessmark/core/point"
)

// dueDealings is what was agreed on a car, as far as the due list asks.
type dueDealings struct {
	answers []dueAnswer
	putOffs []duePut
	follows []dueLook
}

// dueLook is a look that done work called for, and whether it is still to be made.
type dueLook struct {
	id   string
	say  Follow
	open bool
}

// duePut is an item that an owner put off and that stands: nobody has answered the same again, and it was not renewed since.
type duePut struct {
	id     string
	answer *dueAnswer
	item   estimate.Item
	said   estimate.Answer
	// on is the day of the answer.
	on string
}

// dueAnswer is an owner's answer to an estimate, with the close-out of the work if there is one.
type dueAnswer struct {
	decision Kept[Decision]
	estimate estimate.Estimate
	closed   *CloseOut
	// replaced is true when the owner answered the same estimate again.
	replaced bool
}

func (s *Shop) dealingsOf(ctx context.Context, r Reader, carID string, f *carFacts) (*dueDealings, error) {
	out := &dueDealings{}
	answers, err := dueAnswers(ctx, r, carID)
	if err != nil || len(answers) == 0 {
		return out, err
	}
	out.answers = answers
	closed := map[string]*CloseOut{}
	list, err := records[CloseOut](ctx, r, RecordFilter{Kind: KindCloseOut, CarID: carID})
	if err != nil {
		return nil, err
	}
	for i := range list {
		closed[list[i].Ref] = &list[i].Said
	}
	for i := range answers {
		answers[i].closed = closed[answers[i].decision.ID]
	}
	out.putOffs = s.duePuts(answers, f)
	for i := range list {
		for _, l := range list[i].Said.Follows {
			out.follows = append(out.follows, dueLook{list[i].ID + "/" + l.ID, l, l.Point == "" || !f.looksAfter(l.Point, &list[i])})
		}
	}
	return out, nil
}

// dueAnswers lists the decisions on a car in order of arrival, each with the estimate that was answered.
func dueAnswers(ctx context.Context, r Reader, carID string) ([]dueAnswer, error) {
	list, err := records[Decision](ctx, r, RecordFilter{Kind: KindDecision, CarID: carID})
	if err != nil {
		return nil, err
	}
	out := make([]dueAnswer, len(list))
	for i, d := range list {
		offer, err := r.Record(ctx, d.Ref)
		if err != nil {
			return nil, err
		}
		rec, err := r.Record(ctx, offer.Ref)
		if err != nil {
			return nil, err
		}
		draft, err := kept[EstimateDraft](rec)
		if err != nil {
			return nil, err
		}
		out[i] = dueAnswer{decision: d, estimate: draft.Said.Estimate}
		for k := range i {
			out[k].replaced = out[k].replaced || out[k].estimate.Number == out[i].estimate.Number
		}
	}
	return out, nil
}

// day is the day of an answer: when it was spoken, else when it arrived.
func (a *dueAnswer) day(s *Shop) string {
	if said := a.decision.Said.SaidOn; len(said) >= len(dayLayout) {
		return said[:len(dayLayout)]
	}
	return time.UnixMilli(a.decision.ReceivedAt).In(s.now().Location()).Format(dayLayout)
}

// duePuts lists what owners put off and what still stands of it.
func (s *Shop) duePuts(answers []dueAnswer, f *carFacts) (out []duePut) {
	for i := range answers {
		a := &answers[i]
		for _, said := range a.decision.Said.Answers {
			k := slices.IndexFunc(a.estimate.Items, func(it estimate.Item) bool { return it.ID == said.Item })
			if said.Answer != estimate.PutOff || k < 0 {
				continue
			}
			p := duePut{id: a.decision.ID + "/" + said.Item, answer: a, item: a.estimate.Items[k], said: said, on: a.day(s)}
			again := slices.ContainsFunc(answers[i+1:], func(b dueAnswer) bool { return b.speaksOf(&p) })
			if !again && !s.dueRenewed(&p, f) {
				out = append(out, p)
			}
		}
	}
	return out
}

// speaksOf reports whether an answer is about what was put off: the same item of the same estimate, or the same job at the same place.
func (a *dueAnswer) speaksOf(p *duePut) bool {
	return slices.ContainsFunc(a.estimate.Items, func(it estimate.Item) bool {
		same := a.estimate.Number == p.answer.estimate.Number && it.ID == p.item.ID || it.Job != "" && it.Job == p.item.Job && it.At == p.item.At
		return same && slices.ContainsFunc(a.decision.Said.Answers, func(x estimate.Answer) bool { return x.Item == it.ID })
	})
}

// dueRenewed reports whether everything that a job renews was renewed at its place after it was put off: on a later day, or on the same
// day and written down later.
func (s *Shop) dueRenewed(p *duePut, f *carFacts) bool {
	j := s.cat.Jobs[p.item.Job]
	if j == nil || len(j.Renews) == 0 {
		return false
	}
	for _, item := range j.Renews {
		reached := func(at string) bool {
			return slices.ContainsFunc(f.renewals, func(n RenewalFact) bool {
				return n.Item == item && (n.On > p.on || n.On == p.on && n.Seq > p.answer.decision.Seq) && renewalReaches(n.At, at)
			})
		}
		at := p.item.At
		both := slices.Contains(point.Axles, at) && reached(at+"L") && reached(at+"R")
		if !both && !reached(at) {
			return false
		}
	}
	return true
}

// looksAfter reports whether a point was looked at in a round that was begun after a close-out.
func (f *carFacts) looksAfter(point string, c *Kept[CloseOut]) bool {
	began := map[string]bool{}
	for i := range f.rounds {
		began[f.rounds[i].ID] = f.rounds[i].Seq > c.Seq && f.rounds[i].ID != c.Said.RoundID
	}
	return slices.ContainsFunc(f.history, func(m ReadingFact) bool {
		return m.Point == point && began[m.RoundID] && m.Skipped == "" && !m.Withdrawn
	})
}

// answered reports whether an owner has answered to one of a finding's jobs where it is, after the round that found it. What was agreed
// and then could not be done is not answered.
func (d *dueDealings) answered(f *judge.Finding, r RoundFact) bool {
	for i := range d.answers {
		a := &d.answers[i]
		if a.decision.Seq < r.Seq {
			continue
		}
		for _, it := range a.estimate.Items {
			if it.Job == "" || !slices.Contains(f.Jobs, it.Job) || !renewalReaches(it.At, f.At) && !renewalReaches(f.At, it.At) {
				continue
			}
			if slices.ContainsFunc(a.decision.Said.Answers, func(x estimate.Answer) bool { return x.Item == it.ID }) && !a.failed(it.ID) {
				return true
			}
		}
	}
	return false
}

// failed reports whether an item was closed out as not done.
func (a *dueAnswer) failed(item string) bool {
	return a.closed != nil && slices.ContainsFunc(a.closed.Items, func(x ItemDone) bool { return x.Item == item && !x.Done })
}

// accepted names the items that the owner accepted.
func (a *dueAnswer) accepted() (names []string) {
	for _, it := range a.estimate.Items {
		if slices.ContainsFunc(a.decision.Said.Answers, func(x estimate.Answer) bool { return x.Item == it.ID && x.Answer == estimate.Accept }) {
			names = append(names, it.Name)
		}
	}
	return names
}
