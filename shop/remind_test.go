package shop_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"witnessmark/shop"
)

func TestReminderGoesOutOnce(t *testing.T) {
	r := newRemindBench(t)
	n, err := r.WriteMails(ctx, mailing)
	if err != nil || n != 1 {
		t.Fatalf("%d written, %v", n, err)
	}
	p := &counting{}
	r.run(t, p, time.Hour)
	if len(p.taken) != 1 || r.outbox(t).State != shop.MailSent {
		t.Fatalf("%d sent, state %s", len(p.taken), r.outbox(t).State)
	}
	l := p.taken[0]
	if l.To != "alma@brook.example" || !strings.HasPrefix(l.StopURL, "https://check.example/stop/") || l.MessageID != "mail."+r.outbox(t).ID+"@workshop.example" {
		t.Errorf("letter %+v", l)
	}
	// The round was on 21 March; a seasonal check is due 183 days later.
	for _, want := range []string{"Hello Alma Brook,", "WM-4K 217, Estate 2.0 petrol, 2009", "Sunday, 20 September 2026", l.StopURL, "told us at the counter"} {
		if !strings.Contains(strings.Join(strings.Fields(l.Text), " "), want) {
			t.Errorf("%q is missing in\n%s", want, l.Text)
		}
	}
	if n := strings.Count(l.Text, "Sunday, 20 September 2026"); n != 1 {
		t.Errorf("the day is told %d times in\n%s", n, l.Text)
	}
	// A screen of any width breaks a paragraph by itself.
	if want := "\n\n* The next seasonal check of your car is due around Sunday, 20 September 2026.\n\nForecasts come from "; !strings.Contains(l.Text, want) {
		t.Errorf("%q is missing in\n%s", want, l.Text)
	}
	if strings.Contains(strings.ToLower(l.Text), " safe") {
		t.Errorf("the mail calls something safe:\n%s", l.Text)
	}
	// Weeks later there is nothing new to tell, whatever was restarted meanwhile.
	for range 3 {
		r.now = r.now.AddDate(0, 0, 8)
		r.restart(t)
		if n, err := r.WriteMails(ctx, mailing); err != nil || n > 0 && r.tellsTwice(t) {
			t.Errorf("%d written again, %v", n, err)
		}
		r.run(t, p, 10*time.Minute)
	}
}

// tellsTwice reports whether two mails tell of the same line.
func (r *remindBench) tellsTwice(t testing.TB) bool {
	all, err := r.Outbox(ctx, 0)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, m := range all {
		for _, d := range m.Said.Dues {
			if seen[d] {
				return true
			}
			seen[d] = true
		}
	}
	return false
}

func TestNoConsentNoMail(t *testing.T) {
	tests := []struct {
		name string
		do   func(t *testing.T, r *remindBench)
	}{
		{"stopped by the adviser", func(t *testing.T, r *remindBench) {
			if err := r.StopMails(ctx, r.carID, "ab"); err != nil {
				t.Fatal(err)
			}
		}},
		{"stopped by the owner", func(t *testing.T, r *remindBench) { r.stop(t) }},
		{"another address", func(t *testing.T, r *remindBench) { r.move(t, "other@brook.example") }},
	}
	for _, tt := range tests {
		t.Run(tt.name+" before it is written", func(t *testing.T) {
			r := newRemindBench(t)
			tt.do(t, r)
			if n, err := r.WriteMails(ctx, mailing); n != 0 || err != nil {
				t.Errorf("%d written, %v", n, err)
			}
		})
		t.Run(tt.name+" before it is sent", func(t *testing.T) {
			r := newRemindBench(t)
			if n, err := r.WriteMails(ctx, mailing); n != 1 || err != nil {
				t.Fatalf("%d written, %v", n, err)
			}
			tt.do(t, r)
			p := &counting{}
			r.run(t, p, 10*time.Minute)
			if len(p.taken) != 0 || r.outbox(t).State != shop.MailWithdrawn {
				t.Errorf("%d sent, state %s", len(p.taken), r.outbox(t).State)
			}
		})
		t.Run(tt.name+" while the server is asked", func(t *testing.T) {
			r := newRemindBench(t)
			if n, err := r.WriteMails(ctx, mailing); n != 1 || err != nil {
				t.Fatalf("%d written, %v", n, err)
			}
			did := false
			p := &counting{before: func() {
				if !did {
					did = true
					tt.do(t, r)
				}
			}}
			r.run(t, p, 10*time.Minute)
			if len(p.taken) != 0 || r.outbox(t).State != shop.MailWithdrawn {
				t.Errorf("%d sent, state %s", len(p.taken), r.outbox(t).State)
			}
		})
	}
}

// stop opens the link of the owner's mails and presses the button.
func (r *remindBench) stop(t testing.TB) {
	t.Helper()
	c, err := r.Consent(ctx, r.carID)
	if err != nil {
		t.Fatal(err)
	}
	for range 2 { // twice does no harm
		if err := r.StopByToken(ctx, c.Consent.Said.Token, shop.StopOneClick); err != nil {
			t.Fatal(err)
		}
	}
	if v, err := r.OpenStop(ctx, c.Consent.Said.Token); err != nil || !v.Stopped || v.Email != "a…@brook.example" {
		t.Errorf("%+v, %v", v, err)
	}
}

