package shop_test

import (
	"fmt"
	"io"
	"net"
	"net/mail"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/emersion/go-smtp"

	"witnessmark/post"
	"witnessmark/shop"
)

// mood is how the mail server behaves.
type mood int

const (
	up mood = iota
	refusing
	grey // asks to come back
	busy // answers the letter with a 4xx
)

// mailServer is a real SMTP server whose mood changes.
type mailServer struct {
	mu    sync.Mutex
	now   mood
	got   []string
	tries int
}

func (m *mailServer) set(now mood) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.now = now
}

func (m *mailServer) NewSession(*smtp.Conn) (smtp.Session, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.tries++
	if m.now == refusing {
		return nil, &smtp.SMTPError{Code: 421, Message: "Not now"}
	}
	return mailSession{m}, nil
}

type mailSession struct{ *mailServer }

func (s mailSession) Reset()                               {}
func (s mailSession) Logout() error                        { return nil }
func (s mailSession) Mail(string, *smtp.MailOptions) error { return nil }

func (s mailSession) Rcpt(string, *smtp.RcptOptions) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.now == grey {
		return &smtp.SMTPError{Code: 450, Message: "Come back later"}
	}
	return nil
}

func (s mailSession) Data(r io.Reader) error {
	b, err := io.ReadAll(r)
	s.mu.Lock()
	defer s.mu.Unlock()
	if err == nil && s.now == busy {
		return &smtp.SMTPError{Code: 452, Message: "The disk is full"}
	}
	if err == nil {
		s.got = append(s.got, string(b))
	}
	return err
}

// owners adds cars of further owners who agreed to mails, seen at the same time as the first.
func (r *remindBench) owners(t testing.TB, n int) {
	t.Helper()
	r.now = r.now.AddDate(0, 0, -170)
	for i := range n {
		car := r.car(t, func(in *shop.CarInput) {
			in.Plate, in.OwnerEmail = fmt.Sprint("WM-", i), fmt.Sprintf("owner%d@brook.example", i)
		}).CarID
		r.round(t, car)
		if err := r.GiveConsent(ctx, r.id(), car, "at the counter", "ab"); err != nil {
			t.Fatal(err)
		}
	}
	r.now = r.now.AddDate(0, 0, 170)
}

// Ten owners' mails are written while the server is away for a day and a night in every way that it knows; then each owner has one.
func TestServerDownForADayLosesAndDoublesNothing(t *testing.T) {
	r := newRemindBench(t)
	r.owners(t, 9)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	at := l.Addr().String()
	m := &mailServer{}
	start := func(l net.Listener) *smtp.Server {
		s := smtp.NewServer(m)
		s.Domain = "sink.example"
		go s.Serve(l)
		return s
	}
	s := start(l)
	p, err := post.NewSMTP(post.SMTPConfig{Host: "127.0.0.1", Port: l.Addr().(*net.TCPAddr).Port, TLS: post.TLSNone, Timeout: 5 * time.Second})
	if err != nil {
		t.Fatal(err)
	}
	if n, err := r.WriteMails(ctx, mailing); n != 10 || err != nil {
		t.Fatalf("%d written, %v", n, err)
	}
	for _, now := range []mood{refusing, grey, busy} {
		m.set(now)
		r.run(t, p, 6*time.Hour)
		r.restart(t) // the program is started again too
		if n, err := r.WriteMails(ctx, mailing); n != 0 || err != nil {
			t.Fatalf("%d written again, %v", n, err)
		}
	}
	s.Close()
	r.run(t, p, 6*time.Hour) // nobody answers at all
	if len(m.got) != 0 || m.tries < 100 {
		t.Fatalf("%d letters after %d tries of a server that takes none", len(m.got), m.tries)
	}
	if l, err = net.Listen("tcp", at); err != nil {
		t.Fatal(err)
	}
	defer start(l).Close()
	m.set(up)
	r.run(t, p, 3*time.Hour)
	to := map[string]int{}
	for _, text := range m.got {
		msg, err := mail.ReadMessage(strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		to[msg.Header.Get("To")+msg.Header.Get("Message-Id")]++
	}
	if len(m.got) != 10 || len(to) != 10 {
		t.Errorf("%d letters, %d different: %v", len(m.got), len(to), to)
	}
	all, err := r.Outbox(ctx, 0)
	for _, o := range all {
		if o.State != shop.MailSent {
			t.Errorf("%s to %s: %s", o.State, o.Said.To, o.Note)
		}
	}
	if err != nil || len(all) != 10 || len(r.q.tasks) != 0 {
		t.Errorf("%d mails, %d tasks left, %v", len(all), len(r.q.tasks), err)
	}
}
