package web

import (
	"net/http"

	"witnessmark/shop"
)

// carEdit shows what is known of a car, to be changed.
func (s *server) carEdit(w http.ResponseWriter, r *http.Request) error {
	c, err := s.shop.Car(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	f := newForm(s.carValues(c))
	f.Set("base", c.ID)
	f.Set("version-id", s.shop.NewID())
	f.Set("by", initials(r))
	s.renderCarEdit(w, r, http.StatusOK, c, f, nil)
	return nil
}

// renderCarEdit shows the form as it stands, with what somebody else changed meanwhile.
func (s *server) renderCarEdit(w http.ResponseWriter, r *http.Request, status int, c shop.CarVersion, f *form, diff []changed) {
	data := s.carForm(f, c.CarID, s.assumed(s.shop.FacetsOf(c)))
	data.Changed = diff
	s.render(w, r, status, "car_form", page{Title: "Change " + carName(c), Form: f, Data: data, Back: "/cars/" + c.CarID, BackWords: carName(c)})
}

// carName names a car for a title: its plate, or what it is.
func carName(c shop.CarVersion) string {
	if c.Plate != "" {
		return c.Plate
	}
	if c.Description != "" {
		return c.Description
	}
	return "car without a plate"
}
