package web

import (
	"fmt"
	"net/http"
	"runtime/debug"
	"strings"
)

const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; " +
	"form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// headers sets what every answer carries. Pages are personal: no cache may keep them. Where the address is itself the key, it must
// not leave with a link. Where such a page has a form, as under /y/, that is same-origin, which tells other sites nothing: a browser
// that sends no referrer at all also sends a form's Origin as null, which the cross-origin check would refuse.
func (s *server) headers(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(self), geolocation=(), microphone=()")
		h.Set("Cache-Control", "no-store")
		if isPublic(r) {
			h.Set("X-Robots-Tag", "noindex, nofollow")
		}
		if keyed(r.URL.Path) {
			h.Set("Referrer-Policy", "no-referrer")
		}
		next.ServeHTTP(w, r)
	})
}

// guard turns a panic into a page without detail; the detail goes to the log.
func (s *server) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			p := recover()
			if p == nil {
				return
			}
			if p == http.ErrAbortHandler {
				panic(p)
			}
			s.log.Error("panic", "method", r.Method, "route", r.Pattern, "panic", fmt.Sprint(p), "stack", string(debug.Stack()))
			s.fail(w, r, errPanic)
		}()
		next.ServeHTTP(w, r)
	})
}

// crossOrigin refuses forms that another site sends.
func (s *server) crossOrigin() (*http.CrossOriginProtection, error) {
	c := http.NewCrossOriginProtection()
	origins := s.cfg.TrustedOrigins
	if s.cfg.PublicURL != "" {
		origins = append(origins[:len(origins):len(origins)], strings.TrimRight(s.cfg.PublicURL, "/"))
	}
	for _, o := range origins {
		if err := c.AddTrustedOrigin(o); err != nil {
			return nil, fmt.Errorf("web: trusted origin: %w", err)
		}
	}
	c.AddInsecureBypassPattern("POST " + stopPattern)
	c.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { s.fail(w, r, errCrossOrigin) }))
	return c, nil
}
