package shop

import (
	"context"
	"errors"
	"fmt"
	"net/mail"
	"strings"
)

// check refuses a consent that names no mail address, no token or no way in which it was given.
func (b *Consent) check() error {
	if a, err := mail.ParseAddress(b.Email); err != nil || a.Address != b.Email || a.Name != "" {
		return fmt.Errorf("consent: %q is no mail address", b.Email)
	}
	if len(b.Token) != tokenLength || b.How == "" {
		return errors.New("consent: no token, or not said how it was given")
	}
	return nil
}

// Ways in which a consent ended.
const (
	StopLink     = "link"
	StopOneClick = "one-click"
	StopAdviser  = "adviser"
)

func (b *Stop) check() error {
	switch b.How {
	case StopLink, StopOneClick, StopAdviser:
		return nil
	}
	return fmt.Errorf("stop: %q is no way to stop", b.How)
}

// CarConsent is whether a car's owner gets reminders.
type CarConsent struct {
	Car CarVersion
	// Consent is the last that was given; nil for none.
	Consent *Kept[Consent]
	// Stopped is what ended it; nil while nobody did.
	Stopped *Kept[Stop]
	// Moved is true when the owner's address is another by now, so that it counts no longer.
	Moved bool
}

// Stands reports whether reminders may be sent.
func (c *CarConsent) Stands() bool { return c.Consent != nil && c.Stopped == nil && !c.Moved }

// Consent says whether a car's owner gets reminders.
func (s *Shop) Consent(ctx context.Context, carID string) (c *CarConsent, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		c, err = consentOf(ctx, r, carID)
		return err
	})
	return c, err
}

func consentOf(ctx context.Context, r Reader, carID string) (*CarConsent, error) {
	c := &CarConsent{}
	var err error
	if c.Car, err = r.Car(ctx, carID); err != nil {
		return nil, err
	}
	last, err := records[Consent](ctx, r, RecordFilter{Kind: KindConsent, CarID: carID, Last: true, Limit: 1})
	if err != nil || len(last) == 0 {
		return c, err
	}
	c.Consent = &last[0]
	c.Moved = !strings.EqualFold(c.Car.Owner.Email, c.Consent.Said.Email)
	stops, err := records[Stop](ctx, r, RecordFilter{Kind: KindStop, Ref: c.Consent.ID, Limit: 1})
	if len(stops) > 0 {
		c.Stopped = &stops[0]
	}
	return c, err
}

// GiveConsent writes down that a car's owner wants reminders at the address that the car has now, and how that was said. The same id
// again changes nothing.
func (s *Shop) GiveConsent(ctx context.Context, id, carID, how, by string) error {
	how = squeeze(how)
	switch {
	case how == "":
		return Invalid{{Field: "how", Text: "Write down how the owner agreed: told you at the counter, signed a form."}}
	case len([]rune(how)) > 200:
		return Invalid{{Field: "how", Text: "This is longer than 200 characters."}}
	}
	defer s.wakeMails()
	return s.store.Update(ctx, func(w Writer) error {
		if done, err := there(ctx, w, id, KindConsent); done || err != nil {
			return err
		}
		c, err := w.Car(ctx, carID)
		if err != nil {
			return err
		}
		if c.Owner.Email == "" {
			return Invalid{{Field: "email", Text: "Enter the owner's mail address with the car first."}}
		}
		token := newToken()
		rec, err := s.record(id, KindConsent, carID, "", by, Consent{Email: c.Owner.Email, Token: token, How: how})
		if err != nil {
			return err
		}
		rec.Once = "consent/" + token
		_, err = w.Put(ctx, Fact{Record: &rec})
		return err
	})
}

// there reports whether a record with that id and kind was stored before: the same form was sent again.
func there(ctx context.Context, r Reader, id, kind string) (bool, error) {
	rec, err := r.Record(ctx, id)
	switch {
	case errors.Is(err, ErrNotFound):
		return false, nil
	case err != nil:
		return false, err
	case rec.Kind != kind:
		return false, ErrConflict
	}
	return true, nil
}

// StopMails ends the reminders of a car's owner on the adviser's word. Where none are sent it changes nothing.
func (s *Shop) StopMails(ctx context.Context, carID, by string) error {
	return s.store.Update(ctx, func(w Writer) error {
		c, err := consentOf(ctx, w, carID)
		if err != nil || c.Consent == nil {
			return err
		}
		return s.stopAddress(ctx, w, c.Consent.Said.Email, StopAdviser, by)
	})
}

// StopView is what the page behind a mail's stop link shows.
type StopView struct {
	// Email is the address with its middle hidden, as the link may have been passed on.
	Email string
	// Stopped is true when nothing goes to the address: not of another car of the owner's either, and not on a later yes.
	Stopped bool
}

// OpenStop finds what a stop link stops; ErrGone for a link that was never given.
func (s *Shop) OpenStop(ctx context.Context, token string) (v StopView, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		c, err := byToken(ctx, r, token)
		if err != nil {
			return err
		}
		v.Email = hiddenAddress(c.Said.Email)
		left, err := consentsFor(ctx, r, c.Said.Email)
		v.Stopped = len(left) == 0
		return err
	})
	return v, err
}

// StopByToken ends all reminders to the address that a link was sent to, for each of the owner's cars. It may be called again.
func (s *Shop) StopByToken(ctx context.Context, token, how string) error {
	return s.store.Update(ctx, func(w Writer) error {
		c, err := byToken(ctx, w, token)
		if err != nil {
			return err
		}
		return s.stopAddress(ctx, w, c.Said.Email, how, "")
	})
}

func byToken(ctx context.Context, r Reader, token string) (*Kept[Consent], error) {
	list, err := records[Consent](ctx, r, RecordFilter{Kind: KindConsent, Once: "consent/" + strings.ToLower(strings.TrimSpace(token))})
	if err != nil {
		return nil, err
	}
	if len(list) == 0 {
		return nil, ErrGone
	}
	return &list[0], nil
}

// stopAddress ends every consent of an address that was not ended before.
func (s *Shop) stopAddress(ctx context.Context, w Writer, email, how, by string) error {
	left, err := consentsFor(ctx, w, email)
	if err != nil {
		return err
	}
	for _, c := range left {
		rec, err := s.record(s.newID(), KindStop, c.CarID, c.ID, by, Stop{How: how})
		if err != nil {
			return err
		}
		rec.Once = "stop/" + c.ID
		if _, err := w.Put(ctx, Fact{Record: &rec}); err != nil {
			return err
		}
	}
	return nil
}

// consentsFor are the consents of an address that were not ended.
func consentsFor(ctx context.Context, r Reader, email string) (out []Kept[Consent], err error) {
	all, err := records[Consent](ctx, r, RecordFilter{Kind: KindConsent})
	if err != nil {
		return nil, err
	}
	for _, c := range all {
		if !strings.EqualFold(c.Said.Email, email) {
			continue
		}
		stops, err := r.Records(ctx, RecordFilter{Kind: KindStop, Ref: c.ID, Limit: 1})
		if err != nil {
			return nil, err
		}
		if len(stops) == 0 {
			out = append(out, c)
		}
	}
	return out, nil
}

// hiddenAddress shows the first letter and the place of a mail address: "a…@example.org".
func hiddenAddress(email string) string {
	name, place, ok := strings.Cut(email, "@")
	if !ok || name == "" {
		return "…"
	}
	return string([]rune(name)[:1]) + "…@" + place
}
