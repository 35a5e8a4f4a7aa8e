package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/url"
	"os"
	"strings"

	"witnessmark/post"
	"witnessmark/shop"
)

// mailFlags say which mail server takes the reminders. The password never stands in a flag, as others on the machine can read those.
type mailFlags struct {
	Host         string `name:"smtp-host" help:"Mail server that takes reminders; without one no mails are written." env:"WITNESSMARK_SMTP_HOST"`
	Port         int    `name:"smtp-port" help:"Its port; 0 is 587, or 465 with implicit TLS." env:"WITNESSMARK_SMTP_PORT"`
	From         string `name:"smtp-from" help:"The workshop's mail address, which reminders come from." env:"WITNESSMARK_SMTP_FROM"`
	TLS          string `name:"smtp-tls" help:"How the connection is secured: mandatory, implicit, opportunistic or none." default:"mandatory" env:"WITNESSMARK_SMTP_TLS"`
	User         string `name:"smtp-user" help:"User at the mail server." env:"WITNESSMARK_SMTP_USER"`
	PasswordFile string `name:"smtp-password-file" help:"File with the password, if it does not stand in WITNESSMARK_SMTP_PASSWORD." type:"path" env:"WITNESSMARK_SMTP_PASSWORD_FILE"`
}

// passwordEnv is where the password may stand; it is read once and never shown.
const passwordEnv = "WITNESSMARK_SMTP_PASSWORD"

// open gives how reminders go out; a nil postman where no server is named.
func (f mailFlags) open(publicURL string) (shop.Mailing, shop.Postman, error) {
	if f.Host == "" {
		if f.From != "" || f.User != "" {
			return shop.Mailing{}, nil, errors.New("reminders: a sender or a user is named, but no mail server; give --smtp-host")
		}
		return shop.Mailing{}, nil, nil
	}
	if err := post.CheckSender(f.From); err != nil {
		return shop.Mailing{}, nil, fmt.Errorf("reminders: %w; give --smtp-from", err)
	}
	if u, err := url.Parse(publicURL); publicURL != "" && (err != nil || u.Host == "" || u.Scheme != "https" && u.Scheme != "http") {
		return shop.Mailing{}, nil, fmt.Errorf("reminders: --public-url %q is no address such as https://check.example", publicURL)
	}
	password := os.Getenv(passwordEnv)
	if f.PasswordFile != "" {
		data, err := os.ReadFile(f.PasswordFile)
		if err != nil {
			return shop.Mailing{}, nil, fmt.Errorf("reminders: password file: %w", err)
		}
		password = strings.TrimRight(string(data), "\r\n")
	}
	port := f.Port
	switch {
	case port == 0 && f.TLS == post.TLSImplicit:
		port = 465
	case port == 0:
		port = 587
	}
	p, err := post.NewSMTP(post.SMTPConfig{Host: f.Host, Port: port, TLS: f.TLS, User: f.User, Password: password})
	if err != nil {
		return shop.Mailing{}, nil, fmt.Errorf("reminders: %w", err)
	}
	return shop.Mailing{From: f.From, PublicURL: publicURL}, p, nil
}

// keepDue works out the due list in the background until ctx ends.
func keepDue(ctx context.Context, con console, s *shop.Shop) {
	log := slog.New(slog.NewTextHandler(con.err, nil))
	s.KeepDue(ctx, func(what string, err error) { log.Error(what, "error", err) })
}

// remind writes and sends reminders until ctx ends.
func remind(ctx context.Context, con console, w *workshop, m shop.Mailing, p shop.Postman) {
	log := slog.New(slog.NewTextHandler(con.err, nil))
	w.Remind(ctx, m, p, w.store, func(what string, err error) { log.Error(what, "error", err) })
}
