package shop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"witnessmark/core/estimate"
)

// FollowLine is a look that done work calls for.
type FollowLine struct {
	// Due names it on the due list: the close-out's id and the look's.
	Due    string
	CarID  string
	Follow Follow
	// CloseOutID is the close-out that called for it, On the day of the work.
	CloseOutID, On string
	// Looked is true once its point was looked at in a later round; Open until then, or until it was settled.
	Looked, Open bool
}

// FollowUps lists the looks that a car's done work calls for, in order of the close-outs.
func (s *Shop) FollowUps(ctx context.Context, r Reader, carID string) ([]FollowLine, error) {
	list, _, err := closeOuts(ctx, r, RecordFilter{CarID: carID})
	if err != nil || len(list) == 0 {
		return nil, err
	}
	settled, err := settledDues(ctx, r, carID)
	if err != nil {
		return nil, err
	}
	f, err := s.facts(ctx, r, carID)
	if err != nil {
		return nil, err
	}
	var out []FollowLine
	for _, c := range list {
		for _, l := range c.Said.Follows {
			line := FollowLine{Due: c.ID + "/" + l.ID, CarID: carID, Follow: l, CloseOutID: c.ID, On: c.Said.On}
			line.Looked = l.Point != "" && lookedAtSince(f, l.Point, c)
			line.Open = !line.Looked && !settled[line.Due]
			out = append(out, line)
		}
	}
	return out, nil
}

// lookedAtSince reports whether a point was looked at after a close-out: in a round that arrived after it and is of its day or later.
func lookedAtSince(f *carFacts, pointID string, c Kept[CloseOut]) bool {
	later := map[string]bool{}
	for _, rd := range f.rounds {
		if rd.On >= c.Said.On && rd.ID != c.Said.RoundID {
			later[rd.ID] = true
		}
	}
	var looks []ReadingFact
	for _, m := range f.history {
		if m.Point == pointID && later[m.RoundID] && m.Seq > c.Seq {
			looks = append(looks, m)
		}
	}
	byRound := map[string][]ReadingFact{}
	for _, m := range looks {
		byRound[m.RoundID] = append(byRound[m.RoundID], m)
	}
	for _, list := range byRound {
		if slices.ContainsFunc(current(list), func(m ReadingFact) bool { return m.Skipped == "" }) {
			return true
		}
	}
	return false
}

// NotDoneLine is an agreed item that could not be done: it comes back.
type NotDoneLine struct {
	// Due names it on the due list: the close-out's id and the item's.
	Due               string
	CarID, DecisionID string
	// Number is the estimate's.
	Number string
	Item   estimate.Item
	// Terms are those that the item's prices were under.
	Terms estimate.Terms
	// Why says why it was not done, On is the day of the work.
	Why, On string
	// Gone is true once the same doing was done by work agreed on another estimate, was answered anew, or its items were renewed; Open until
	// then, or until it was settled.
	Gone, Open bool
}

// NotDone lists what owners agreed to and could not be done, in order of the close-outs.
func (s *Shop) NotDone(ctx context.Context, r Reader, carID string) ([]NotDoneLine, error) {
	list, _, err := closeOuts(ctx, r, RecordFilter{CarID: carID})
	if err != nil || len(list) == 0 {
		return nil, err
	}
	settled, err := settledDues(ctx, r, carID)
	if err != nil {
		return nil, err
	}
	all, err := answersOf(ctx, r, carID)
	if err != nil {
		return nil, err
	}
	f, err := s.facts(ctx, r, carID)
	if err != nil {
		return nil, err
	}
	var out []NotDoneLine
	for _, c := range list {
		i := slices.IndexFunc(all, func(x *answer) bool { return x.Decision.ID == c.Ref })
		if i < 0 {
			return nil, fmt.Errorf("close-out %s: decision %q: %w", c.ID, c.Ref, ErrNotFound)
		}
		also, err := s.elsewhere(ctx, r, all[i].Draft)
		if err != nil {
			return nil, err
		}
		for _, it := range all[i].Draft.Said.Estimate.Items {
			k := slices.IndexFunc(c.Said.Items, func(x ItemDone) bool { return x.Item == it.ID })
			if k < 0 || c.Said.Items[k].Done {
				continue
			}
			e := &all[i].Draft.Said.Estimate
			l := NotDoneLine{Due: c.ID + "/" + it.ID, CarID: carID, DecisionID: c.Ref, Number: e.Number, Item: it, Terms: e.Terms, Why: c.Said.Items[k].WhyNot, On: c.Said.On}
			l.Gone = answeredLater(all, c.Seq, &it) || s.renewedSinceWork(f, &l) ||
				slices.ContainsFunc(also, func(x Elsewhere) bool { return x.Item == it.ID && x.DoneOn != "" })
			l.Open = !l.Gone && !settled[l.Due]
			out = append(out, l)
		}
	}
	return out, nil
}

// answeredLater reports whether an owner has answered to a doing after a close-out.
func answeredLater(all []*answer, seq int64, it *estimate.Item) bool {
	return slices.ContainsFunc(all, func(x *answer) bool { return x.Decision.Seq > seq && answerTo(x, it) != "" })
}

// renewedSinceWork reports whether all that an item's job renews was renewed since the work, here or elsewhere.
func (s *Shop) renewedSinceWork(f *carFacts, l *NotDoneLine) bool {
	j := s.cat.Jobs[l.Item.Job]
	if j == nil || len(j.Renews) == 0 {
		return false
	}
	for _, item := range j.Renews {
		if !slices.ContainsFunc(f.renewals, func(n RenewalFact) bool {
			return n.Item == item && n.On > l.On && renewalReaches(n.At, l.Item.At)
		}) {
			return false
		}
	}
	return true
}

// check refuses a close-out that says how nothing ended, or that no page could show.
func (c *CloseOut) check() error {
	err := errors.Join(validDay("close-out", c.On), validNumber("close-out", "km", c.Km))
	if c.Again < 0 {
		err = errors.Join(err, fmt.Errorf("close-out: again is %d", c.Again))
	}
	if len(c.Items) == 0 || len(c.Items) > estimate.MaxItems {
		err = errors.Join(err, fmt.Errorf("close-out: %d items", len(c.Items)))
	}
	for i := range c.Items {
		it := &c.Items[i]
		switch {
		case it.Item == "":
			err = errors.Join(err, errors.New("close-out: an item without an id"))
		case it.Done == (it.WhyNot != ""):
			err = errors.Join(err, fmt.Errorf("close-out: item %q is done and says why not, or neither", it.Item))
		case it.Minutes < 0 || it.Minutes > maxWorkMinutes:
			err = errors.Join(err, fmt.Errorf("close-out: item %q: %d minutes", it.Item, it.Minutes))
		}
		for j := range it.Fitted {
			err = errors.Join(err, it.Fitted[j].check())
		}
	}
	for _, f := range c.Follows {
		err = errors.Join(err, validDay("close-out: look", f.On), validNumber("close-out: look", "km", f.Km))
		if f.ID == "" || strings.Contains(f.ID, "/") {
			err = errors.Join(err, fmt.Errorf("close-out: a look's id is %q", f.ID))
		}
	}
	return err
}
