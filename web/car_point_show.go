package web

import (
	"net/http"

	"witnessmark/shop"
)

// carPointData is the page of every reading of one place of a car.
type carPointData struct {
	Car  shop.CarVersion
	Rung rung
}

// carPointShow shows every reading of one place of a car.
func (s *server) carPointShow(w http.ResponseWriter, r *http.Request) error {
	p, err := s.shop.CarPage(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	for i := range p.Items {
		it := &p.Items[i]
		if it.Point.ID != r.PathValue("point") || it.At != r.FormValue("at") {
			continue
		}
		g, _ := s.rung(p.Car, it, true)
		s.render(w, r, http.StatusOK, "car_point_show", page{Title: placed(it.Point.Name, it.At) + ", " + carName(p.Car),
			Data: carPointData{p.Car, g}, Back: "/cars/" + p.Car.CarID, BackWords: carName(p.Car)})
		return nil
	}
	return shop.ErrNotFound
}