// move gives the owner another address.
func (r *remindBench) move(t testing.TB, email string) {
	t.Helper()
	c, err := r.Car(ctx, r.carID)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := r.SaveCar(ctx, shop.CarInput{CarID: c.CarID, VersionID: r.id(), Base: c.ID, Plate: c.Plate, Description: c.Description, FirstRegistered: c.FirstRegistered,
		OwnerName: c.Owner.Name, OwnerEmail: email, Facets: c.Facets}); err != nil {
		t.Fatal(err)
	}
}

// The link of an old mail does not say that the reminders are stopped while they go out on a later yes, and stops those.
func TestStopFromAnOldMail(t *testing.T) {
	r := newRemindBench(t)
	old, err := r.Consent(ctx, r.carID)
	if err != nil {
		t.Fatal(err)
	}
	r.stop(t)
	if err := r.GiveConsent(ctx, r.id(), r.carID, "asked for them again", "ab"); err != nil {
		t.Fatal(err)
	}
	if v, err := r.OpenStop(ctx, old.Consent.Said.Token); err != nil || v.Stopped {
		t.Errorf("%+v, %v", v, err)
	}
	if err := r.StopByToken(ctx, old.Consent.Said.Token, shop.StopLink); err != nil {
		t.Fatal(err)
	}
	if v, err := r.OpenStop(ctx, old.Consent.Said.Token); err != nil || !v.Stopped {
		t.Errorf("%+v, %v", v, err)
	}
	if c, err := r.Consent(ctx, r.carID); err != nil || c.Stands() {
		t.Errorf("%v, %v", c, err)
	}
}

func TestStopEndsAllOfAnOwnersCars(t *testing.T) {
	r := newRemindBench(t)
	second := r.car(t, func(in *shop.CarInput) { in.Plate, in.OwnerEmail = "WM-9 100", "Alma@Brook.example" })
	if err := r.GiveConsent(ctx, r.id(), second.CarID, "same talk", "ab"); err != nil {
		t.Fatal(err)
	}
	r.stop(t)
	for _, id := range []string{r.carID, second.CarID} {
		if c, err := r.Consent(ctx, id); err != nil || c.Stands() {
			t.Errorf("%s still stands, %v", id, err)
		}
	}
	if _, err := r.OpenStop(ctx, strings.Repeat("a", 26)); !errors.Is(err, shop.ErrGone) {
		t.Errorf("a link that was never given: %v", err)
	}
}

func TestTwoCarsOneMail(t *testing.T) {
	r := newRemindBench(t)
	r.now = r.now.AddDate(0, 0, -170)
	second := r.car(t, func(in *shop.CarInput) { in.Plate, in.OwnerEmail = "WM-9 100", "alma@brook.example" })
	r.round(t, second.CarID)
	r.now = r.now.AddDate(0, 0, 170)
	if err := r.GiveConsent(ctx, r.id(), second.CarID, "same talk", "ab"); err != nil {
		t.Fatal(err)
	}
	if n, err := r.WriteMails(ctx, mailing); n != 1 || err != nil {
		t.Fatalf("%d written, %v", n, err)
	}
	m := r.outbox(t)
	if !strings.Contains(m.Said.Text, "WM-9 100") || !strings.Contains(m.Said.Text, "WM-4K 217") || len(m.Said.Consents) != 2 {
		t.Errorf("%d consents:\n%s", len(m.Said.Consents), m.Said.Text)
	}
}

func TestNothingIsWrittenInDemoOrWithoutSetUp(t *testing.T) {
	r := newRemindBench(t)
	for _, m := range []shop.Mailing{{}, {Demo: true}, {From: mailing.From, Demo: true}} {
		if n, err := r.WriteMails(ctx, m); n != 0 || err != nil {
			t.Errorf("%+v: %d written, %v", m, n, err)
		}
	}
	if all, err := r.PreviewMails(ctx, shop.Mailing{Demo: true}); err != nil || len(all) != 1 || !strings.Contains(all[0].Text, "answer with the word STOP") {
		t.Errorf("preview %+v, %v", all, err)
	}
	if all, _ := r.Outbox(ctx, 0); len(all) != 0 {
		t.Errorf("%d mails", len(all))
	}
}

func TestServerRefuses(t *testing.T) {
	r := newRemindBench(t)
	if _, err := r.WriteMails(ctx, mailing); err != nil {
		t.Fatal(err)
	}
	p := &counting{after: fmt.Errorf("%w: 550 nobody of that name", shop.ErrRefused)}
	r.run(t, p, time.Hour)
	m := r.outbox(t)
	if m.State != shop.MailGivenUp || !strings.Contains(m.Note, "nobody of that name") {
		t.Fatalf("state %s, %q", m.State, m.Note)
	}
	p.after = nil
	id := r.id()
	for range 2 { // a double click
		if err := r.DecideMail(ctx, id, m.ID, shop.DecideAgain, "ab"); err != nil {
			t.Fatal(err)
		}
	}
	r.run(t, p, time.Hour)
	if m := r.outbox(t); m.State != shop.MailSent || len(p.taken) != 1 {
		t.Errorf("state %s, %d sent", m.State, len(p.taken))
	}
}

