package web

import (
	"net/http"

	"witnessmark/shop"
)

// odometerAdd stores a reading of the odometer.
func (s *server) odometerAdd(w http.ResponseWriter, r *http.Request) error {
	v, id := r.PostForm, r.PathValue("id")
	err := s.shop.AddOdometer(r.Context(), shop.OdometerInput{ID: v.Get("odometer-id"), CarID: id, On: v.Get("odometer-on"),
		Km: v.Get("odometer-km"), Note: v.Get("odometer-note"), By: by(w, r), Confirmed: v.Get("confirmed") != ""})
	if err != nil {
		return s.carRefused(w, r, "odometer", err)
	}
	return see(w, r, "/cars/"+id+"?saved=odometer")
}
