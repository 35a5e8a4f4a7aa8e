package shop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
)

// What a WorkNote says.
const (
	WorkDone    = "done"
	WorkOpen    = "open" // takes back what was noted before
	WorkCannot  = "cannot"
	WorkMinutes = "minutes"
	WorkPart    = "part"
)

// maxWorkMinutes bounds the time of an item (the project's own): a week, day and night.
const maxWorkMinutes = 7 * 24 * 60

// check refuses a note that says nothing, or of nothing.
func (n *WorkNote) check() error {
	var err error
	switch n.What {
	case WorkDone, WorkOpen:
	case WorkCannot:
		if n.Note == "" {
			err = errors.New("work: no reason why it can't be done")
		}
	case WorkMinutes:
		if n.Minutes < 0 || n.Minutes > maxWorkMinutes {
			err = fmt.Errorf("work: %d minutes", n.Minutes)
		}
	case WorkPart:
		if n.Part == nil {
			return errors.New("work: no part")
		}
		err = n.Part.check()
	default:
		err = fmt.Errorf("work: %q; expected done, open, cannot, minutes or part", n.What)
	}
	if n.Item == "" && n.Step == "" {
		err = errors.Join(err, errors.New("work: neither an item nor a step"))
	}
	if tooLong(n.Note) || len(n.Item)+len(n.Step) > 400 {
		err = errors.Join(err, errors.New("work: a text is too long"))
	}
	return err
}

// check refuses a part without a name or amount, or with more than a label holds.
func (f *Fitted) check() error {
	switch {
	case f.Name == "":
		return errors.New("a part without a name")
	case f.Milli <= 0:
		return fmt.Errorf("part %q: amount %s", f.Name, f.Milli)
	case len(f.Name) > 400 || len(f.Number) > 400 || len(f.Batch) > 400 || len(f.Line) > 400:
		return fmt.Errorf("part %q: a text is too long", f.Name[:min(40, len(f.Name))])
	}
	return nil
}

// WorkInput is one thing noted at the car, as typed. Item and Step name what it speaks of as WorkSheet does.
type WorkInput struct {
	ID, DecisionID, Item, Step, What string
	Minutes, Note                    string
	// Number, Batch and Amount are of parts; an empty amount is the one agreed.
	Number, Batch, Amount string
	By                    string
}

// NoteWork stores what happened to a step, a part or an item of agreed work. Sent twice it is stored once. Fields of errors are "note",
// "minutes", "number", "batch", "amount" and "work".
func (s *Shop) NoteWork(ctx context.Context, in WorkInput) error {
	return s.store.Update(ctx, func(w Writer) error {
		o, err := workOrder(ctx, w, in.DecisionID)
		if err != nil {
			return err
		}
		n, bad := s.workNote(o, in)
		if len(bad) > 0 {
			return bad
		}
		rec, err := s.record(in.ID, KindWork, o.Car.CarID, in.DecisionID, in.By, n)
		if err != nil {
			return err
		}
		if _, err := w.Record(ctx, in.ID); o.Close != nil && errors.Is(err, ErrNotFound) {
			return Invalid{{Field: "work", Text: "This work is closed out; nothing can be noted any more."}}
		}
		_, err = w.Put(ctx, Fact{Record: &rec})
		return err
	})
}

// workNote reads what was typed.
func (s *Shop) workNote(o *WorkOrder, in WorkInput) (WorkNote, Invalid) {
	n := WorkNote{Item: in.Item, Step: in.Step, What: in.What, Note: squeeze(in.Note)}
	if tooLong(n.Note) {
		return n, Invalid{{Field: "note", Text: "That is longer than 2000 letters. Keep what matters."}}
	}
	if in.Step != "" {
		return s.stepNote(o, in, n)
	}
	if o.Item(in.Item) == nil {
		return n, Invalid{{Field: "work", Text: "The owner did not agree to this item, or it is another estimate's."}}
	}
	switch in.What {
	case WorkDone, WorkOpen:
	case WorkCannot:
		if n.Note == "" {
			return n, Invalid{{Field: "note", Text: "Say why it can't be done."}}
		}
	case WorkMinutes:
		m, err := parseMinutes(in.Minutes)
		if err != nil {
			return n, Invalid{{Field: "minutes", Text: upperFirst(err.Error()) + "."}}
		}
		n.Minutes = m
	default:
		return n, Invalid{{Field: "work", Text: "Say whether it is done, can't be done, or how long it took."}}
	}
	return n, nil
}

