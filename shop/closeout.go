package shop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"witnessmark/core/work"
)

// CloseOutInput ends the work on an agreed estimate, as typed.
type CloseOutInput struct {
	ID, DecisionID, On, Km string
	// KmNote says why the odometer shows less than before: it was changed.
	KmNote string
	Items  []ItemInput
	Parts  []PartInput
	// Readings are the first looks at what is new. Their ids and rounds are the close-out's own.
	Readings []ReadingInput
	// Looked are the says of looks that were made before the car left; such looks are not scheduled.
	Looked []string
	// Causes are what complaints of the estimate's round turned out to be; those without a cause say nothing.
	Causes    []ConfirmInput
	Note, By  string
	Confirmed bool
}

// ItemInput is how an agreed item ended, as typed: done or not, and then why.
type ItemInput struct{ Item, Outcome, WhyNot, Minutes string }

// The outcomes of an item.
const (
	ItemWasDone = "done"
	ItemWasNot  = "not"
)

// PartInput is a part of the picking list as it was fitted. Step names it as WorkSheet does; only those with On were fitted.
type PartInput struct {
	Step, Number, Batch, Amount string
	On                          bool
}

// CloseOut stores in one transaction how agreed work ended: the close-out itself, a renewal of every item that the done work renews, a
// round with the first readings of what is new, the confirmed causes and the looks to come. What of the estimate is before the owner again
// ends. Sent twice it is stored once; when somebody
// else closed the work out it is ErrConflict. Fields of errors are "on", "km", "note", "done|ITEM", "why|ITEM", "minutes|ITEM",
// "number|STEP", "batch|STEP", "amount|STEP", "cause|COMPLAINT", "cause-note|COMPLAINT" and, of readings, "reading|POINT|AT" with the
// value's name behind it where there is one.
func (s *Shop) CloseOut(ctx context.Context, in CloseOutInput) error {
	causes, badCauses, err := s.closingCauses(ctx, in)
	if err != nil {
		return err
	}
	return s.store.Update(ctx, func(w Writer) error {
		if old, err := w.Record(ctx, in.ID); err == nil && old.Kind == KindCloseOut && old.Ref == in.DecisionID {
			return nil // the same form again
		} else if err != nil && !errors.Is(err, ErrNotFound) {
			return err
		}
		o, err := workOrder(ctx, w, in.DecisionID)
		if err != nil {
			return err
		}
		if o.Close != nil {
			return fmt.Errorf("this work was closed out already: %w", ErrConflict)
		}
		c := closing{s: s, ctx: ctx, w: w, in: in, sheet: s.sheetOf(o), bad: badCauses}
		facts, err := c.facts(causes)
		if err != nil {
			return err
		}
		for _, f := range facts {
			if _, err := w.Put(ctx, f); err != nil {
				return err
			}
		}
		return s.endAsking(ctx, w, o, in)
	})
}

// endAsking ends what of the estimate is still before the owner: an answer to it would take the place of the one whose work is done.
func (s *Shop) endAsking(ctx context.Context, w Writer, o *WorkOrder, in CloseOutInput) error {
	all, err := s.offersOf(ctx, w, o.Car.CarID, o.Draft.Said.Estimate.Number)
	if err != nil {
		return err
	}
	for _, x := range all {
		if x.Decision != nil || x.End != nil {
			continue
		}
		if err := s.endOffer(ctx, w, x, in.ID+"-ends-"+x.Offer.ID, in.By, OfferEnd{Why: "The work on this estimate was closed out."}); err != nil {
			return err
		}
	}
	return nil
}

// closing gathers the facts of a close-out with what is wrong with it.
type closing struct {
	s     *Shop
	ctx   context.Context
	w     Writer
	in    CloseOutInput
	sheet *WorkSheet
	out   CloseOut
	bad   Invalid
}

func (c *closing) wrong(field, format string, args ...any) {
	c.bad = append(c.bad, FieldError{Field: field, Text: fmt.Sprintf(format, args...)})
}

// facts reads everything, in the order in which it is stored: the close-out, renewals, then the readings of what is new, which come after
// them, and the causes.
func (c *closing) facts(causes []ConfirmedFact) ([]Fact, error) {
	if err := c.when(); err != nil {
		return nil, err
	}
	c.items()
	c.parts()
	if c.out.Note = squeeze(c.in.Note); tooLong(c.out.Note) {
		c.wrong("note", "That is longer than 2000 letters. Keep what matters.")
	}
	doings := c.doings()
	c.follows(doings)
	read, err := c.baseline()
	if err != nil {
		return nil, err
	}
	if stopped(c.bad, c.in.Confirmed) {
		return nil, c.bad
	}
	c.out.Again = len(c.sheet.Back)
	rec, err := c.s.record(c.in.ID, KindCloseOut, c.sheet.Car.CarID, c.in.DecisionID, c.in.By, c.out)
	if err != nil {
		return nil, err
	}
	rec.Once = c.out.once(c.in.DecisionID)
	facts := append([]Fact{{Record: &rec}}, c.renewals(doings)...)
	facts = append(facts, read...)
	for i := range causes {
		facts = append(facts, Fact{Confirmed: &causes[i]})
	}
	return facts, nil
}

