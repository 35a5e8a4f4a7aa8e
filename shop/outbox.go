package shop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"
)

// MailWaiting is the state of a mail that nothing happened to yet.
const MailWaiting = "waiting"

// Bounds of sending (the project's own figures; RFC 5321, section 4.5.4.1, asks to go on for 4 to 5 days at the least).
const (
	mailFirstDelay = time.Minute
	mailMostDelay  = 2 * time.Hour
	mailGiveUp     = 5 * 24 * time.Hour
	// mailLease is how long one attempt may take at the most. A mail that was being handed over so long ago was left by a crash.
	mailLease = 10 * time.Minute
)

func (b *MailStep) check() error {
	if !slices.Contains([]string{MailHanding, MailSent, MailFailed, MailGivenUp, MailUnsure, MailWithdrawn, MailAgain}, b.Step) {
		return fmt.Errorf("mail-step: there is no step %q", b.Step)
	}
	return nil
}

// OutboxMail is a mail with what became of it.
type OutboxMail struct {
	Kept[Mail]
	// State is the last step, or MailWaiting; Note what was said of it, At when it was taken and By who decided.
	State, Note, By string
	At              int64
	// Tries are the failed attempts since it was written, or since the adviser's last word; Since is when that was.
	Tries int
	Since int64
	steps int
}

// Next is when a failed mail is tried again; the zero time for one that is not.
func (m *OutboxMail) Next() time.Time {
	if m.State != MailFailed {
		return time.Time{}
	}
	delay := mailFirstDelay
	for i := 1; i < m.Tries && delay < mailMostDelay; i++ {
		delay *= 2
	}
	return time.UnixMilli(m.At).Add(min(delay, mailMostDelay))
}

// Over reports whether a mail is at its end, unless the adviser decides otherwise.
func (m *OutboxMail) Over() bool {
	switch m.State {
	case MailSent, MailGivenUp, MailUnsure, MailWithdrawn:
		return true
	}
	return false
}

// follow takes one step.
func (m *OutboxMail) follow(st Kept[MailStep]) {
	m.State, m.Note, m.At, m.By = st.Said.Step, st.Said.Note, st.ReceivedAt, st.By
	m.steps++
	switch st.Said.Step {
	case MailFailed:
		m.Tries++
	case MailAgain:
		m.Tries, m.Since, m.State = 0, st.ReceivedAt, MailWaiting
	}
}

func newOutboxMail(m Kept[Mail], steps []Kept[MailStep]) OutboxMail {
	o := OutboxMail{Kept: m, State: MailWaiting, At: m.ReceivedAt, Since: m.ReceivedAt}
	for _, st := range steps {
		o.follow(st)
	}
	return o
}

// outboxMail reads one mail with its steps.
func outboxMail(ctx context.Context, r Reader, id string) (OutboxMail, error) {
	rec, err := r.Record(ctx, id)
	if err != nil {
		return OutboxMail{}, err
	}
	if rec.Kind != KindMail {
		return OutboxMail{}, ErrNotFound
	}
	m, err := kept[Mail](rec)
	if err != nil {
		return OutboxMail{}, err
	}
	steps, err := records[MailStep](ctx, r, RecordFilter{Kind: KindMailStep, Ref: id})
	return newOutboxMail(m, steps), err
}

// Outbox lists the newest mails, the newest first, at most so many; 0 is all.
func (s *Shop) Outbox(ctx context.Context, limit int) (out []OutboxMail, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		list, err := records[Mail](ctx, r, RecordFilter{Kind: KindMail, Last: true, Limit: limit})
		if err != nil {
			return err
		}
		for _, m := range list {
			steps, err := records[MailStep](ctx, r, RecordFilter{Kind: KindMailStep, Ref: m.ID})
			if err != nil {
				return err
			}
			out = append(out, newOutboxMail(m, steps))
		}
		return nil
	})
	return out, err
}

// step writes down a step of a mail. Its key is the number of steps before, so that of two who take a step at once only one does; the
// other gets ErrConflict.
func (s *Shop) step(ctx context.Context, w Writer, m *OutboxMail, id, by, step, note string) error {
	rec, err := s.record(id, KindMailStep, m.CarID, m.ID, by, MailStep{Step: step, Note: clip(note, 500)})
	if err != nil {
		return err
	}
	rec.Once = fmt.Sprintf("mail-step/%s/%d", m.ID, m.steps)
	_, err = w.Put(ctx, Fact{Record: &rec})
	return err
}

// clip shortens a text that came from elsewhere to so many letters.
func clip(text string, most int) string {
	r := []rune(squeeze(text))
	if len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return string(r)
}

// What an adviser can decide about a mail.
const (
	// DecideAgain tries it once more. Of one that may have gone out that may be a second time, and it is the adviser who says so.
	DecideAgain = "again"
	// DecideArrived says that one that may have gone out has arrived, DecideLeave that it is not to be sent any more.
	DecideArrived = "arrived"
	DecideLeave   = "leave"
)

// DecideMail writes down what the adviser decided about a mail. It is Invalid where that can't be decided any more. The same id again
// changes nothing.
func (s *Shop) DecideMail(ctx context.Context, id, mailID, what, by string) error {
	defer s.wakeMails()
	return s.store.Update(ctx, func(w Writer) error {
		if done, err := there(ctx, w, id, KindMailStep); done || err != nil {
			return err
		}
		m, err := outboxMail(ctx, w, mailID)
		if err != nil {
			return err
		}
		switch {
		case what == DecideArrived && m.State == MailUnsure:
			return s.step(ctx, w, &m, id, by, MailSent, "The adviser says that it arrived.")
		case what == DecideLeave && (m.State == MailUnsure || m.State == MailFailed || m.State == MailWaiting):
			return s.step(ctx, w, &m, id, by, MailGivenUp, "The adviser decided not to send it.")
		case what == DecideAgain && (m.State == MailUnsure || m.State == MailFailed || m.State == MailGivenUp):
			if err := s.step(ctx, w, &m, id, by, MailAgain, ""); err != nil {
				return err
			}
			return w.Enqueue(ctx, Task{Kind: MailTask, Ref: mailID})
		}
		return Invalid{{Field: "what", Text: "That can't be decided for this mail any more: look at its state."}}
	})
}

// requeue queues every mail that is not at its end, for a start after a crash, an import or a restored backup. A mail that has a task
// already gets a second one, which finds nothing left to do.
func (s *Shop) requeue(ctx context.Context) error {
	return s.store.Update(ctx, func(w Writer) error {
		mails, err := records[Mail](ctx, w, RecordFilter{Kind: KindMail})
		if err != nil {
			return err
		}
		steps, err := records[MailStep](ctx, w, RecordFilter{Kind: KindMailStep})
		if err != nil {
			return err
		}
		of := map[string][]Kept[MailStep]{}
		for _, st := range steps {
			of[st.Ref] = append(of[st.Ref], st)
		}
		for _, m := range mails {
			if o := newOutboxMail(m, of[m.ID]); !o.Over() {
				err = errors.Join(err, w.Enqueue(ctx, Task{Kind: MailTask, Ref: m.ID}))
			}
		}
		return err
	})
}
