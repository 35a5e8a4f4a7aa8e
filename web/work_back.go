package web

import (
	"errors"
	"net/http"

	"witnessmark/shop"
)

// workBack takes a close-out back; the work is open again.
func (s *server) workBack(w http.ResponseWriter, r *http.Request) error {
	f := newForm(r.PostForm)
	in := shop.CloseBackInput{ID: s.idOf(f), DecisionID: r.PathValue("decision"), CloseOutID: f.Get("closeout"), Why: f.Get("why"), By: by(w, r)}
	err := s.shop.TakeBackCloseOut(r.Context(), in)
	switch {
	case err == nil:
		return see(w, r, workPath(in.DecisionID)+"?did=reopened")
	case errors.Is(err, shop.ErrConflict):
		return userError{http.StatusConflict, "This close-out was taken back already", "Somebody took it back meanwhile, and the work may have been closed out again. Open the work to see how it stands; nothing of this form was stored."}
	case f.refused(err):
		return s.renderDone(w, r, f, http.StatusUnprocessableEntity)
	}
	return err
}

// workBackLine says of a close-out that was taken back when, by whom and why.
type workBackLine struct{ On, Taken, By, Why string }

func backLines(o *shop.WorkOrder) (out []workBackLine) {
	for _, b := range o.Back {
		out = append(out, workBackLine{day(b.Close.Said.On), moment(b.End.ReceivedAt), b.End.By, b.End.Said.Why})
	}
	return out
}
