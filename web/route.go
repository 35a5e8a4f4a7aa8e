package web

import "net/http"

// formLimit bounds the body of an ordinary form.
const formLimit = 1 << 20

// route is one method and path with its handler. An error that the handler returns becomes a page by s.fail; the
// handler must then have written nothing.
type route struct {
	pattern string
	handle  func(w http.ResponseWriter, r *http.Request) error
	// limit bounds the request's body in bytes; 0 is formLimit.
	limit int64
}

// handler bounds the body, reads the form where there is one and turns errors into pages. Multipart bodies are left
// to the handler, which knows how large they may be.
func (s *server) handler(rt route) http.Handler {
	limit := rt.limit
	if limit == 0 {
		limit = formLimit
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r.Body = http.MaxBytesReader(w, r.Body, limit)
		if err := r.ParseForm(); err != nil {
			s.fail(w, r, badForm(err))
			return
		}
		if err := rt.handle(w, r); err != nil {
			s.fail(w, r, err)
		}
	})
}

// routes lists what this server answers, except for the walk round the car (roundRoutes).
func (s *server) routes() []route {
	return []route{
		{pattern: "GET /{$}", handle: s.todayShow},
		{pattern: "GET /cars/new", handle: s.carNew},
		{pattern: "POST /cars", handle: s.carCreate},
		{pattern: "GET /cars/{id}", handle: s.carShow},
		{pattern: "GET /cars/{id}/points/{point}", handle: s.carPointShow},
		{pattern: "GET /cars/{id}/edit", handle: s.carEdit},
		{pattern: "POST /cars/{id}/edit", handle: s.carUpdate},
		{pattern: "POST /cars/{id}/renewals", handle: s.renewalAdd},
		{pattern: "POST /cars/{id}/renewals/back", handle: s.renewalBack},
		{pattern: "POST /cars/{id}/odometer", handle: s.odometerAdd},
		{pattern: "POST /cars/{id}/rounds", handle: s.carRound},
		{pattern: "GET /rounds/{id}/findings", handle: s.findingsShow},
		{pattern: "GET /rounds/{id}/report", handle: s.reportShow},
		{pattern: "GET /rounds/{id}/report.pdf", handle: s.reportPDF},
		{pattern: "GET /rounds/{id}/share", handle: s.shareShow},
		{pattern: "POST /rounds/{id}/share", handle: s.shareCreate},
		{pattern: "POST /rounds/{id}/share/{share}/revoke", handle: s.shareRevoke},
		{pattern: "GET /r/{token}", handle: s.ownerShow},
		{pattern: "GET /r/{token}/report.pdf", handle: s.ownerPDF},
		{pattern: "GET /r/{token}/photos/{hash}", handle: s.ownerPhoto},
		{pattern: "GET /photos/{hash}", handle: s.photoShow},
		{pattern: "GET /right", handle: s.rightShow},
		{pattern: "POST /right/learn", handle: s.rightLearn},
		{pattern: "GET /robots.txt", handle: s.robotsShow},
	}
}
