package web

import (
	"net/http"
	"slices"
	"strings"

	"witnessmark/core/facet"
	"witnessmark/core/point"
	"witnessmark/shop"
)

// renewable is an item of the renewal's form with the places that it has on the car, and the places of all items together.
type renewable struct {
	option
	Places string // "F R FL FR RL RR"; empty for what the car has only once
}

// renewables lists what can be renewed on a car with its places.
func (s *server) renewables(items []option, facets facet.Set) []renewable {
	out := make([]renewable, len(items))
	for i, it := range items {
		out[i] = renewable{option: it}
		if places := s.shop.PlacesOf(it.Value, facets); len(places) > 1 { // the only one is the whole car's
			out[i].Places = strings.Join(places, " ")
		}
	}
	return out
}

// placeOptions are the places that any of the items has, the whole car first.
func placeOptions(items []renewable) []option {
	out := []option{{Label: "the whole car"}}
	have := map[string]bool{}
	for _, it := range items {
		for at := range strings.FieldsSeq(it.Places) {
			have[at] = true
		}
	}
	for _, at := range slices.Concat(point.Axles, point.Corners, []string{"spare", "1", "2", "3", "4", "5", "6", "7", "8", "9"}) {
		if have[at] {
			out = append(out, option{Value: at, Label: point.Where(at)})
		}
	}
	return out
}

// renewalAdd stores that an item was renewed.
func (s *server) renewalAdd(w http.ResponseWriter, r *http.Request) error {
	v, id := r.PostForm, r.PathValue("id")
	err := s.shop.AddRenewal(r.Context(), shop.RenewalInput{ID: v.Get("renewal-id"), CarID: id, Item: v.Get("renewal-item"), At: v.Get("renewal-at"),
		On: v.Get("renewal-on"), Km: v.Get("renewal-km"), Note: v.Get("renewal-note"), By: by(w, r)})
	if err != nil {
		return s.carRefused(w, r, "renewal", err)
	}
	return see(w, r, "/cars/"+id+"?saved=renewal")
}