// stepNote reads a note on a step or a part of the sheet. Its words are kept with a tick, so that a tick never speaks of a step that a
// later catalogue words differently.
func (s *Shop) stepNote(o *WorkOrder, in WorkInput, n WorkNote) (WorkNote, Invalid) {
	sheet := s.sheetOf(o)
	if i := slices.IndexFunc(sheet.Lines, func(l WorkLine) bool { return l.Item == in.Item && l.Step == in.Step }); i >= 0 {
		if in.What != WorkDone && in.What != WorkOpen {
			return n, Invalid{{Field: "work", Text: "A step is ticked or open."}}
		}
		n.Note = sheet.Lines[i].Say
		return n, nil
	}
	i := slices.IndexFunc(sheet.Parts, func(p WorkPartLine) bool { return p.Step == in.Step })
	if i < 0 || in.What != WorkPart && in.What != WorkOpen {
		return n, Invalid{{Field: "work", Text: "This step is no longer on the sheet. Open the sheet again."}}
	}
	n.Item = ""
	if in.What == WorkOpen {
		return n, nil
	}
	f, bad := fitted(&sheet.Parts[i], in.Number, in.Batch, in.Amount)
	n.Part = &f
	return n, bad
}

// fitted reads a part as it was fitted; the fields of errors are "number", "batch" and "amount".
func fitted(p *WorkPartLine, number, batch, amount string) (Fitted, Invalid) {
	f := Fitted{Line: p.Line, Name: p.Name, Number: squeeze(number), Batch: squeeze(batch), Milli: p.Milli}
	var bad Invalid
	if utf8.RuneCountInString(f.Number) > 80 {
		bad = append(bad, FieldError{Field: "number", Text: "A part's number has at most 80 letters."})
	}
	if utf8.RuneCountInString(f.Batch) > 80 {
		bad = append(bad, FieldError{Field: "batch", Text: "A batch has at most 80 letters."})
	}
	if amount = strings.TrimSpace(amount); amount != "" {
		q, err := money.ParseMilli(amount)
		switch {
		case err != nil:
			bad = append(bad, FieldError{Field: "amount", Text: upperFirst(err.Error()) + "."})
		case q <= 0:
			bad = append(bad, FieldError{Field: "amount", Text: "An amount is more than 0. What was not fitted is not ticked."})
		case q > estimate.MaxMilli:
			bad = append(bad, FieldError{Field: "amount", Text: "More than " + estimate.MaxMilli.String() + " can't be meant."})
		default:
			f.Milli = q
		}
	}
	return f, bad
}

// parseMinutes reads a time: whole minutes, or hours and minutes as 1:30. Nothing typed is 0.
func parseMinutes(text string) (int, error) {
	text = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "min"))
	if text == "" {
		return 0, nil
	}
	hours, minutes := 0, text
	if h, m, ok := strings.Cut(text, ":"); ok {
		n, err := strconv.Atoi(h)
		if err != nil || n < 0 || n > maxWorkMinutes/60 || len(m) != 2 || m > "59" {
			return 0, fmt.Errorf("%q is not a time such as 90 or 1:30", text)
		}
		hours, minutes = n, m
	}
	n, err := strconv.Atoi(minutes)
	if err != nil || n < 0 || strings.HasPrefix(minutes, "+") {
		return 0, fmt.Errorf("%q is not a time such as 90 or 1:30", text)
	}
	if n > maxWorkMinutes || 60*hours+n > maxWorkMinutes {
		return 0, errors.New("that is longer than a week")
	}
	return 60*hours + n, nil
}
