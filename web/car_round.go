package web

import (
	"net/http"

	"witnessmark/shop"
)

// carRound begins a round on a car and goes to it.
func (s *server) carRound(w http.ResponseWriter, r *http.Request) error {
	v := r.PostForm
	round, err := s.shop.StartRound(r.Context(), shop.RoundInput{ID: v.Get("round-id"), CarID: r.PathValue("id"), Depth: v.Get("round-depth"),
		On: v.Get("round-on"), Km: v.Get("round-km"), KmNote: v.Get("round-km-note"), Ambient: v.Get("round-ambient"), EngineHot: v.Get("round-engine-hot") != "",
		By: by(w, r), Confirmed: v.Get("confirmed") != ""})
	if err != nil {
		return s.carRefused(w, r, "round", err)
	}
	return see(w, r, "/rounds/"+round.ID)
}
