package web

import (
	"net/http"

	"witnessmark/shop"
)

// roundCheck shows every answer before the round is finished.
func (s *server) roundCheck(w http.ResponseWriter, r *http.Request) error {
	v, err := s.round(r)
	if err != nil {
		return err
	}
	s.render(w, r, http.StatusOK, "round_check", page{Title: "Check the answers", Back: roundPath(v.Round.ID), BackWords: "The round", Data: s.list(v, r)})
	return nil
}

// roundEnd finishes a round. What is open then counts as not looked at.
func (s *server) roundEnd(w http.ResponseWriter, r *http.Request) error {
	v, err := s.round(r)
	if err != nil {
		return err
	}
	id := r.PostFormValue("id")
	if id == "" {
		id = s.shop.NewID()
	}
	if v.Round.EndedAt == 0 {
		if err := s.shop.EndRound(r.Context(), v.Round.ID, id, by(w, r)); err != nil {
			return err
		}
	}
	return goOn(w, r, roundPath(v.Round.ID)+"/findings")
}

// roundSheet shows the round as a sheet for the pen.
func (s *server) roundSheet(w http.ResponseWriter, r *http.Request) error {
	v, err := s.round(r)
	if err != nil {
		return err
	}
	s.render(w, r, http.StatusOK, "round_sheet", page{Title: "Sheet for the pen", Wide: true, Back: roundPath(v.Round.ID), BackWords: "The round", Data: s.sheet(v)})
	return nil
}

// roundSheetPDF gives the same as a file to print.
func (s *server) roundSheetPDF(w http.ResponseWriter, r *http.Request) error {
	if s.cfg.SheetPDF == nil {
		return shop.ErrNotFound
	}
	v, err := s.round(r)
	if err != nil {
		return err
	}
	return sendPDF(w, v, s.cfg.SheetPDF)
}
