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
	}
}
