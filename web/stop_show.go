package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"strings"

	"witnessmark/shop"
)

// stopData is the page that stops an owner's mails.
type stopData struct {
	shop.StopView
	Path string
}

// stopShow asks whether the mails shall stop. Opening it changes nothing: programs open links to look what is behind them.
func (s *server) stopShow(w http.ResponseWriter, r *http.Request) error {
	v, err := s.shop.OpenStop(r.Context(), r.PathValue("token"))
	if err != nil {
		return err
	}
	s.render(w, r, http.StatusOK, "stop_show", page{Title: "Stop the reminders", Public: true, NoIndex: true, Narrow: true, Data: stopData{v, r.URL.Path}})
	return nil
}

// stopDo stops the mails: for whoever presses the button, and for a mail program that posts by itself. To that it answers without a
// redirect, as RFC 8058, section 3.1, asks; its body may be a form of either kind, and says nothing that the address does not.
func (s *server) stopDo(w http.ResponseWriter, r *http.Request) error {
	token := r.PathValue("token")
	how := shop.StopOneClick
	if r.PostForm.Get("button") != "" {
		how = shop.StopLink
	}
	if err := s.shop.StopByToken(r.Context(), token, how); err != nil {
		return err
	}
	if how == shop.StopLink {
		return see(w, r, r.URL.Path)
	}
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	_, _ = w.Write([]byte("The reminders are stopped.\n"))
	return nil
}

// feedShow gives a calendar to a program that has its address. It asks again every few hours, so it is told when nothing has changed.
func (s *server) feedShow(w http.ResponseWriter, r *http.Request) error {
	token, ok := strings.CutSuffix(r.PathValue("file"), ".ics")
	if !ok || s.cfg.Calendar == nil {
		return shop.ErrNotFound
	}
	c, err := s.shop.OpenFeed(r.Context(), token)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := s.cfg.Calendar(&b, c); err != nil {
		return err
	}
	sum := sha256.Sum256(b.Bytes())
	tag := `"` + hex.EncodeToString(sum[:12]) + `"`
	h := w.Header()
	h.Set("ETag", tag)
	h.Set("Cache-Control", "private, no-cache")
	for _, have := range strings.Split(r.Header.Get("If-None-Match"), ",") {
		if have = strings.TrimPrefix(strings.TrimSpace(have), "W/"); have == tag || have == "*" {
			w.WriteHeader(http.StatusNotModified)
			return nil
		}
	}
	h.Set("Content-Type", "text/calendar; charset=utf-8; method=PUBLISH")
	h.Set("Content-Disposition", `inline; filename="due.ics"`)
	_, _ = b.WriteTo(w)
	return nil
}
