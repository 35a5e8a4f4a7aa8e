package shop

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"strings"
	"time"
)

// Timing of the worker (the project's own figures).
const (
	mailLook     = 20 * time.Second // between looks at the queue
	mailWriting  = 30 * time.Minute // between looks for what is due
	mailAttempt  = 3 * time.Minute  // for one attempt; well within the lease
	mailTakeBack = time.Minute      // until a task is tried again that failed on our side
)

// worker sends mails, one at a time.
type worker struct {
	shop    *Shop
	mailing Mailing
	postman Postman
	queue   Queue
	say     func(what string, err error)
	// held is the task that waits for each mail, and spare are tasks whose mail has got a newer one since: they are finished when they come.
	held  map[string]string
	spare map[string]bool
}

// Remind writes and sends reminders until ctx ends. What goes wrong on our side is told to say, and tried again later.
func (s *Shop) Remind(ctx context.Context, m Mailing, p Postman, q Queue, say func(what string, err error)) {
	if !m.SetUp() {
		return
	}
	w := &worker{s, m, p, q, say, map[string]string{}, map[string]bool{}}
	if err := s.requeue(ctx); err != nil && ctx.Err() == nil {
		say("queueing the mails that wait", err)
	}
	tick := time.NewTicker(mailLook)
	defer tick.Stop()
	var wrote time.Time
	for {
		if now := time.Now(); now.Sub(wrote) >= mailWriting {
			wrote = now
			if _, err := s.WriteMails(ctx, m); err != nil && ctx.Err() == nil {
				say("writing reminders", err)
			}
		}
		for w.next(ctx) {
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		case <-s.mailWake:
			wrote = time.Time{}
		}
	}
}

// wakeMails lets the worker look at once, if there is one.
func (s *Shop) wakeMails() {
	select {
	case s.mailWake <- struct{}{}:
	default:
	}
}

// next takes one task and does it; false when none is ready, or the queue fails.
func (w *worker) next(ctx context.Context) bool {
	t, err := w.queue.Take(ctx, MailTask, mailLease)
	if err != nil && ctx.Err() == nil {
		w.say("taking a task", err)
	}
	if err != nil || t == nil {
		return false
	}
	if w.spare[t.ID] {
		delete(w.spare, t.ID)
		w.note("finishing a task", w.queue.Finish(ctx, t))
		return true
	}
	if id, ok := w.held[t.Ref]; ok && id != t.ID {
		w.spare[id] = true
	}
	delete(w.held, t.Ref)
	again, err := w.shop.deliver(ctx, w.mailing, w.postman, t.Ref)
	ctx = context.WithoutCancel(ctx)
	switch {
	case errors.Is(err, ErrNotFound):
		w.note("finishing a task", w.queue.Finish(ctx, t))
	case err != nil:
		w.say("sending a mail", err)
		w.note("putting a task back", w.queue.Later(ctx, t, mailTakeBack))
	case again > 0:
		w.held[t.Ref] = t.ID
		w.note("putting a task back", w.queue.Later(ctx, t, again))
	default:
		w.note("finishing a task", w.queue.Finish(ctx, t))
	}
	return true
}

func (w *worker) note(what string, err error) {
	if err != nil {
		w.say(what, err)
	}
}

