package shop

import (
	"cmp"
	"context"
	"slices"
	"time"

	"witnessmark/core/estimate"
)

// WorkOrder is work that an owner agreed to, with what has happened to it since.
type WorkOrder struct {
	Car      CarVersion
	Draft    Kept[EstimateDraft]
	Decision Kept[Decision]
	// Items are what was accepted, in the estimate's order.
	Items []estimate.Item
	// Notes are what was noted while it was worked on, in order of arrival: under earlier answers to the same estimate too, as far as it is
	// still agreed.
	Notes []Kept[WorkNote]
	// Close is its close-out; nil while the work is open.
	Close *Kept[CloseOut]
	// Back are close-outs of it that were taken back, oldest first.
	Back []TakenBack
	// Elsewhere is what of it other estimates hold too, or did already. WorkOrder and WorkSheet fill it, lists leave it empty.
	Elsewhere []Elsewhere
}

// Item finds an accepted item, or nil.
func (o *WorkOrder) Item(id string) *estimate.Item {
	for i := range o.Items {
		if o.Items[i].ID == id {
			return &o.Items[i]
		}
	}
	return nil
}

// elsewhere gives what of an item stands elsewhere, what was done first.
func (o *WorkOrder) elsewhere(item string) (out []Elsewhere) {
	for _, x := range o.Elsewhere {
		switch {
		case x.Item != item:
		case x.DoneOn != "":
			out = slices.Insert(out, 0, x)
		default:
			out = append(out, x)
		}
	}
	return out
}

// Begun reports whether anything was noted that stands.
func (o *WorkOrder) Begun() bool {
	for _, n := range o.lastNotes() {
		if n.Said.What != WorkOpen && (n.Said.What != WorkMinutes || n.Said.Minutes > 0) {
			return true
		}
	}
	return false
}

// noted is what a note speaks of.
type noted struct{ item, step string }

// notedMinutes stands for an item's time, which is noted beside how the item stands.
const notedMinutes = "\x00minutes"

// lastNotes are the notes that count: the last of each item and step.
func (o *WorkOrder) lastNotes() map[noted]*Kept[WorkNote] {
	last := map[noted]*Kept[WorkNote]{}
	for i := range o.Notes {
		n := &o.Notes[i]
		k := noted{n.Said.Item, n.Said.Step}
		if n.Said.What == WorkMinutes {
			k.step = notedMinutes
		}
		last[k] = n
	}
	return last
}

// WorkBoard is the day's work: agreed and not begun, in work, and closed out today.
type WorkBoard struct{ Waiting, InWork, Closed []*WorkOrder }

// Work lists the work that is agreed and not closed out, that of the earliest visit first, and what was closed out today.
func (s *Shop) Work(ctx context.Context) (*WorkBoard, error) {
	var b WorkBoard
	err := s.store.View(ctx, func(r Reader) error {
		stand, _, err := closeOuts(ctx, r, RecordFilter{})
		if err != nil {
			return err
		}
		closed := closedBy(stand)
		agreed, err := r.Records(ctx, RecordFilter{Kind: KindDecision})
		if err != nil {
			return err
		}
		for _, rec := range agreed {
			c := closed[rec.ID]
			if c != nil && !s.receivedToday(c.Record) {
				continue
			}
			o, err := orderOf(ctx, r, rec)
			if err != nil {
				return err
			}
			b.add(o)
		}
		return nil
	})
	byVisit := func(a, b *WorkOrder) int {
		return cmp.Compare(a.Draft.Said.Estimate.VisitOn, b.Draft.Said.Estimate.VisitOn)
	}
	slices.SortStableFunc(b.Waiting, byVisit)
	slices.SortStableFunc(b.InWork, byVisit)
	slices.Reverse(b.Closed)
	return &b, err
}

func (b *WorkBoard) add(o *WorkOrder) {
	switch {
	case o == nil:
	case o.Close != nil:
		b.Closed = append(b.Closed, o)
	case o.Begun():
		b.InWork = append(b.InWork, o)
	default:
		b.Waiting = append(b.Waiting, o)
	}
}

// WorkOf lists the agreed work of a car, closed out or not, oldest first.
func (s *Shop) WorkOf(ctx context.Context, carID string) (out []*WorkOrder, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		agreed, err := r.Records(ctx, RecordFilter{Kind: KindDecision, CarID: carID})
		if err != nil {
			return err
		}
		for _, rec := range agreed {
			o, err := orderOf(ctx, r, rec)
			if err != nil {
				return err
			}
			if o != nil {
				out = append(out, o)
			}
		}
		return nil
	})
	return out, err
}

func (s *Shop) receivedToday(rec Record) bool { return s.dayOf(rec.ReceivedAt) == s.today() }

// dayOf is the day of a moment on the server's calendar.
func (s *Shop) dayOf(at int64) string {
	return time.UnixMilli(at).In(s.now().Location()).Format(dayLayout)
}

// WorkOrder gives agreed work by the decision that agreed to it; ErrNotFound when there is none or nothing of it is agreed.
func (s *Shop) WorkOrder(ctx context.Context, decisionID string) (o *WorkOrder, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		if o, err = workOrder(ctx, r, decisionID); err == nil {
			o.Elsewhere, err = s.elsewhere(ctx, r, o.Draft)
		}
		return err
	})
	return o, err
}

func workOrder(ctx context.Context, r Reader, decisionID string) (*WorkOrder, error) {
	rec, err := r.Record(ctx, decisionID)
	if err != nil {
		return nil, err
	}
	if rec.Kind != KindDecision {
		return nil, ErrNotFound
	}
	o, err := orderOf(ctx, r, rec)
	if err == nil && o == nil {
		err = ErrNotFound
	}
	return o, err
}

// orderOf reads what belongs to a decision; nil when nothing was accepted, or a later answer to the same estimate took its place.
func orderOf(ctx context.Context, r Reader, rec Record) (*WorkOrder, error) {
	d, err := kept[Decision](rec)
	if err != nil {
		return nil, err
	}
	all, err := answersOf(ctx, r, rec.CarID)
	if err != nil {
		return nil, err
	}
	a, err := agreedOf(ctx, r, d, all)
	if err != nil || a.ReplacedBy != "" || len(a.Accepted) == 0 {
		return nil, err
	}
	o := WorkOrder{Car: a.Car, Draft: a.Draft, Decision: d, Items: a.Accepted}
	if o.Notes, err = carried(ctx, r, &o, all); err != nil {
		return nil, err
	}
	own, err := records[WorkNote](ctx, r, RecordFilter{Kind: KindWork, Ref: rec.ID})
	if err != nil {
		return nil, err
	}
	o.Notes = append(o.Notes, own...)
	stand, back, err := closeOuts(ctx, r, RecordFilter{Ref: rec.ID})
	o.Close, o.Back = closedBy(stand)[rec.ID], back
	return &o, err
}
