// Package web serves the workshop's pages and the owner's report. Every page works without JavaScript; GET changes
// nothing; a POST answers with a redirect or with the same form, the problems beside their fields and nothing lost.
package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"slices"

	"witnessmark/core/estimate"
	"witnessmark/shop"
)

// Config is what the pages need. Shop is required; a nil function takes the feature that needs it off the pages.
type Config struct {
	Shop *shop.Shop
	// ReportPDF writes an owner's report on paper; photo opens a photo by its hash.
	ReportPDF func(w io.Writer, r *shop.Report, photo func(hash string) (io.ReadCloser, error)) error
	// SheetPDF writes a round as a sheet for the pen.
	SheetPDF func(w io.Writer, v *shop.RoundView) error
	// EstimatePDF writes an estimate on paper.
	EstimatePDF func(w io.Writer, e estimate.Estimate) error
	// PreparePhoto turns an upload into a JPEG of bounded size without what the camera wrote beside the picture.
	PreparePhoto func(ctx context.Context, r io.Reader) (jpeg []byte, width, height int, err error)
	// Calendar writes a calendar to subscribe to.
	Calendar func(w io.Writer, c *shop.Calendar) error
	// Mailing is how reminders go out; the zero value means that they are not set up.
	Mailing shop.Mailing
	// PublicURL is where owners reach the server ("https://check.example"); empty takes the address of the request.
	PublicURL string
	// TrustedOrigins are further origins whose forms are accepted, for a proxy that rewrites the Host.
	TrustedOrigins []string
	// Log takes what went wrong; nil is slog.Default.
	Log *slog.Logger
}

// server holds what every handler needs. It never changes after New.
type server struct {
	shop   *shop.Shop
	cfg    Config
	log    *slog.Logger
	assets *assets
	pages  pages
	mux    *http.ServeMux
}

// New builds the handler. It fails when a template does not parse, when an origin is malformed or when no shop is given.
func New(cfg Config) (http.Handler, error) {
	if cfg.Shop == nil {
		return nil, errors.New("web: no shop given")
	}
	s := &server{shop: cfg.Shop, cfg: cfg, log: cfg.Log, mux: http.NewServeMux()}
	if s.log == nil {
		s.log = slog.Default()
	}
	var err error
	if s.assets, err = loadAssets(); err != nil {
		return nil, fmt.Errorf("web: static files: %w", err)
	}
	if s.pages, err = s.loadPages(); err != nil {
		return nil, fmt.Errorf("web: templates: %w", err)
	}
	for _, rt := range slices.Concat(s.routes(), s.roundRoutes(), s.causeRoutes(), s.sumsRoutes(), s.termsRoutes(), s.planRoutes(), s.draftRoutes(), s.offerRoutes(), s.workRoutes(), s.dueRoutes()) {
		s.mux.Handle(rt.pattern, s.handler(rt))
	}
	s.mux.HandleFunc("GET /static/{file}", s.assets.serve)
	csrf, err := s.crossOrigin()
	if err != nil {
		return nil, err
	}
	return s.guard(s.headers(csrf.Handler(http.HandlerFunc(s.dispatch)))), nil
}

// dispatch serves the matching route; what no route matches gets a page of our own, with the status the mux gave.
func (s *server) dispatch(w http.ResponseWriter, r *http.Request) {
	if h, pattern := s.mux.Handler(r); pattern == "" {
		var probe statusProbe
		h.ServeHTTP(&probe, r)
		if probe.status == http.StatusMethodNotAllowed {
			w.Header().Set("Allow", probe.Header().Get("Allow"))
			s.fail(w, r, errMethod)
			return
		}
		s.fail(w, r, shop.ErrNotFound)
		return
	}
	s.mux.ServeHTTP(w, r)
}

// statusProbe takes a response's status and headers and drops its body.
type statusProbe struct {
	header http.Header
	status int
}

func (p *statusProbe) Header() http.Header {
	if p.header == nil {
		p.header = http.Header{}
	}
	return p.header
}
func (p *statusProbe) Write(b []byte) (int, error) { return len(b), nil }
func (p *statusProbe) WriteHeader(status int)      { p.status = status }
