package web

import "net/http"

// shareRevoke takes a link back. The id of the fact is made from the share's, so that pressing twice revokes once.
func (s *server) shareRevoke(w http.ResponseWriter, r *http.Request) error {
	share := r.PathValue("share")
	revoke := r.PostForm.Get("revoke-id")
	if revoke == "" {
		revoke = s.shop.NewID()
	}
	if err := s.shop.Revoke(r.Context(), revoke, share, by(w, r)); err != nil {
		return err
	}
	return see(w, r, sharePath(r.PathValue("id"))+"?revoked=1")
}
