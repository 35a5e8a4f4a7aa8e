package shop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sort"
	"strings"
	"time"
)

// Bounds of reminders (the project's own figures).
const (
	// RemindDays is how many days ahead owners are told when the terms don't say.
	RemindDays = 21
	mailLines  = 12
	mailApart  = 7 * 24 * time.Hour
	// MailTask is the kind of the tasks that send mails; their Ref is the mail's id.
	MailTask = "mail"
)

// check refuses a mail that can't be sent.
func (b *Mail) check() error {
	if b.To == "" || b.Subject == "" || b.Text == "" || len(b.Consents) == 0 || b.Consent != b.Consents[0] || strings.ContainsAny(b.Subject+b.To, "\r\n") {
		return errors.New("mail: no address, subject, text or consent")
	}
	return nil
}

// toldOf are the lines that mails to addresses told of, and when the last mail to each was written, as of an order of arrival.
type toldOf struct {
	dues map[string]bool // address and line
	last map[string]int64
	seq  int64
}

func toldKey(email, due string) string { return strings.ToLower(email) + "\n" + due }

// told reads all mails after a seq into what is known of earlier ones. Mails that were withdrawn before they went out told nothing.
func (t *toldOf) read(ctx context.Context, r Reader) error {
	list, err := records[Mail](ctx, r, RecordFilter{Kind: KindMail, After: t.seq})
	if err != nil {
		return err
	}
	for _, m := range list {
		t.seq = m.Seq
		ended, err := records[MailStep](ctx, r, RecordFilter{Kind: KindMailStep, Ref: m.ID, Last: true, Limit: 1})
		if err != nil {
			return err
		}
		if len(ended) > 0 && ended[0].Said.Step == MailWithdrawn {
			continue
		}
		t.last[strings.ToLower(m.Said.To)] = m.ReceivedAt
		for _, d := range m.Said.Dues {
			t.dues[toldKey(m.Said.To, d)] = true
		}
	}
	return nil
}

// WriteMails writes the reminders that are due now: one mail for each address with a consent that stands and something due within the
// days of the terms that no mail has told it of, a week after the last at the earliest. Each is queued for sending in the transaction
// that writes it. Where mailing is not set up nothing is written.
func (s *Shop) WriteMails(ctx context.Context, m Mailing) (n int, err error) {
	if !m.SetUp() {
		return 0, nil
	}
	drafts, told, err := s.draftMails(ctx, m)
	if err != nil {
		return 0, err
	}
	for _, d := range drafts {
		ok, err := s.writeMail(ctx, d, told)
		if err != nil {
			return n, err
		}
		if ok {
			n++
		}
	}
	return n, nil
}

// PreviewMails gives the mails that would be written now, without writing any.
func (s *Shop) PreviewMails(ctx context.Context, m Mailing) ([]Mail, error) {
	drafts, _, err := s.draftMails(ctx, m)
	var out []Mail
	for _, d := range drafts {
		out = append(out, d.mail)
	}
	return out, err
}

// PreviewMail gives what a mail to a car's owner would say now of everything that is due soon, told before or not, and whether anything
// is. It asks for no consent: it is only shown.
func (s *Shop) PreviewMail(ctx context.Context, carID string, m Mailing) (Mail, bool, error) {
	c, err := s.Consent(ctx, carID)
	if err != nil {
		return Mail{}, false, err
	}
	if c.Consent == nil {
		c.Consent = &Kept[Consent]{Said: Consent{Email: c.Car.Owner.Email, Token: strings.Repeat("x", tokenLength), How: "how it was said"}}
		c.Consent.ReceivedAt = ms(s.now())
	}
	d, err := s.draftMail(ctx, []*CarConsent{c}, m, &toldOf{})
	if err != nil || d == nil {
		return Mail{}, false, err
	}
	return d.mail, true, nil
}

// mailDraft is a mail that could be written.
type mailDraft struct {
	carID string
	mail  Mail
	once  string
	cars  []string
}

func (s *Shop) draftMails(ctx context.Context, m Mailing) (out []*mailDraft, told *toldOf, err error) {
	told = &toldOf{dues: map[string]bool{}, last: map[string]int64{}}
	groups := map[string][]*CarConsent{}
	err = s.store.View(ctx, func(r Reader) error {
		all, err := r.Records(ctx, RecordFilter{Kind: KindConsent})
		if err != nil {
			return err
		}
		seen := map[string]bool{}
		for _, rec := range all {
			if seen[rec.CarID] {
				continue
			}
			seen[rec.CarID] = true
			c, err := consentOf(ctx, r, rec.CarID)
			if err != nil {
				return err
			}
			if c.Stands() {
				at := strings.ToLower(c.Consent.Said.Email)
				groups[at] = append(groups[at], c)
			}
		}
		return told.read(ctx, r)
	})
	if err != nil {
		return nil, nil, err
	}
	addresses := make([]string, 0, len(groups))
	for at := range groups {
		addresses = append(addresses, at)
	}
	sort.Strings(addresses)
	for _, at := range addresses {
		if last, ok := told.last[at]; ok && s.now().Sub(time.UnixMilli(last)) < mailApart {
			continue
		}
		d, err := s.draftMail(ctx, groups[at], m, told)
		if err != nil {
			return nil, nil, err
		}
		if d != nil {
			out = append(out, d)
		}
	}
	return out, told, nil
}

