package post_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"mime/quotedprintable"
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

// sink is an SMTP server that keeps what it gets, and can be told to misbehave.
type sink struct {
	mu   sync.Mutex
	got  []string
	to   []string
	rcpt error // answers every recipient
	data error // answers the letter after all of it has come
	drop bool  // hangs up after the letter instead of answering
	port int
	conn net.Conn
}

func (s *sink) NewSession(c *smtp.Conn) (smtp.Session, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.conn = c.Conn()
	return &visit{s}, nil
}

type visit struct{ *sink }

func (v *visit) Reset()                               {}
func (v *visit) Logout() error                        { return nil }
func (v *visit) Mail(string, *smtp.MailOptions) error { return nil }
func (v *visit) Rcpt(to string, _ *smtp.RcptOptions) error {
	v.mu.Lock()
	defer v.mu.Unlock()
	v.to = append(v.to, to)
	return v.rcpt
}

func (v *visit) Data(r io.Reader) error {
	b, err := io.ReadAll(r)
	v.mu.Lock()
	defer v.mu.Unlock()
	if err != nil {
		return err
	}
	if v.data != nil {
		return v.data
	}
	v.got = append(v.got, string(b))
	if v.drop {
		v.conn.Close()
	}
	return nil
}

func startSink(t testing.TB) *sink {
	t.Helper()
	s := &sink{}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s.port = l.Addr().(*net.TCPAddr).Port
	srv := smtp.NewServer(s)
	srv.Domain = "sink.example"
	srv.AllowInsecureAuth = true
	go srv.Serve(l)
	t.Cleanup(func() { srv.Close() })
	return s
}

func (s *sink) letters() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return append([]string(nil), s.got...)
}

var letter = shop.Letter{From: "bench@workshop.example", FromName: "Bench & Söhne", To: "alma@brook.example", Subject: "WM-4K 217: brake pads – 3 things are due",
	Text: "Hello Alma,\n\nÜber 3 mm. A line that is only a dot:\n.\nend\n\n" + strings.Repeat("A paragraph is one line, however long. ", 40) + "\n", MessageID: "mail.id-0007@workshop.example",
	Date: time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC), StopURL: "https://check.example/stop/abcdefghijkmnpqrstuvwxyz23"}

func postman(t testing.TB, port int) *post.SMTP {
	t.Helper()
	p, err := post.NewSMTP(post.SMTPConfig{Host: "127.0.0.1", Port: port, TLS: post.TLSNone, Timeout: 5 * time.Second})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func yes() error { return nil }

func TestLetterArrives(t *testing.T) {
	s := startSink(t)
	asked := 0
	if err := postman(t, s.port).Post(context.Background(), letter, func() error { asked++; return nil }); err != nil {
		t.Fatal(err)
	}
	got := s.letters()
	if len(got) != 1 || asked != 1 || len(s.to) != 1 || s.to[0] != letter.To {
		t.Fatalf("%d letters to %v, asked %d times", len(got), s.to, asked)
	}
	m, err := mail.ReadMessage(strings.NewReader(got[0]))
	if err != nil {
		t.Fatal(err)
	}
	// RFC 8058, section 3.1, asks for these two to the letter.
	for name, want := range map[string]string{"Message-Id": "<mail.id-0007@workshop.example>", "List-Unsubscribe": "<https://check.example/stop/abcdefghijkmnpqrstuvwxyz23>",
		"List-Unsubscribe-Post": "List-Unsubscribe=One-Click", "Auto-Submitted": "auto-generated", "Date": "Wed, 25 Nov 2026 09:00:00 +0000",
		"To": "<alma@brook.example>", "Content-Type": "text/plain; charset=UTF-8", "User-Agent": "", "X-Mailer": ""} {
		if have := m.Header.Get(name); have != want {
			t.Errorf("%s is %q; want %q", name, have, want)
		}
	}
	body, _ := io.ReadAll(m.Body)
	if !bytes.Contains(body, []byte("=C3=9Cber 3 mm")) || !bytes.Contains(body, []byte("\r\n.\r\nend")) {
		t.Errorf("body is\n%s", body)
	}
	// RFC 2045, section 6.7, rule 5: no encoded line is longer than 76.
	for line := range bytes.SplitSeq(body, []byte("\r\n")) {
		if len(line) > 76 {
			t.Errorf("a line of %d: %q", len(line), line)
		}
	}
	text, err := io.ReadAll(quotedprintable.NewReader(bytes.NewReader(body)))
	if err != nil || strings.TrimRight(strings.ReplaceAll(string(text), "\r\n", "\n"), "\n ") != strings.TrimRight(letter.Text, "\n ") {
		t.Errorf("decoded: %v\n%s", err, text)
	}
}

// Without an https address there is no one-click header, which RFC 8058 allows for https alone; a mail program can still write an answer.
func TestLetterWithoutAPageToStop(t *testing.T) {
	s := startSink(t)
	l := letter
	l.StopURL = ""
	if err := postman(t, s.port).Post(context.Background(), l, yes); err != nil {
		t.Fatal(err)
	}
	m, _ := mail.ReadMessage(strings.NewReader(s.letters()[0]))
	if h := m.Header.Get("List-Unsubscribe"); h != "<mailto:bench@workshop.example?subject=STOP>" || m.Header.Get("List-Unsubscribe-Post") != "" {
		t.Errorf("headers %q and %q", h, m.Header.Get("List-Unsubscribe-Post"))
	}
}

// What can go wrong, and what is known then.
func TestErrorsAreToldApart(t *testing.T) {
	grey := &smtp.SMTPError{Code: 451, EnhancedCode: smtp.EnhancedCode{4, 7, 1}, Message: "Come back in five minutes"}
	none := &smtp.SMTPError{Code: 550, EnhancedCode: smtp.EnhancedCode{5, 1, 1}, Message: "Nobody of that name here"}
	tests := []struct {
		name  string
		set   func(*sink)
		want  error // nil: can't be told
		words string
		got   int
	}{
		{"recipient asked to come back", func(s *sink) { s.rcpt = grey }, shop.ErrNotTaken, "Come back in five minutes", 0},
		{"recipient refused", func(s *sink) { s.rcpt = none }, shop.ErrRefused, "Nobody of that name here", 0},
		{"letter asked to come back", func(s *sink) { s.data = grey }, shop.ErrNotTaken, "Come back", 0},
		{"letter refused", func(s *sink) { s.data = none }, shop.ErrRefused, "Nobody", 0},
		{"hung up after the letter", func(s *sink) { s.drop = true }, nil, "", 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := startSink(t)
			tt.set(s)
			err := postman(t, s.port).Post(context.Background(), letter, yes)
			if err == nil {
				t.Fatal("no error")
			}
			if refused, not := errors.Is(err, shop.ErrRefused), errors.Is(err, shop.ErrNotTaken); refused != (tt.want == shop.ErrRefused) || not != (tt.want == shop.ErrNotTaken) {
				t.Errorf("refused %v, not taken %v: %v", refused, not, err)
			}
			if !strings.Contains(err.Error(), tt.words) || len(s.letters()) != tt.got {
				t.Errorf("%d letters, %v", len(s.letters()), err)
			}
		})
	}
}

