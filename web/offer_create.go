package web

import (
	"errors"
	"net/http"
	"strconv"

	"witnessmark/shop"
)

// offerCreate puts the version that was on the screen before the owner and goes to the page that shows the link once.
func (s *server) offerCreate(w http.ResponseWriter, r *http.Request) error {
	number := r.PathValue("number")
	f := newForm(r.PostForm)
	days, err := strconv.Atoi(f.Get("days"))
	if err != nil || days < 1 || days > shop.MaxShareDays {
		f.refused(shop.Invalid{{Field: "days", Text: "Choose how long the link stays valid."}})
		return s.renderOffer(w, r, http.StatusUnprocessableEntity, f, "")
	}
	version, err := strconv.Atoi(f.Get("version"))
	if err != nil || f.Get("offer-id") == "" {
		return badRequest("The form was not whole. Nothing was stored. Open the page again.")
	}
	token, err := s.shop.Offer(r.Context(), shop.OfferInput{Number: number, Version: version, ID: f.Get("offer-id"), By: by(w, r), Days: days})
	if errors.Is(err, shop.ErrConflict) { // sent twice, or another version was saved: the page shows what is so now
		return see(w, r, offerPath(number)+"?did=no-link")
	}
	if err != nil {
		if f.refused(err) {
			return s.renderOffer(w, r, http.StatusUnprocessableEntity, f, "")
		}
		return offerWords(err)
	}
	http.SetCookie(w, &http.Cookie{Name: offerCookie, Value: token, Path: offerPath(number), MaxAge: 600, HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: r.TLS != nil})
	return see(w, r, offerPath(number))
}

// offerTakeBack ends an offer. The id of the record is made from the offer's, so that pressing twice ends it once.
func (s *server) offerTakeBack(w http.ResponseWriter, r *http.Request) error {
	number, offer := r.PathValue("number"), r.PathValue("offer")
	err := s.shop.TakeBack(r.Context(), offer, "back-"+offer, by(w, r), r.PostForm.Get("why"))
	if errors.Is(err, shop.ErrConflict) {
		return see(w, r, offerPath(number)+"?did=already")
	}
	if err != nil {
		return err
	}
	return see(w, r, offerPath(number)+"?did=back")
}
