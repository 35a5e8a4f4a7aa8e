package web

import (
	"net/http"

	"witnessmark/shop"
)

// photoLimit bounds the body of a form that may carry a photo.
const photoLimit = 32 << 20

// sheetLimit bounds a station of the sheet that is typed in.
const sheetLimit = 2 << 20

// roundRoutes lists the pages of the walk round the car.
func (s *server) roundRoutes() []route {
	return []route{
		{pattern: "GET /rounds/{id}", handle: s.roundShow},
		{pattern: "POST /rounds/{id}/initials", handle: s.roundInitials},
		{pattern: "GET /rounds/{id}/points/{point}", handle: s.roundPointShow},
		{pattern: "POST /rounds/{id}/points/{point}", handle: s.roundPointSave, limit: photoLimit},
		{pattern: "POST /rounds/{id}/points/{point}/photo", handle: s.roundPhotoAdd, limit: photoLimit},
		{pattern: "POST /rounds/{id}/points/{point}/photo/remove", handle: s.roundPhotoRemove},
		{pattern: "POST /rounds/{id}/points/{point}/undo", handle: s.roundUndo},
		{pattern: "GET /rounds/{id}/stations/{station}", handle: s.roundRestShow},
		{pattern: "POST /rounds/{id}/stations/{station}", handle: s.roundRestSave},
		{pattern: "GET /rounds/{id}/check", handle: s.roundCheck},
		{pattern: "POST /rounds/{id}/end", handle: s.roundEnd},
		{pattern: "GET /rounds/{id}/type", handle: s.roundTypeShow},
		{pattern: "POST /rounds/{id}/type", handle: s.roundTypeSave, limit: sheetLimit},
		{pattern: "GET /rounds/{id}/sheet", handle: s.roundSheet},
		{pattern: "GET /rounds/{id}/sheet.pdf", handle: s.roundSheetPDF},
	}
}

// round reads the round that the address names.
func (s *server) round(r *http.Request) (*shop.RoundView, error) {
	return s.shop.Round(r.Context(), r.PathValue("id"))
}

// roundPoint reads the round and finds a point among its steps.
func (s *server) roundPoint(r *http.Request, id string) (*shop.RoundView, int, error) {
	v, err := s.round(r)
	if err != nil {
		return nil, 0, err
	}
	for i := range v.Steps {
		if v.Steps[i].Point.ID == id {
			return v, i, nil
		}
	}
	for _, a := range v.Absent {
		if a.Point.ID == id {
			return nil, 0, userError{http.StatusNotFound, "This car has no such point",
				a.Point.Name + " does not apply: " + a.Why + ". If that is wrong, correct the car's equipment."}
		}
	}
	return nil, 0, userError{http.StatusNotFound, "There is no such point in this round", "Go back to the round and choose a point from its list."}
}

// goOn leads to the next page after a form was taken. The round's script sends forms itself, so that what was typed
// survives a dead connection, and is told the address instead of being redirected.
func goOn(w http.ResponseWriter, r *http.Request, where string) error {
	if r.Header.Get("X-Round") != "" {
		w.Header().Set("X-Next", where)
		w.WriteHeader(http.StatusNoContent)
		return nil
	}
	return see(w, r, where)
}
