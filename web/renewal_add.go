package web

import (
	"net/http"

	"witnessmark/shop"
)

// renewalAdd stores that an item was renewed.
func (s *server) renewalAdd(w http.ResponseWriter, r *http.Request) error {
	v, id := r.PostForm, r.PathValue("id")
	err := s.shop.AddRenewal(r.Context(), shop.RenewalInput{ID: v.Get("renewal-id"), CarID: id, Item: v.Get("renewal-item"),
		On: v.Get("renewal-on"), Km: v.Get("renewal-km"), Note: v.Get("renewal-note"), By: by(w, r)})
	if err != nil {
		return s.carRefused(w, r, "renewal", err)
	}
	return see(w, r, "/cars/"+id+"?saved=renewal")
}
