package web

import "net/url"

// workRoutes lists the pages on agreed work: the day's list, a car's work sheet and its close-out.
func (s *server) workRoutes() []route {
	return []route{
		{pattern: "GET /bay", handle: s.workList},
		{pattern: "GET /bay/{decision}", handle: s.workShow},
		{pattern: "POST /bay/{decision}/notes", handle: s.workNote},
		{pattern: "GET /bay/{decision}/close", handle: s.workCloseShow},
		{pattern: "POST /bay/{decision}/close", handle: s.workClose},
		{pattern: "GET /bay/{decision}/done", handle: s.workDone},
		{pattern: "GET /bay/{decision}/summary.csv", handle: s.workSummaryCSV},
		{pattern: "GET /bay/{decision}/summary.json", handle: s.workSummaryJSON},
	}
}

// workPath is the address of agreed work.
func workPath(decision string) string { return "/bay/" + url.PathEscape(decision) }
