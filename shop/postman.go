package shop

import (
	"context"
	"errors"
	"time"
)

// Letter is a mail as it goes out.
type Letter struct {
	// From and To are bare addresses; FromName is the workshop's name.
	From, FromName, To string
	Subject, Text      string
	// MessageID is without angle brackets; the same mail always has the same.
	MessageID string
	// Date is when it was written.
	Date time.Time
	// StopURL is the https address that stops the mails with one click (RFC 8058); empty when none can be reached.
	StopURL string
}

// Postman hands one letter to a mail server. Ready is called once the server has answered and would take a letter, before any of it is
// given to the server; when it fails nothing may be given. Its errors are ErrNotTaken while it is sure that the server has not taken the
// letter, ErrRefused when the server never will, and anything else when that can't be told. What Ready returned comes back as it is.
type Postman interface {
	Post(ctx context.Context, l Letter, ready func() error) error
}

// Errors of a Postman.
var (
	// ErrNotTaken says that the server has surely not taken the letter, and may later.
	ErrNotTaken = errors.New("the mail server did not take it")
	// ErrRefused says that the server refused it for good.
	ErrRefused = errors.New("the mail server refused it")
)

// Mailing is how reminders go out.
type Mailing struct {
	// From is the workshop's address. Empty means that reminders are not set up.
	From string
	// PublicURL is where owners reach the server; empty leaves the stop to an answer by mail.
	PublicURL string
	// Demo is true where nothing may ever be sent.
	Demo bool
}

// SetUp reports whether mails are written and sent.
func (m Mailing) SetUp() bool { return m.From != "" && !m.Demo }
