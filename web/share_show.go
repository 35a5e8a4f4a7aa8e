package web

import (
	"net/http"
	"strings"
	"time"

	"witnessmark/core/point"
	"witnessmark/shop"
)

// shareData is the page on which a round's links are made and revoked.
type shareData struct {
	Form    *form
	Car     shop.CarVersion
	Round   shop.RoundFact
	Link    string // the new link, shown once
	Shares  []shareLine
	Days    []option
	EndedOK bool
}

// shareLine is one link that was not revoked.
type shareLine struct {
	ID, Made, By, Until string
	Expired             bool
}

// shareCookie carries a new link's token from the POST to the page that shows it once. The token is kept nowhere else:
// the store has only its hash.
const shareCookie = "new-link"

// shareShow lists a round's links, and shows a new one once.
func (s *server) shareShow(w http.ResponseWriter, r *http.Request) error {
	link := ""
	if c, err := r.Cookie(shareCookie); err == nil && c.Value != "" {
		link = s.publicURL(r) + "/r/" + c.Value
		http.SetCookie(w, &http.Cookie{Name: shareCookie, Path: sharePath(r.PathValue("id")), MaxAge: -1, HttpOnly: true, SameSite: http.SameSiteStrictMode})
	}
	f := newForm(nil)
	f.Set("share-id", s.shop.NewID())
	f.Set("days", "30")
	return s.renderShare(w, r, http.StatusOK, f, link)
}

// renderShare shows the page with its form as it stands.
func (s *server) renderShare(w http.ResponseWriter, r *http.Request, status int, f *form, link string) error {
	ctx, id := r.Context(), r.PathValue("id")
	rep, err := s.shop.Report(ctx, id)
	if err != nil {
		return err
	}
	shares, err := s.shop.Shares(ctx, id)
	if err != nil {
		return err
	}
	d := shareData{Form: f, Car: rep.Car, Round: rep.Round, Link: link, Days: shareDays}
	now := s.shop.Now().UnixMilli()
	for _, sh := range shares {
		d.Shares = append(d.Shares, shareLine{ID: sh.ID, Made: moment(sh.ReceivedAt), By: sh.By, Until: moment(sh.ExpiresAt), Expired: sh.ExpiresAt <= now})
	}
	notice := ""
	if r.FormValue("revoked") != "" {
		notice = "The link is revoked. Whoever opens it now is told that it is no longer valid."
	}
	s.render(w, r, status, "share_show", page{Title: "Link for the owner of " + carName(rep.Car), Form: f, Notice: notice, Data: d,
		Back: "/rounds/" + id + "/findings", BackWords: "Findings"})
	return nil
}

var shareDays = []option{{Value: "7", Label: "A week"}, {Value: "30", Label: "30 days"}, {Value: "90", Label: "90 days"}}

// sharePath is the address of a round's links; the cookie is sent nowhere else.
func sharePath(roundID string) string { return "/rounds/" + roundID + "/share" }

// publicURL gives where an owner reaches this server.
func (s *server) publicURL(r *http.Request) string {
	if s.cfg.PublicURL != "" {
		return strings.TrimRight(s.cfg.PublicURL, "/")
	}
	scheme := "http"
	if r.TLS != nil {
		scheme = "https"
	}
	return scheme + "://" + r.Host
}

// moment writes a stored time as a day and an hour.
func moment(ms int64) string { return time.UnixMilli(ms).Format("2 January 2006, 15:04") }

// ownerDepth names a round's depth for an owner.
func ownerDepth(depth string) string {
	switch point.Depth(depth) {
	case point.Quick:
		return "a quick look"
	case point.Driveway:
		return "a look without a lift"
	case point.Baseline:
		return "the first readings after work"
	}
	return "a full round"
}
