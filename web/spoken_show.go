package web

import (
	"errors"
	"net/http"
	"strconv"

	"witnessmark/core/estimate"
	"witnessmark/shop"
)

// spokenData is the page on which a spoken answer is written down.
type spokenData struct {
	Asking
	Number string
	Car    shop.CarVersion
	// Said is what was worked out from what is answered so far; nil while it wasn't asked for.
	Said *said
	// Before is the answer that this one will stand in for; nil for none.
	Before *receipt
}

// spokenShow shows the form for a spoken answer.
func (s *server) spokenShow(w http.ResponseWriter, r *http.Request) error {
	d, all, err := s.shop.OffersOf(r.Context(), r.PathValue("number"))
	if err != nil {
		return err
	}
	switch done, err := s.donePath(r.Context(), d); {
	case err != nil:
		return err
	case done != "":
		return see(w, r, offerPath(d.Said.Estimate.Number)) // which says why
	}
	f := newForm(nil)
	f.Set("form-id", s.shop.NewID())
	f.Set("digest", estimate.Digest(d.Said.Estimate))
	f.Set("version", strconv.Itoa(d.Said.Estimate.Version))
	f.Set("said", s.shop.Now().Format("2006-01-02T15:04"))
	f.Set("who", d.Said.Estimate.Owner)
	f.Set("by", initials(r))
	if last := lastAnswered(all); last != nil {
		f.Set("after", last.Decision.ID)
	}
	return s.renderSpoken(w, r, http.StatusOK, f, nil)
}

func lastAnswered(all []*shop.Offered) *shop.Offered {
	for i := len(all) - 1; i >= 0; i-- {
		if all[i].Decision != nil {
			return all[i]
		}
	}
	return nil
}

// renderSpoken shows the form as it stands, with what the answers so far come to.
func (s *server) renderSpoken(w http.ResponseWriter, r *http.Request, status int, f *form, x *said) error {
	number := r.PathValue("number")
	d, all, err := s.shop.OffersOf(r.Context(), number)
	if err != nil {
		return err
	}
	if err := estimate.Ready(d.Said.Estimate, s.shop.Now().Format("2006-01-02")); err != nil {
		return see(w, r, offerPath(number))
	}
	car, err := s.shop.Car(r.Context(), d.CarID)
	if err != nil {
		return err
	}
	held, err := s.elsewhere(r.Context(), d)
	if err != nil {
		return err
	}
	a, err := newAsking(&shop.Offered{Draft: d, Car: car}, held, f, true)
	if err != nil {
		return err
	}
	data := spokenData{Asking: a, Number: number, Car: car, Said: x}
	if last := lastAnswered(all); last != nil {
		if data.Before, err = s.newReceipt(last); err != nil {
			return err
		}
	}
	s.render(w, r, status, "spoken_show", page{Title: "Spoken answer to estimate " + number, Form: f, Data: data, Back: offerPath(number), BackWords: "Estimate and owner"})
	return nil
}

// spokenSave stores a spoken answer, or works out what it comes to.
func (s *server) spokenSave(w http.ResponseWriter, r *http.Request) error {
	number := r.PathValue("number")
	f := newForm(r.PostForm)
	d, _, err := s.shop.OffersOf(r.Context(), number)
	if err != nil {
		return err
	}
	if f.Get("digest") != estimate.Digest(d.Said.Estimate) {
		return offerWords(shop.ErrNotShown)
	}
	typed := typedAnswers(r.PostForm, d.Said.Estimate)
	if f.Get("step") == "total" {
		return s.spokenTotal(w, r, f, d, typed)
	}
	version, err := strconv.Atoi(f.Get("version"))
	if err != nil || f.Get("form-id") == "" {
		return badRequest("The form was not whole. Nothing was stored. Open the page again.")
	}
	_, err = s.shop.Speak(r.Context(), shop.SpeakInput{Number: number, Version: version, After: f.Get("after"), Form: f.Get("form-id"), By: by(w, r), Who: f.Get("who"),
		SaidOn: f.Get("said"), Digest: f.Get("digest"), Answers: typed})
	switch {
	case err == nil:
		return see(w, r, offerPath(number)+"?did=spoken")
	case errors.Is(err, shop.ErrConflict):
		return see(w, r, offerPath(number)+"?did=already")
	case f.refused(err):
		return s.renderSpoken(w, r, http.StatusUnprocessableEntity, f, nil)
	}
	return offerWords(err)
}

// spokenTotal shows the form again with the total of what is accepted so far. What is not answered yet counts nothing.
func (s *server) spokenTotal(w http.ResponseWriter, r *http.Request, f *form, d shop.Kept[shop.EstimateDraft], typed []shop.AnswerInput) error {
	car, err := s.shop.Car(r.Context(), d.CarID)
	if err != nil {
		return err
	}
	answers := []estimate.Answer{}
	for _, t := range typed {
		answers = append(answers, estimate.Answer{Item: t.Item, Answer: t.Answer})
	}
	x, err := s.newSaid(&shop.Offered{Draft: d, Car: car}, answers)
	if err != nil {
		return err
	}
	return s.renderSpoken(w, r, http.StatusOK, f, &x)
}
