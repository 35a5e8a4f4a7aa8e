package web

import (
	"net/http"
)

// carCreate stores a new car and goes to its page.
func (s *server) carCreate(w http.ResponseWriter, r *http.Request) error {
	in := s.carInput(r.PostForm)
	in.Base = ""
	in.By = by(w, r)
	if in.CarID == "" || in.VersionID == "" {
		return badRequest("The form is not complete. Nothing was stored. Open “New car” again.")
	}
	c, err := s.shop.SaveCar(r.Context(), in)
	if f := newForm(r.PostForm); f.refused(err) {
		s.renderCarNew(w, r, http.StatusUnprocessableEntity, f)
		return nil
	}
	if err != nil {
		return err
	}
	return see(w, r, "/cars/"+c.CarID)
}