// deliver takes one mail a step further: it hands it to the server when its time has come, and writes down what became of it. It gives
// how long to wait before the next step, 0 when there is none. An error is one of ours; what the server says is a step.
//
// That a mail is being handed over is stored before the server gets any of it, and that it was not taken, or was, afterwards. What was
// stored as being handed over and has no step after it may have gone out, and is never handed over again by itself.
func (s *Shop) deliver(ctx context.Context, m Mailing, p Postman, mailID string) (again time.Duration, err error) {
	var o OutboxMail
	var stands bool
	var token string
	err = s.store.View(ctx, func(r Reader) error {
		if o, err = outboxMail(ctx, r, mailID); err != nil {
			return err
		}
		if stands, err = consentsStand(ctx, r, o.Said.Consents); err != nil {
			return err
		}
		rec, err := r.Record(ctx, o.Said.Consent)
		if err != nil {
			return err
		}
		c, err := kept[Consent](rec)
		token = c.Said.Token
		return err
	})
	if err != nil {
		return 0, err
	}
	now := s.now()
	switch {
	case o.Over():
		return 0, nil
	case o.State == MailHanding:
		if left := time.UnixMilli(o.At).Add(mailLease).Sub(now); left > 0 { // somebody may be at it
			return left, nil
		}
		return 0, s.stepAlone(ctx, &o, MailUnsure, "The program stopped while this was being handed to the mail server.")
	case !stands:
		return 0, s.stepAlone(ctx, &o, MailWithdrawn, "The owner no longer wants mails, or has another address.")
	case o.State == MailFailed && now.Before(o.Next()):
		return o.Next().Sub(now), nil
	case now.Sub(time.UnixMilli(o.Since)) > mailGiveUp:
		return 0, s.stepAlone(ctx, &o, MailGivenUp, fmt.Sprintf("It could not be sent within %d days. Last: %s", int(mailGiveUp.Hours()/24), cmp.Or(o.Note, "nothing was tried")))
	}
	return s.post(ctx, m, p, &o, token)
}

// post hands one mail over and writes down what came of it.
func (s *Shop) post(ctx context.Context, m Mailing, p Postman, o *OutboxMail, token string) (time.Duration, error) {
	l := Letter{From: m.From, FromName: s.name, To: o.Said.To, Subject: o.Said.Subject, Text: o.Said.Text, MessageID: m.messageID(o.ID), Date: time.UnixMilli(o.ReceivedAt)}
	if strings.HasPrefix(m.PublicURL, "https://") {
		l.StopURL = m.stopURL(token)
	}
	attempt, cancel := context.WithTimeout(ctx, mailAttempt)
	defer cancel()
	var ours error
	handed := false
	err := p.Post(attempt, l, func() error {
		ours = s.hand(ctx, o)
		handed = ours == nil
		return ours
	})
	ctx = context.WithoutCancel(ctx) // what became of it is written down whatever happens
	switch {
	case ours != nil:
		return 0, ours
	case err == nil && !handed:
		return 0, errors.New("the postman reports a mail as sent without having asked whether it may")
	case err == nil:
		return 0, s.stepAlone(ctx, o, MailSent, "")
	case errors.Is(err, ErrRefused):
		return 0, s.stepAlone(ctx, o, MailGivenUp, err.Error())
	case errors.Is(err, ErrNotTaken) || !handed:
		if err := s.stepAlone(ctx, o, MailFailed, err.Error()); err != nil {
			return 0, err
		}
		return o.Next().Sub(s.now()), nil
	}
	return 0, s.stepAlone(ctx, o, MailUnsure, "The connection broke before the server said whether it took it: "+err.Error())
}

// hand writes down that a mail is being handed over, after one more look whether it may be.
func (s *Shop) hand(ctx context.Context, o *OutboxMail) error {
	step := MailStep{Step: MailHanding}
	err := s.store.Update(ctx, func(w Writer) error {
		stands, err := consentsStand(ctx, w, o.Said.Consents)
		if err != nil {
			return err
		}
		if !stands { // the next attempt withdraws it
			return errors.New("the owner stopped the mails while the server was being asked")
		}
		return s.step(ctx, w, o, s.newID(), "", step.Step, "")
	})
	if err == nil {
		o.follow(Kept[MailStep]{Record: Record{ReceivedAt: ms(s.now())}, Said: step})
	}
	return err
}

// stepAlone writes a step down in a transaction of its own.
func (s *Shop) stepAlone(ctx context.Context, o *OutboxMail, step, note string) error {
	id := s.newID()
	if err := s.store.Update(ctx, func(w Writer) error { return s.step(ctx, w, o, id, "", step, note) }); err != nil {
		return err
	}
	o.follow(Kept[MailStep]{Record: Record{ReceivedAt: ms(s.now())}, Said: MailStep{Step: step, Note: note}})
	return nil
}

// messageID is the same for the same mail for ever, so that a server that gets it twice can tell.
func (m Mailing) messageID(mailID string) string {
	place := "witnessmark.invalid"
	if _, host, ok := strings.Cut(m.From, "@"); ok && host != "" {
		place = host
	}
	return "mail." + mailID + "@" + place
}
