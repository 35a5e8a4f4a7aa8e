package web

import (
	"net/http"

	"witnessmark/core/facet"
)

// carNew shows the empty form. The ids are made here, so that sending the form twice stores one car.
func (s *server) carNew(w http.ResponseWriter, r *http.Request) error {
	f := newForm(nil)
	f.Set("car-id", s.shop.NewID())
	f.Set("version-id", s.shop.NewID())
	f.Set("units", "metric")
	f.Set("odometer-on", s.shop.Now().Format("2006-01-02"))
	f.Set("plate", r.FormValue("plate"))
	f.Set("by", initials(r))
	s.renderCarNew(w, r, http.StatusOK, f)
	return nil
}

// renderCarNew shows the form for a new car as it stands.
func (s *server) renderCarNew(w http.ResponseWriter, r *http.Request, status int, f *form) {
	s.render(w, r, status, "car_form", page{Title: "New car", Form: f, Data: s.carForm(f, "", s.assumed(nil))})
}

// assumed gives the facets that the catalogue assumes until they are said.
func (s *server) assumed(known facet.Set) facet.Set {
	out := facet.Set{}
	for id, d := range s.shop.Catalogue().Facets {
		if d.Default != "" {
			out[id] = facet.Value{Value: d.Default}
		}
	}
	for id, v := range known {
		out[id] = v
	}
	return out
}
