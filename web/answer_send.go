package web

import (
	"errors"
	"net"
	"net/http"

	"witnessmark/shop"
)

// answerSend takes an owner's answers. The first time they come they are shown again with the total; signed there, they are stored. What
// is not signed yet travels in the address, so that going back and forth in the browser loses nothing and sends nothing again.
func (s *server) answerSend(w http.ResponseWriter, r *http.Request) error {
	token := r.PathValue("token")
	o, err := s.shop.OpenOffer(r.Context(), token)
	if err != nil {
		return err
	}
	f := newForm(r.PostForm)
	if f.Get("step") == "sign" {
		return s.answerSign(w, r, o, f)
	}
	switch o.Standing {
	case shop.OfferAnswered:
		return see(w, r, answerPath(token)+"?did=already")
	case shop.OfferReplaced:
		return offerWords(shop.ErrReplaced)
	case shop.OfferPast:
		return offerWords(shop.ErrPast)
	}
	if f.Get("digest") != o.Offer.Said.Digest {
		return offerWords(shop.ErrNotShown)
	}
	kept := keptAnswers(r.PostForm, o.Estimate())
	if f.Get("step") == "back" {
		return see(w, r, answerPath(token)+"?"+kept.Encode())
	}
	if _, err := s.shop.ReadAnswers(o, typedAnswers(r.PostForm, o.Estimate())); f.refused(err) {
		return s.renderAnswer(w, r, http.StatusUnprocessableEntity, o, f)
	}
	kept.Set("check", "1")
	return see(w, r, answerPath(token)+"?"+kept.Encode())
}

// answerSign stores the answers.
func (s *server) answerSign(w http.ResponseWriter, r *http.Request, o *shop.Offered, f *form) error {
	token := r.PathValue("token")
	_, err := s.shop.Decide(r.Context(), token, shop.DecideInput{Form: f.Get("form-id"), Digest: f.Get("digest"), Name: f.Get("name"),
		Answers: typedAnswers(r.PostForm, o.Estimate()), Address: networkAddress(r), Agent: r.UserAgent()})
	var answered *shop.Answered
	switch {
	case err == nil:
		return see(w, r, answerPath(token)+"?did=stored")
	case errors.As(err, &answered):
		return see(w, r, answerPath(token)+"?did=already")
	case !f.refused(err):
		return offerWords(err)
	}
	for _, p := range f.Problems {
		if p.Field != "name" {
			return s.renderAnswer(w, r, http.StatusUnprocessableEntity, o, f)
		}
	}
	return s.renderAnswerCheck(w, r, http.StatusUnprocessableEntity, o, f)
}

// renderAnswerCheck shows the answers with the exact total, to be signed.
func (s *server) renderAnswerCheck(w http.ResponseWriter, r *http.Request, status int, o *shop.Offered, f *form) error {
	answers, err := s.shop.ReadAnswers(o, typedAnswers(f.Values, o.Estimate()))
	if err != nil {
		return err
	}
	held, err := s.elsewhere(r.Context(), o.Draft)
	if err != nil {
		return err
	}
	x, err := s.newSaid(o, answers)
	if err != nil {
		return err
	}
	for i := range x.Accepted {
		x.Accepted[i].Elsewhere = ofItem(held, x.Accepted[i].ID)
	}
	a, err := newAsking(o, held, f, false)
	if err != nil {
		return err
	}
	d := s.answerData(r, o, a)
	d.Said = &x
	s.render(w, r, status, "answer_check", page{Title: "Check and sign your answers", Form: f, Public: true, NoIndex: true, Data: d})
	return nil
}

// networkAddress says where a request came from. What a proxy says of it is named as such: anybody can write that.
func networkAddress(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		host = r.RemoteAddr
	}
	if said := r.Header.Get("X-Forwarded-For"); said != "" {
		return host + ", said to be for " + said
	}
	return host
}
