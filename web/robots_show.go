package web

import (
	"io"
	"net/http"
)

// robotsShow asks crawlers to stay away from owners' reports and estimates, and from everything else too.
func (s *server) robotsShow(w http.ResponseWriter, _ *http.Request) error {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	_, _ = io.WriteString(w, "User-agent: *\nDisallow: /r/\nDisallow: /y/\nDisallow: /\n")
	return nil
}