// when reads day and distance against the car's history. Work is not done before the owner agreed to it.
func (c *closing) when() error {
	history, err := distances(c.ctx, c.w, c.sheet.Car.CarID)
	if err != nil {
		return err
	}
	o := OdometerInput{ID: c.in.ID, CarID: c.sheet.Car.CarID, On: c.in.On, Km: c.in.Km, Note: kmNote(c.in.KmNote), By: c.in.By}
	if strings.TrimSpace(o.Km) == "" {
		c.wrong("km", "Read the odometer: renewals and readings count from it.")
		o.Km = "0"
		if o.On = strings.TrimSpace(o.On); o.On == "" {
			o.On = c.s.today()
		}
		c.bad = c.s.checkDay(o.On, "on", c.bad)
		c.out.On = o.On
	} else {
		f, bad := c.s.odometerFact(o, system(c.sheet.Car), history, "km", "on")
		c.out.On, c.out.Km = f.On, f.Km
		c.bad = append(c.bad, bad...)
	}
	if agreed := c.s.answeredOn(&c.sheet.Decision); day(c.out.On).Before(day(agreed)) && !day(c.out.On).IsZero() {
		c.wrong("on", "The owner agreed on %s; the work was not done before that day.", shortDate(day(agreed)))
	}
	return nil
}

// items reads how each accepted item ended.
func (c *closing) items() {
	for _, st := range c.sheet.States {
		d := ItemDone{Item: st.ID}
		i := slices.IndexFunc(c.in.Items, func(in ItemInput) bool { return in.Item == st.ID })
		if i < 0 {
			c.wrong("done|"+st.ID, "%s: say whether it was done.", st.Name)
			continue
		}
		in := c.in.Items[i]
		switch in.Outcome {
		case ItemWasDone:
			d.Done = true
		case ItemWasNot:
			if d.WhyNot = squeeze(in.WhyNot); d.WhyNot == "" {
				c.wrong("why|"+st.ID, "%s: say why it was not done. It comes back by itself.", st.Name)
			} else if tooLong(d.WhyNot) {
				c.wrong("why|"+st.ID, "That is longer than 2000 letters. Keep what matters.")
			}
		default:
			c.wrong("done|"+st.ID, "%s: say whether it was done.", st.Name)
		}
		m, err := parseMinutes(in.Minutes)
		if err != nil {
			c.wrong("minutes|"+st.ID, "%s: %s.", st.Name, err)
		}
		d.Minutes = m
		c.out.Items = append(c.out.Items, d)
	}
	for _, in := range c.in.Items {
		if c.sheet.Item(in.Item) == nil {
			c.wrong("done|"+in.Item, "The owner did not agree to this item, or it is another estimate's.")
		}
	}
}

// item finds how an item ended.
func (c *closing) item(id string) *ItemDone {
	if i := slices.IndexFunc(c.out.Items, func(d ItemDone) bool { return d.Item == id }); i >= 0 {
		return &c.out.Items[i]
	}
	return nil
}

// parts puts what was fitted with the first done item that takes it.
func (c *closing) parts() {
	for _, in := range c.in.Parts {
		i := slices.IndexFunc(c.sheet.Parts, func(p WorkPartLine) bool { return p.Step == in.Step })
		switch {
		case !in.On:
			continue
		case i < 0:
			c.wrong("number|"+in.Step, "This part is no longer on the list. Open the page again.")
			continue
		}
		p := &c.sheet.Parts[i]
		f, bad := fitted(p, in.Number, in.Batch, in.Amount)
		for _, b := range bad {
			c.wrong(b.Field+"|"+in.Step, "%s: %s", p.Name, b.Text)
		}
		into, open := c.taker(p)
		if into == nil {
			if open {
				continue // what is asked first is whether the item was done
			}
			c.wrong("number|"+in.Step, "%s is ticked as fitted, but nothing that takes it was done.", p.Name)
			continue
		}
		into.Fitted = append(into.Fitted, f)
	}
}

// taker is the first done item that takes a part; open is true while it isn't said of all of them how they ended.
func (c *closing) taker(p *WorkPartLine) (into *ItemDone, open bool) {
	for _, id := range p.Items {
		d := c.item(id)
		if d != nil && d.Done {
			return d, false
		}
		open = open || d == nil || d.WhyNot == ""
	}
	return nil, open
}

// doings are what was done, each once.
func (c *closing) doings() []work.Doing {
	var out []work.Doing
	for _, st := range c.sheet.States {
		if d := c.item(st.ID); d != nil && d.Done && st.Job != "" && !slices.Contains(out, st.Doing) {
			out = append(out, st.Doing)
		}
	}
	return out
}
