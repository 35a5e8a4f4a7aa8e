package web

import (
	"errors"
	"net/http"
	"slices"
	"strings"

	"github.com/google/uuid"

	"witnessmark/shop"
)

// roundUndo takes back what was stored last at a point. The readings stay on record as withdrawn.
func (s *server) roundUndo(w http.ResponseWriter, r *http.Request) error {
	v, i, err := s.roundPoint(r, r.PathValue("point"))
	if err != nil {
		return err
	}
	step := v.Steps[i]
	who := by(w, r)
	for _, at := range strings.Split(r.PostFormValue("at"), ",") {
		if !slices.Contains(step.Slots, at) {
			return badRequest("%q is not a place of this point on this car. Nothing was taken back.", at)
		}
	}
	for _, at := range strings.Split(r.PostFormValue("at"), ",") {
		if _, ok := step.Current[at]; !ok {
			continue // taken back already
		}
		in := shop.ReadingInput{ID: undoID(r.PostFormValue("id"), at, s.shop.NewID), RoundID: v.Round.ID, Point: step.Point.ID, At: at, By: who}
		if err := s.shop.Withdraw(r.Context(), in); err != nil && !errors.Is(err, shop.ErrConflict) { // used: undo pressed twice
			return err
		}
	}
	return goOn(w, r, pointPath(v.Round.ID, step.Point.ID)+"?did=undone")
}

// undoID makes one id for each place from the form's, so that pressing undo twice takes back once.
func undoID(id, at string, fresh func() string) string {
	base, err := uuid.Parse(id)
	if err != nil {
		return fresh()
	}
	return uuid.NewSHA1(base, []byte(at)).String()
}
