package web

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"witnessmark/core/estimate"
	"witnessmark/shop"
)

// draftHistoryData is an estimate's versions, newest first.
type draftHistoryData struct {
	Number, Path string
	Version      int
	Steps        []draftStepRow
}

// draftStepRow is one version.
type draftStepRow struct {
	Version         int
	ID              string // of the form that brings it back
	Did, By, When   string
	ToPay, Standing string
	Changed         []string
	Now             bool
}

// draftHistory shows every version with what it changed, who and when.
func (s *server) draftHistory(w http.ResponseWriter, r *http.Request) error {
	h, err := s.shop.DraftHistory(r.Context(), r.PathValue("number"))
	if err != nil {
		return err
	}
	now := h.Now().Said.Estimate
	d := draftHistoryData{Number: now.Number, Path: draftPath(now.Number), Version: now.Version}
	for i := len(h.Versions) - 1; i >= 0; i-- {
		v, st := h.Versions[i], h.Steps[i]
		t, err := estimate.Total(v.Said.Estimate, nil)
		if err != nil {
			return err
		}
		d.Steps = append(d.Steps, draftStepRow{Version: i + 1, ID: s.shop.NewID(), Did: capital(v.Said.Did), By: v.By, When: moment(v.ReceivedAt),
			ToPay: amounts{v.Said.Estimate.Terms.Currency}.With(t.ToPay), Standing: standingWords(st.DraftStanding), Changed: st.Changed, Now: i == len(h.Versions)-1})
	}
	s.render(w, r, http.StatusOK, "draft_history", page{Title: "History of estimate " + d.Number, Data: d, Back: d.Path, BackWords: "Estimate " + d.Number})
	return nil
}

// standingWords says what became of a version.
func standingWords(st shop.DraftStanding) string {
	switch {
	case st.Answered:
		return "the owner answered it"
	case st.Ended:
		return "put before the owner and taken back"
	case st.Offered:
		return "put before the owner"
	}
	return ""
}

// draftUndo puts back what was before the last change.
func (s *server) draftUndo(w http.ResponseWriter, r *http.Request) error {
	return s.draftBack(w, r, func(base int, id, who string) error {
		_, err := s.shop.UndoDraft(r.Context(), r.PathValue("number"), base, id, who)
		return err
	})
}

// draftRestore brings an earlier version back.
func (s *server) draftRestore(w http.ResponseWriter, r *http.Request) error {
	to, err := strconv.Atoi(r.PostFormValue("to"))
	if err != nil {
		return badRequest("The form does not say which version to bring back. Open the history again.")
	}
	return s.draftBack(w, r, func(base int, id, who string) error {
		_, err := s.shop.RestoreDraft(r.Context(), r.PathValue("number"), base, to, id, who)
		return err
	})
}

func (s *server) draftBack(w http.ResponseWriter, r *http.Request, back func(base int, id, who string) error) error {
	base, err := strconv.Atoi(r.PostFormValue("base"))
	if err != nil {
		return badRequest("The form does not say which version it changes. Open the estimate again.")
	}
	id := r.PostFormValue("id")
	if id == "" {
		id = s.shop.NewID()
	}
	where := draftPath(r.PathValue("number"))
	switch err := back(base, id, by(w, r)); {
	case err == nil:
		return see(w, r, where+"?did=undone")
	case errors.Is(err, shop.ErrOffered):
		return badRequest("This version was put before the owner, so it can't be undone. Change it instead: the owner is then asked again.")
	case errors.As(err, new(*shop.DraftTaken)):
		return see(w, r, where+"?did=taken")
	default:
		return err
	}
}

// draftPDF gives the estimate on paper.
func (s *server) draftPDF(w http.ResponseWriter, r *http.Request) error {
	if s.cfg.EstimatePDF == nil {
		return shop.ErrNotFound
	}
	d, err := s.shop.Draft(r.Context(), r.PathValue("number"))
	if err != nil {
		return err
	}
	return s.writeEstimate(w, d.Said.Estimate)
}

// writeEstimate builds the whole paper before it sends the first byte, so that a failure is still a page.
func (s *server) writeEstimate(w http.ResponseWriter, e estimate.Estimate) error {
	var b bytes.Buffer
	if err := s.cfg.EstimatePDF(&b, e); err != nil {
		return fmt.Errorf("estimate as PDF: %w", err)
	}
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", fmt.Sprintf(`inline; filename="%s.pdf"`, fileName(fmt.Sprintf("estimate-%s-%d", e.Number, e.Version))))
	w.Header().Set("Content-Length", strconv.Itoa(b.Len()))
	_, _ = b.WriteTo(w)
	return nil
}
