package post

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	netmail "net/mail"
	"strings"
	"time"

	"github.com/wneessen/go-mail"

	"witnessmark/shop"
)

// Ways to secure the connection to the mail server.
const (
	TLSMandatory     = "mandatory"     // STARTTLS, or nothing is sent
	TLSImplicit      = "implicit"      // TLS from the first byte, usually on port 465
	TLSOpportunistic = "opportunistic" // STARTTLS where the server offers it
	TLSNone          = "none"          // for a server on the same machine
)

// SMTPConfig says how mails are handed to a server.
type SMTPConfig struct {
	Host string
	Port int
	// TLS is one of the ways above; empty is mandatory.
	TLS            string
	User, Password string
	// Timeout bounds each step; 0 is half a minute.
	Timeout time.Duration
	// Roots overrides the system's certificate authorities, for tests; may be nil.
	Roots *tls.Config
}

// SMTP is a shop.Postman that hands letters to a mail server. It is safe for concurrent use.
type SMTP struct {
	cfg  SMTPConfig
	opts []mail.Option
}

// NewSMTP checks the settings. Nothing is connected yet.
func NewSMTP(c SMTPConfig) (*SMTP, error) {
	if c.Timeout <= 0 {
		c.Timeout = 30 * time.Second
	}
	opts := []mail.Option{mail.WithTimeout(c.Timeout)}
	switch c.TLS {
	case "", TLSMandatory:
		opts = append(opts, mail.WithTLSPolicy(mail.TLSMandatory))
	case TLSOpportunistic:
		opts = append(opts, mail.WithTLSPolicy(mail.TLSOpportunistic))
	case TLSImplicit:
		opts = append(opts, mail.WithSSL())
	case TLSNone:
		opts = append(opts, mail.WithTLSPolicy(mail.NoTLS))
	default:
		return nil, fmt.Errorf("mail server: there is no way %q to secure the connection; there are mandatory, implicit, opportunistic and none", c.TLS)
	}
	switch {
	case c.Host == "":
		return nil, errors.New("mail server: no host is given")
	case c.Port < 1 || c.Port > 65535:
		return nil, fmt.Errorf("mail server: there is no port %d", c.Port)
	case (c.User == "") != (c.Password == ""):
		return nil, errors.New("mail server: a user needs a password, and a password a user")
	case c.User != "" && (c.TLS == TLSNone || c.TLS == TLSOpportunistic) && !near(c.Host):
		return nil, errors.New("mail server: a password may not go over a connection that need not be encrypted; use mandatory or implicit")
	}
	opts = append(opts, mail.WithPort(c.Port))
	if c.Roots != nil {
		opts = append(opts, mail.WithTLSConfig(c.Roots.Clone()))
	}
	if c.User != "" {
		auth := mail.SMTPAuthAutoDiscover
		if c.TLS == TLSNone {
			auth = mail.SMTPAuthPlainNoEnc
		}
		opts = append(opts, mail.WithSMTPAuth(auth), mail.WithUsername(c.User), mail.WithPassword(c.Password))
	}
	if _, err := mail.NewClient(c.Host, opts...); err != nil {
		return nil, fmt.Errorf("mail server: %w", err)
	}
	return &SMTP{c, opts}, nil
}

// near reports whether a host is this machine.
func near(host string) bool {
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

// CheckSender refuses what is no bare mail address.
func CheckSender(from string) error {
	if a, err := netmail.ParseAddress(from); err != nil || a.Name != "" || a.Address != from {
		return fmt.Errorf("the sender %q is no mail address such as workshop@example.org", from)
	}
	return nil
}

// Post hands one letter over, as shop.Postman says: it connects and signs in, then asks ready, then sends.
func (s *SMTP) Post(ctx context.Context, l shop.Letter, ready func() error) error {
	m, err := message(l)
	if err != nil {
		return fmt.Errorf("%w: %w", shop.ErrRefused, err)
	}
	client, err := mail.NewClient(s.cfg.Host, s.opts...)
	if err != nil {
		return fmt.Errorf("%w: %w", shop.ErrNotTaken, err)
	}
	// A refused sign-in is a mistake in the settings, not in the letter: it waits until somebody has mended them.
	if err := client.DialWithContext(ctx); err != nil {
		return fmt.Errorf("%w: %w", shop.ErrNotTaken, err)
	}
	defer client.Close()
	if err := ready(); err != nil {
		return err
	}
	err = client.Send(m)
	if err == nil || m.IsDelivered() { // a server that takes a letter and then hangs up has taken it
		return nil
	}
	return sorted(err)
}

// sorted tells the errors of a hand-over apart. The server has the whole letter only once the dot behind it was sent, which is when the
// writer is closed: what went wrong before left it without, and what it answers by a number it has decided. Without an answer to the dot
// nobody knows (RFC 5321, section 4.5.3.2.6, asks the client to wait long for it, as a lost answer makes two letters).
func sorted(err error) error {
	var e *mail.SendError
	if !errors.As(err, &e) {
		return err
	}
	switch code := e.ErrorCode(); {
	case code >= 500 && code < 600:
		return fmt.Errorf("%w: %w", shop.ErrRefused, err)
	case code >= 400 || e.Reason != mail.ErrSMTPDataClose && e.Reason != mail.ErrAmbiguous && e.Reason != mail.ErrSMTPReset:
		return fmt.Errorf("%w: %w", shop.ErrNotTaken, err)
	}
	return err
}

// message writes a letter as plain text with what mail programs need to stop it with one click (RFC 8058, section 3.1; RFC 2369, section
// 3.2) and to keep automatic answers away (RFC 3834, section 5).
func message(l shop.Letter) (*mail.Msg, error) {
	m := mail.NewMsg(mail.WithNoDefaultUserAgent(), mail.WithEncoding(mail.EncodingQP))
	if err := m.From((&netmail.Address{Name: strings.Join(strings.Fields(l.FromName), " "), Address: l.From}).String()); err != nil {
		return nil, fmt.Errorf("the sender's address: %w", err)
	}
	if err := m.To(l.To); err != nil {
		return nil, fmt.Errorf("the owner's address: %w", err)
	}
	m.Subject(strings.Join(strings.Fields(l.Subject), " "))
	m.SetMessageIDWithValue(l.MessageID)
	m.SetDateWithValue(l.Date)
	m.SetGenHeader("Auto-Submitted", "auto-generated")
	if l.StopURL != "" {
		if err := m.SetListUnsubscribeOneClick(l.StopURL); err != nil {
			return nil, err
		}
	} else {
		m.SetGenHeaderPreformatted(mail.HeaderListUnsubscribe, "<mailto:"+l.From+"?subject=STOP>")
	}
	m.SetBodyString(mail.TypeTextPlain, l.Text)
	return m, nil
}
