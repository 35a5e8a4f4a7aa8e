package web

import "net/http"

// renewalBack takes a renewal back that was entered by mistake.
func (s *server) renewalBack(w http.ResponseWriter, r *http.Request) error {
	v, id := r.PostForm, r.PathValue("id")
	if v.Get("renewal") == "" {
		return badRequest("The form was not whole. Nothing was stored. Open the page again.")
	}
	if err := s.shop.WithdrawRenewal(r.Context(), s.shop.NewID(), id, v.Get("renewal"), by(w, r)); err != nil {
		return err
	}
	return see(w, r, "/cars/"+id+"?saved=renewal-back#renewed")
}
