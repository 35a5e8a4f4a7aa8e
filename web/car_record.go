package web

import (
	"errors"
	"net/http"

	"witnessmark/shop"
)

// carRefused shows the car's page again with what was typed in one of its forms and what is wrong with it. The fields
// of a form carry its prefix, because three forms share the page.
func (s *server) carRefused(w http.ResponseWriter, r *http.Request, prefix string, err error) error {
	var inv shop.Invalid
	if !errors.As(err, &inv) {
		return err
	}
	f := newForm(r.PostForm)
	f.Labels = s.carLabel
	today := s.shop.Now().Format("2006-01-02")
	for _, p := range [...]string{"round", "renewal", "odometer"} {
		if p != prefix {
			f.Set(p+"-on", today)
			f.Set(p+"-id", s.shop.NewID())
		}
	}
	if f.Get("round-depth") == "" {
		f.Set("round-depth", "full")
	}
	for _, e := range inv {
		e.Field = prefix + "-" + e.Field
		f.Problems = append(f.Problems, e)
	}
	f.Set("open", prefix)
	return s.renderCar(w, r, http.StatusUnprocessableEntity, f, "")
}
