package web

import (
	"bytes"
	"fmt"
	"net/http"
	"strings"

	"witnessmark/shop"
)

// answerData is the owner's page of an estimate: asked, or answered.
type answerData struct {
	Offered *shop.Offered
	Path    string
	// PDF is where the estimate can be had on paper; empty for nowhere.
	PDF string
	Asking
	// Said is what is checked before signing; nil elsewhere.
	Said *said
	// Receipt is the answer as it is kept; nil while there is none.
	Receipt *receipt
}

// Asking is embedded for the templates.
type Asking = asking

// answerShow shows an owner what is asked, or what was answered. It stores nothing, so that nothing which only opens links can answer.
func (s *server) answerShow(w http.ResponseWriter, r *http.Request) error {
	o, err := s.shop.OpenOffer(r.Context(), r.PathValue("token"))
	if err != nil {
		return err
	}
	switch o.Standing {
	case shop.OfferAnswered:
		return s.renderReceipt(w, r, o)
	case shop.OfferReplaced:
		return offerWords(shop.ErrReplaced)
	case shop.OfferPast:
		return offerWords(shop.ErrPast)
	}
	f := newForm(keptAnswers(r.URL.Query(), o.Estimate()))
	if f.Get("form-id") == "" {
		f.Set("form-id", s.shop.NewID())
	}
	f.Set("digest", o.Offer.Said.Digest)
	if r.URL.Query().Get("check") == "" {
		return s.renderAnswer(w, r, http.StatusOK, o, f)
	}
	if _, err := s.shop.ReadAnswers(o, typedAnswers(f.Values, o.Estimate())); f.refused(err) {
		return s.renderAnswer(w, r, http.StatusUnprocessableEntity, o, f)
	}
	return s.renderAnswerCheck(w, r, http.StatusOK, o, f)
}

// renderAnswer shows the questions with the form as it stands.
func (s *server) renderAnswer(w http.ResponseWriter, r *http.Request, status int, o *shop.Offered, f *form) error {
	held, err := s.elsewhere(r.Context(), o.Draft)
	if err != nil {
		return err
	}
	a, err := newAsking(o, held, f, false)
	if err != nil {
		return err
	}
	s.render(w, r, status, "answer_show", page{Title: "Estimate for your car", Form: f, Public: true, NoIndex: true, Data: s.answerData(r, o, a)})
	return nil
}

func (s *server) answerData(r *http.Request, o *shop.Offered, a asking) answerData {
	d := answerData{Offered: o, Path: answerPath(r.PathValue("token")), Asking: a}
	if s.cfg.EstimatePDF != nil {
		d.PDF = d.Path + "/estimate.pdf"
	}
	return d
}

// renderReceipt shows what was answered.
func (s *server) renderReceipt(w http.ResponseWriter, r *http.Request, o *shop.Offered) error {
	rec, err := s.newReceipt(o)
	if err != nil {
		return err
	}
	d := s.answerData(r, o, asking{Estimate: o.Estimate()})
	d.Receipt = rec
	notice := map[string]string{
		"stored":  "Thank you. Your answers are stored.",
		"already": "This estimate was answered before. What was sent just now changed nothing: below is what was answered.",
	}[r.URL.Query().Get("did")]
	s.render(w, r, http.StatusOK, "answer_receipt", page{Title: "Your answers", Public: true, NoIndex: true, Notice: notice, Data: d})
	return nil
}

// answerPDF gives an owner the estimate on paper.
func (s *server) answerPDF(w http.ResponseWriter, r *http.Request) error {
	o, err := s.shop.OpenOffer(r.Context(), r.PathValue("token"))
	if err != nil {
		return err
	}
	if o.Standing == shop.OfferReplaced {
		return offerWords(shop.ErrReplaced)
	}
	if s.cfg.EstimatePDF == nil {
		return shop.ErrNotFound
	}
	var b bytes.Buffer
	if err := s.cfg.EstimatePDF(&b, o.Estimate()); err != nil {
		return fmt.Errorf("estimate as PDF: %w", err)
	}
	name := strings.Trim(fileName(fmt.Sprintf("estimate-%s-%d", o.Estimate().Number, o.Estimate().Version)), "-")
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", `inline; filename="`+name+`.pdf"`)
	w.Header().Set("Content-Length", fmt.Sprint(b.Len()))
	_, _ = b.WriteTo(w)
	return nil
}
