package web

import (
	"errors"
	"net/http"
	"strconv"

	"witnessmark/shop"
)

// shareCreate makes a link and goes to the page that shows it once.
func (s *server) shareCreate(w http.ResponseWriter, r *http.Request) error {
	id := r.PathValue("id")
	f := newForm(r.PostForm)
	days, err := strconv.Atoi(f.Get("days"))
	if err != nil || days < 1 || days > 366 {
		f.refused(shop.Invalid{{Field: "days", Text: "Choose how long the link stays valid."}})
		return s.renderShare(w, r, http.StatusUnprocessableEntity, f, "")
	}
	if f.Get("share-id") == "" {
		f.Set("share-id", s.shop.NewID())
	}
	token, _, err := s.shop.Share(r.Context(), id, f.Get("share-id"), by(w, r), days)
	if errors.Is(err, shop.ErrConflict) { // the form was sent twice: the first answer has the link
		return see(w, r, sharePath(id))
	}
	if err != nil {
		if f.refused(err) {
			return s.renderShare(w, r, http.StatusUnprocessableEntity, f, "")
		}
		return err
	}
	http.SetCookie(w, &http.Cookie{Name: shareCookie, Value: token, Path: sharePath(id), MaxAge: 600,
		HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: r.TLS != nil})
	return see(w, r, sharePath(id))
}