func TestNothingIsGivenBeforeReady(t *testing.T) {
	s := startSink(t)
	mine := errors.New("the store is full")
	if err := postman(t, s.port).Post(context.Background(), letter, func() error { return mine }); err != mine {
		t.Errorf("error %v; want the one of ready", err)
	}
	if len(s.letters()) != 0 || len(s.to) != 0 {
		t.Error("the server got something")
	}
	l, _ := net.Listen("tcp", "127.0.0.1:0")
	gone := l.Addr().(*net.TCPAddr).Port
	l.Close()
	err := postman(t, gone).Post(context.Background(), letter, func() error { t.Error("asked though nobody answers"); return nil })
	if !errors.Is(err, shop.ErrNotTaken) {
		t.Errorf("nobody answers: %v", err)
	}
}

// A server that offers no encryption gets nothing where it is asked for.
func TestEncryptionIsMandatoryByDefault(t *testing.T) {
	s := startSink(t)
	p, err := post.NewSMTP(post.SMTPConfig{Host: "127.0.0.1", Port: s.port, Timeout: 5 * time.Second})
	if err != nil {
		t.Fatal(err)
	}
	if err := p.Post(context.Background(), letter, yes); !errors.Is(err, shop.ErrNotTaken) || !strings.Contains(err.Error(), "STARTTLS") {
		t.Errorf("error %v", err)
	}
	if len(s.letters()) != 0 {
		t.Error("it was sent in the clear")
	}
}

func TestSettingsAreChecked(t *testing.T) {
	for _, tt := range []struct {
		name, want string
		cfg        post.SMTPConfig
	}{
		{"no host", "no host", post.SMTPConfig{Port: 25}},
		{"no port", "no port 0", post.SMTPConfig{Host: "mail.example"}},
		{"odd way", "no way \"maybe\"", post.SMTPConfig{Host: "mail.example", Port: 25, TLS: "maybe"}},
		{"user alone", "a user needs a password", post.SMTPConfig{Host: "mail.example", Port: 25, User: "x"}},
		{"password in the clear", "may not go over", post.SMTPConfig{Host: "mail.example", Port: 25, TLS: post.TLSOpportunistic, User: "x", Password: "secret-word"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := post.NewSMTP(tt.cfg)
			if err == nil || !strings.Contains(err.Error(), tt.want) || strings.Contains(err.Error(), "secret-word") {
				t.Errorf("error %v; want %q in it", err, tt.want)
			}
		})
	}
	for from, ok := range map[string]bool{"bench@workshop.example": true, "Bench <bench@workshop.example>": false, "bench": false, "": false} {
		if err := post.CheckSender(from); (err == nil) != ok {
			t.Errorf("%q: %v", from, err)
		}
	}
}

// A workshop may have any name: the sender is written so that it is read back as it is (RFC 5322, section 3.4; RFC 2047).
func TestSenderMayHaveAnyName(t *testing.T) {
	s := startSink(t)
	names := []string{"Millrace Garage", `Joe "Fast" Brook`, `Brook, Söhne; & Co\`, "<Brook> @ the Mill (old)", "漢字 Garage", ""}
	for i, name := range names {
		l := letter
		l.FromName = name
		if err := postman(t, s.port).Post(context.Background(), l, yes); err != nil {
			t.Errorf("%q: %v", name, err)
			continue
		}
		got := s.letters()
		m, err := mail.ReadMessage(strings.NewReader(got[len(got)-1]))
		if err != nil {
			t.Fatal(err)
		}
		from, err := m.Header.AddressList("From")
		if err != nil || len(from) != 1 || from[0].Name != name || from[0].Address != letter.From {
			t.Errorf("%d: %q came as %q: %v", i, name, m.Header.Get("From"), err)
		}
	}
}
