package shop

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"witnessmark/core/estimate"
	"witnessmark/core/work"
)

// dealt is what a car's dealings say of doings: what comes back, what was done, what is agreed and still to be done, which looks the
// work called for.
type dealt struct {
	back    []comingBack
	done    []doneDoing
	agreed  []*Agreed // not closed out
	follows []FollowLine
	// placed says on which day the adviser wants a doing, by the want's key.
	placed map[string]string
}

// comingBack is an item that an owner put off, or agreed to and that could not be done. Without a day and a distance it is due now.
type comingBack struct {
	due  string
	item estimate.Item
	// terms are those that the item's prices were under.
	terms estimate.Terms
	on    string
	km    int64
	// why says that it could not be done; empty for what was put off.
	why string
}

// doneDoing is a doing that a close-out says was done.
type doneDoing struct {
	work.Doing
	on         string
	receivedAt int64
}

// dealings reads what a car's records say of doings.
func (s *Shop) dealings(ctx context.Context, r Reader, carID string) (*dealt, error) {
	d := &dealt{placed: map[string]string{}}
	placed, err := records[Placed](ctx, r, RecordFilter{Kind: KindPlaced, CarID: carID})
	if err != nil {
		return nil, err
	}
	for _, k := range placed {
		d.placed[wantKey(k.Said.Job, k.Said.At)] = k.Said.On
	}
	list, err := agreements(ctx, r, carID)
	if err != nil {
		return nil, err
	}
	for _, a := range list {
		if a.close != nil {
			d.done = append(d.done, doneIn(a.Agreed, a.close)...)
		} else {
			d.agreed = append(d.agreed, a.Agreed)
		}
	}
	if d.back, err = s.comingBack(ctx, r, carID); err != nil {
		return nil, err
	}
	// What another estimate has agreed to is not planned again, though this one's owner put it off or it could not be done.
	d.back = slices.DeleteFunc(d.back, func(b comingBack) bool {
		return b.item.Job != "" && s.isAgreed(d, work.Doing{Job: b.item.Job, At: b.item.At})
	})
	d.follows, err = s.FollowUps(ctx, r, carID)
	return d, err
}

// agreement is what was agreed, with its close-out once there is one.
type agreement struct {
	*Agreed
	close *Kept[CloseOut]
}

// agreements lists what a car's owners agreed to and no later answer to the same estimate took back, in order of the answers.
func agreements(ctx context.Context, r Reader, carID string) (out []*agreement, err error) {
	all, err := answersOf(ctx, r, carID)
	if err != nil || len(all) == 0 {
		return nil, err
	}
	stand, _, err := closeOuts(ctx, r, RecordFilter{CarID: carID})
	if err != nil {
		return nil, err
	}
	closed := closedBy(stand)
	for _, x := range all {
		a, err := agreedOf(ctx, r, x.Decision, all)
		if err != nil {
			return nil, err
		}
		if c := closed[x.Decision.ID]; c != nil || a.ReplacedBy == "" && len(a.Accepted) > 0 {
			out = append(out, &agreement{a, c})
		}
	}
	return out, nil
}

// doneIn lists the doings that a close-out says were done.
func doneIn(a *Agreed, c *Kept[CloseOut]) (out []doneDoing) {
	for _, x := range c.Said.Items {
		for _, it := range a.Accepted {
			if x.Done && x.Item == it.ID && it.Job != "" {
				out = append(out, doneDoing{work.Doing{Job: it.Job, At: it.At}, c.Said.On, c.ReceivedAt})
			}
		}
	}
	return out
}

// comingBack lists what was put off, and what was agreed and could not be done, as far as it stands.
func (s *Shop) comingBack(ctx context.Context, r Reader, carID string) (out []comingBack, err error) {
	putOffs, err := s.PutOffs(ctx, r, carID)
	if err != nil {
		return nil, err
	}
	for _, l := range putOffs {
		if l.Kept {
			out = append(out, comingBack{due: l.Due, item: l.Item, terms: l.Terms, on: l.UntilOn, km: l.UntilKm})
		}
	}
	notDone, err := s.NotDone(ctx, r, carID)
	for _, l := range notDone {
		if l.Open {
			why := fmt.Sprintf("It was agreed and could not be done on %s: %s.", day(l.On).Format("2 January 2006"), strings.TrimRight(l.Why, ". "))
			out = append(out, comingBack{due: l.Due, item: l.Item, terms: l.Terms, why: why})
		}
	}
	return out, err
}

// isAgreed reports whether a doing is agreed and still to be done, by itself or on the way of another.
func (s *Shop) isAgreed(d *dealt, x work.Doing) bool {
	for _, a := range d.agreed {
		for _, it := range a.Accepted {
			if o := (work.Doing{Job: it.Job, At: it.At}); o == x || work.Covers(s.cat, o, x) {
				return true
			}
		}
	}
	return false
}

// sameDoing reports whether two items ask for the same: the same doing, or the same item that an adviser typed.
func sameDoing(a, b *estimate.Item) bool {
	return a.Job == b.Job && a.At == b.At && (a.Job != "" || a.ID == b.ID)
}

// wantKey names a doing in forms, placements and estimates: "renew-pads@F", "renew-coolant".
func wantKey(job, at string) string {
	if at == "" {
		return job
	}
	return job + "@" + at
}
