package web

import (
	"errors"
	"net/http"

	"witnessmark/shop"
)

// carUpdate stores a new version of a car. When somebody else was quicker, both versions are shown side by side and
// nothing is stored until this one is sent again on top of theirs.
func (s *server) carUpdate(w http.ResponseWriter, r *http.Request) error {
	ctx, id := r.Context(), r.PathValue("id")
	in := s.carInput(r.PostForm)
	in.CarID = id
	in.By = by(w, r)
	if in.Base == "" || in.VersionID == "" {
		return badRequest("The form is not complete. Nothing was stored. Open the car's page again.")
	}
	_, err := s.shop.SaveCar(ctx, in)
	if err == nil {
		return see(w, r, "/cars/"+id+"?saved=car")
	}
	f := newForm(r.PostForm)
	conflict := errors.Is(err, shop.ErrConflict)
	if !conflict && !f.refused(err) {
		return err
	}
	now, cerr := s.shop.Car(ctx, id)
	if cerr != nil {
		return cerr
	}
	if !conflict {
		s.renderCarEdit(w, r, http.StatusUnprocessableEntity, now, f, nil)
		return nil
	}
	f.Set("base", now.ID)
	f.Set("version-id", s.shop.NewID())
	s.renderCarEdit(w, r, http.StatusConflict, now, f, s.differences(s.carValues(now), f.Values))
	return nil
}