// draftMail writes the mail to one address about its cars; nil when there is nothing to tell.
func (s *Shop) draftMail(ctx context.Context, cars []*CarConsent, m Mailing, told *toldOf) (*mailDraft, error) {
	terms, _, err := s.Terms(ctx)
	if err != nil {
		return nil, err
	}
	ahead := terms.RemindDays
	if ahead <= 0 {
		ahead = RemindDays
	}
	first := cars[0].Consent
	until := isoDay(s.now().AddDate(0, 0, ahead))
	p := &mailParts{workshop: s.name, address: terms.Address, owner: cars[0].Car.Owner.Name, agreed: isoDay(time.UnixMilli(first.ReceivedAt)), how: first.Said.How}
	if m.PublicURL != "" {
		p.stop = m.stopURL(first.Said.Token)
	}
	d := &mailDraft{mail: Mail{Consent: first.ID, To: first.Said.Email}}
	for _, c := range cars {
		lines, err := s.CarDue(ctx, c.Car.CarID)
		if err != nil {
			return nil, err
		}
		lines = slices.DeleteFunc(lines, func(l DueLine) bool {
			return l.On > until || l.Tell == "" || told.dues[toldKey(first.Said.Email, l.ID)]
		})
		if room := mailLines - len(d.mail.Dues); len(lines) > room {
			lines = lines[:room]
		}
		if len(lines) == 0 {
			continue
		}
		for _, l := range lines {
			d.mail.Dues = append(d.mail.Dues, l.ID)
		}
		d.mail.Consents = append(d.mail.Consents, c.Consent.ID)
		d.cars = append(d.cars, c.Car.CarID)
		p.cars = append(p.cars, mailCar{c.Car, lines, s.lastRoundOn(ctx, c.Car.CarID)})
	}
	if len(d.mail.Dues) == 0 {
		return nil, nil
	}
	d.carID, d.mail.Consent = d.cars[0], d.mail.Consents[0]
	d.mail.Subject, d.mail.Text = squeeze(p.subject()), p.text()
	year, week := s.now().ISOWeek()
	d.once = fmt.Sprintf("mail/%s/%d-W%02d", hashToken(strings.ToLower(d.mail.To)), year, week)
	return d, nil
}

// lastRoundOn is the day on which a car was looked at last, empty where that is not known.
func (s *Shop) lastRoundOn(ctx context.Context, carID string) (on string) {
	_ = s.store.View(ctx, func(r Reader) error {
		rounds, err := r.Rounds(ctx, carID)
		if len(rounds) > 0 {
			on = rounds[0].On
		}
		return err
	})
	return on
}

// writeMail stores a drafted mail with its task, unless something has changed since it was drafted: somebody else told the same, or a
// consent ended.
func (s *Shop) writeMail(ctx context.Context, d *mailDraft, told *toldOf) (written bool, err error) {
	rec, err := s.record(s.newID(), KindMail, d.carID, "", "", d.mail)
	if err != nil {
		return false, err
	}
	rec.Once = d.once
	err = s.store.Update(ctx, func(w Writer) error {
		now := &toldOf{dues: map[string]bool{}, last: map[string]int64{}, seq: told.seq}
		if err := now.read(ctx, w); err != nil {
			return err
		}
		if _, ok := now.last[strings.ToLower(d.mail.To)]; ok {
			return ErrConflict
		}
		if ok, err := consentsStand(ctx, w, d.mail.Consents); !ok || err != nil {
			return errors.Join(err, ErrConflict)
		}
		if _, err := w.Put(ctx, Fact{Record: &rec}); err != nil {
			return err
		}
		return w.Enqueue(ctx, Task{Kind: MailTask, Ref: rec.ID})
	})
	if errors.Is(err, ErrConflict) {
		return false, nil
	}
	return err == nil, err
}

// consentsStand reports whether each of some consents is its car's last, nobody has stopped it and the address is still the owner's.
func consentsStand(ctx context.Context, r Reader, ids []string) (bool, error) {
	for _, id := range ids {
		rec, err := r.Record(ctx, id)
		if errors.Is(err, ErrNotFound) {
			return false, nil
		}
		if err != nil {
			return false, err
		}
		c, err := consentOf(ctx, r, rec.CarID)
		if err != nil {
			return false, err
		}
		if !c.Stands() || c.Consent.ID != id {
			return false, nil
		}
	}
	return true, nil
}

// stopURL is the page that stops the mails.
func (m Mailing) stopURL(token string) string {
	return strings.TrimRight(m.PublicURL, "/") + "/stop/" + token
}
