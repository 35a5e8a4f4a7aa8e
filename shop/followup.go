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
	// CloseOutID is the close-out that called for it.
	CloseOutID string
	// Open until its point was looked at in a later round, or it was settled.
	Open bool
}

// FollowUps lists the looks that a car's done work calls for, in order of the close-outs.
func (s *Shop) FollowUps(ctx context.Context, r Reader, carID string) ([]FollowLine, error) {
	list, err := records[CloseOut](ctx, r, RecordFilter{Kind: KindCloseOut, CarID: carID})
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
			line := FollowLine{Due: c.ID + "/" + l.ID, CarID: carID, Follow: l, CloseOutID: c.ID}
			line.Open = !settled[line.Due] && (l.Point == "" || !lookedAtSince(f, l.Point, c))
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
	Item              estimate.Item
	Why, On           string
	// Open until the same doing was done by later work, its items were renewed, or it was settled.
	Open bool
}

// NotDone lists what owners agreed to and could not be done, in order of the close-outs.
func (s *Shop) NotDone(ctx context.Context, r Reader, carID string) ([]NotDoneLine, error) {
	list, err := records[CloseOut](ctx, r, RecordFilter{Kind: KindCloseOut, CarID: carID})
	if err != nil || len(list) == 0 {
		return nil, err
	}
	settled, err := settledDues(ctx, r, carID)
	if err != nil {
		return nil, err
	}
	var out []NotDoneLine
	for _, c := range list {
		d, err := decisionOf(ctx, r, c.Ref)
		if err != nil {
			return nil, err
		}
		for _, it := range d.Draft.Said.Estimate.Items {
			i := slices.IndexFunc(c.Said.Items, func(x ItemDone) bool { return x.Item == it.ID })
			if i < 0 {
				continue
			}
			if c.Said.Items[i].Done {
				out = closeNotDone(out, it)
				continue
			}
			due := c.ID + "/" + it.ID
			out = append(out, NotDoneLine{Due: due, CarID: carID, DecisionID: c.Ref, Item: it, Why: c.Said.Items[i].WhyNot, On: c.Said.On, Open: !settled[due]})
		}
	}
	return s.renewedNotDone(ctx, r, carID, out)
}

// closeNotDone closes lines whose doing was done by later work.
func closeNotDone(lines []NotDoneLine, done estimate.Item) []NotDoneLine {
	for i := range lines {
		if sameDoing(&lines[i].Item, &done) {
			lines[i].Open = false
		}
	}
	return lines
}

// renewedNotDone closes lines all of whose items were renewed since, here or elsewhere.
func (s *Shop) renewedNotDone(ctx context.Context, r Reader, carID string, lines []NotDoneLine) ([]NotDoneLine, error) {
	if !slices.ContainsFunc(lines, func(l NotDoneLine) bool { return l.Open }) {
		return lines, nil
	}
	f, err := s.facts(ctx, r, carID)
	if err != nil {
		return nil, err
	}
	for i := range lines {
		j := s.cat.Jobs[lines[i].Item.Job]
		if j == nil || len(j.Renews) == 0 {
			continue
		}
		since := func(item string) bool {
			return slices.ContainsFunc(f.renewals, func(n RenewalFact) bool {
				return n.Item == item && n.On > lines[i].On && renewalReaches(n.At, lines[i].Item.At)
			})
		}
		lines[i].Open = lines[i].Open && slices.ContainsFunc(j.Renews, func(item string) bool { return !since(item) })
	}
	return lines, nil
}

// check refuses a close-out that says how nothing ended, or that no page could show.
func (c *CloseOut) check() error {
	err := errors.Join(validDay("close-out", c.On), validNumber("close-out", "km", c.Km))
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