// The delays grow from a minute to two hours, and after five days it ends (RFC 5321, section 4.5.4.1: 4 to 5 days at the least).
func TestServerStaysDown(t *testing.T) {
	r := newRemindBench(t)
	if _, err := r.WriteMails(ctx, mailing); err != nil {
		t.Fatal(err)
	}
	began := r.now
	p := &counting{err: fmt.Errorf("%w: connection refused", shop.ErrNotTaken)}
	r.run(t, p, 5*time.Minute)
	if m := r.outbox(t); m.State != shop.MailFailed || m.Tries != 3 || m.Next().Sub(time.UnixMilli(m.At)) != 4*time.Minute {
		t.Errorf("after 5 minutes: %s, %d tries, next in %v", m.State, m.Tries, m.Next().Sub(time.UnixMilli(m.At)))
	}
	r.run(t, p, 5*24*time.Hour-10*time.Minute)
	if m := r.outbox(t); m.State != shop.MailFailed || m.Next().Sub(time.UnixMilli(m.At)) != 2*time.Hour {
		t.Errorf("after nearly 5 days: %s, next in %v", m.State, m.Next().Sub(time.UnixMilli(m.At)))
	}
	r.run(t, p, 3*time.Hour)
	if m := r.outbox(t); m.State != shop.MailGivenUp || !strings.Contains(m.Note, "connection refused") {
		t.Errorf("after %v: %s %q", r.now.Sub(began), m.State, m.Note)
	}
}

func TestRetryNow(t *testing.T) {
	r := newRemindBench(t)
	if _, err := r.WriteMails(ctx, mailing); err != nil {
		t.Fatal(err)
	}
	p := &counting{err: fmt.Errorf("%w: down", shop.ErrNotTaken)}
	r.run(t, p, 24*time.Hour)
	p.err = nil
	if err := r.DecideMail(ctx, r.id(), r.outbox(t).ID, shop.DecideAgain, "ab"); err != nil {
		t.Fatal(err)
	}
	r.run(t, p, time.Minute)
	if len(p.taken) != 1 || r.outbox(t).State != shop.MailSent {
		t.Fatalf("%d sent, %s", len(p.taken), r.outbox(t).State)
	}
	r.run(t, p, 24*time.Hour)
	if len(p.taken) != 1 || len(r.q.tasks) != 0 {
		t.Errorf("%d sent, %d tasks left", len(p.taken), len(r.q.tasks))
	}
}

// Killed at the n-th operation, for n = 1, 2, 3... until a run completes: the mail is written once and sent once at the most; when it can't
// be told whether it went out, the adviser is asked and nothing more is sent.
func TestKilledAnywhereNothingIsSentTwice(t *testing.T) {
	unsure, sent := 0, 0
	for n := 1; ; n++ {
		if n > 400 {
			t.Fatal("no run completes")
		}
		r := newRemindBench(t)
		p := &counting{mine: r.q.fault}
		r.at, r.fail = 0, n
		_, _ = r.WriteMails(ctx, mailing)
		w := r.NewSender(mailing, p, r.q, func(string, error) {})
		for range 5 {
			w.Next(ctx)
		}
		whole := r.at < n
		r.restart(t)
		if _, err := r.WriteMails(ctx, mailing); err != nil {
			t.Fatalf("killed at %d: %v", n, err)
		}
		r.run(t, p, time.Hour)
		m := r.outbox(t)
		switch {
		case len(p.taken) > 1:
			t.Fatalf("killed at %d: sent %d times", n, len(p.taken))
		case m.State == shop.MailSent && len(p.taken) == 1:
			sent++
		case m.State == shop.MailUnsure:
			unsure++
			r.decideUnsure(t, p, m)
		default:
			t.Errorf("killed at %d: %d sent, state %s", n, len(p.taken), m.State)
		}
		if len(r.q.tasks) != 0 {
			t.Errorf("killed at %d: %d tasks left", n, len(r.q.tasks))
		}
		if whole {
			t.Logf("%d places: %d times sent in the end, %d times asked about", n-1, sent, unsure)
			if sent == 0 || unsure == 0 {
				t.Error("one of the two ends never came about")
			}
			return
		}
	}
}

// decideUnsure lets the adviser say that it arrived, or send it again.
func (r *remindBench) decideUnsure(t testing.TB, p *counting, m shop.OutboxMail) {
	t.Helper()
	what := shop.DecideArrived
	if len(p.taken) == 0 {
		what = shop.DecideAgain
	}
	if err := r.DecideMail(ctx, r.id(), m.ID, what, "ab"); err != nil {
		t.Fatal(err)
	}
	r.run(t, p, 10*time.Minute)
	if len(p.taken) != 1 || r.outbox(t).State != shop.MailSent {
		t.Errorf("after the adviser's word: %d sent, %s", len(p.taken), r.outbox(t).State)
	}
}
