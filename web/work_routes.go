package web

import (
	"errors"
	"net/http"
	"net/url"

	"witnessmark/shop"
)

// workRoutes lists the pages on agreed work: the day's list, a car's work sheet and its close-out.
func (s *server) workRoutes() []route {
	return []route{
		{pattern: "GET /bay", handle: s.workList},
		{pattern: "GET /bay/{decision}", handle: s.ofWork(s.workShow)},
		{pattern: "POST /bay/{decision}/notes", handle: s.ofWork(s.workNote)},
		{pattern: "GET /bay/{decision}/close", handle: s.ofWork(s.workCloseShow)},
		{pattern: "POST /bay/{decision}/close", handle: s.ofWork(s.workClose)},
		{pattern: "GET /bay/{decision}/done", handle: s.ofWork(s.workDone)},
		{pattern: "POST /bay/{decision}/back", handle: s.ofWork(s.workBack)},
		{pattern: "GET /bay/{decision}/summary.csv", handle: s.ofWork(s.workSummaryCSV)},
		{pattern: "GET /bay/{decision}/summary.json", handle: s.ofWork(s.workSummaryJSON)},
	}
}

// ofWork says what became of work whose estimate the owner has answered again: a page leads to the work of the later answer, and a form
// that was filled in meanwhile is told that nothing of it was stored.
func (s *server) ofWork(handle func(http.ResponseWriter, *http.Request) error) func(http.ResponseWriter, *http.Request) error {
	return func(w http.ResponseWriter, r *http.Request) error {
		err := handle(w, r)
		if !errors.Is(err, shop.ErrNotFound) {
			return err
		}
		old, e := s.shop.Agreed(r.Context(), r.PathValue("decision"))
		if e != nil || old.ReplacedBy == "" {
			return err
		}
		if _, e := s.shop.WorkOrder(r.Context(), old.ReplacedBy); e != nil || r.Method != http.MethodGet {
			return userError{http.StatusConflict, "The owner answered this estimate again",
				"The later answer counts, and nothing of this form was stored. Open the work from the day's list: it shows what is agreed now."}
		}
		return see(w, r, workPath(old.ReplacedBy))
	}
}

// workPath is the address of agreed work.
func workPath(decision string) string { return "/bay/" + url.PathEscape(decision) }
