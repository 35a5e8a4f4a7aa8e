package web

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"strings"
	"time"

	"witnessmark/core/point"
	"witnessmark/shop"
)

//go:embed templates
var templateFiles embed.FS

// page is what the layout needs, with the page's own data.
type page struct {
	Title string
	// Form carries problems for the summary at the top; nil if the page has no form.
	Form *form
	// Notice is one sentence about what was just done ("Saved."); empty for none.
	Notice string
	// Public is set for pages that an owner sees: no way into the workshop's own pages.
	Public bool
	// Report is set for the page of an owner's report, at whose foot stands what a report says and what it does not.
	Report bool
	// NoIndex asks search engines to stay away.
	NoIndex bool
	// Wide lets a page use the whole width of a large screen, Narrow keeps it at a phone's.
	Wide, Narrow bool
	// Back is where the link at the top left leads, with its words; empty leads to today's cars.
	Back, BackWords string
	Data            any

	Workshop string // filled in by render
	Initials string // filled in by render
}

// pages holds a template set for every page by name.
type pages map[string]*template.Template

// isShared reports whether a template file holds parts that pages share.
func isShared(name string) bool {
	return name == "layout.html" || strings.HasPrefix(name, "part_") || strings.HasPrefix(name, "round_part_")
}

// loadPages parses the layout with every page.
func (s *server) loadPages() (pages, error) {
	files, err := fs.ReadDir(templateFiles, "templates")
	if err != nil {
		return nil, err
	}
	base := template.New("layout.html").Funcs(s.funcs())
	for _, f := range files {
		if isShared(f.Name()) {
			if base, err = base.ParseFS(templateFiles, "templates/"+f.Name()); err != nil {
				return nil, err
			}
		}
	}
	out := pages{}
	for _, f := range files {
		if isShared(f.Name()) {
			continue
		}
		t, err := base.Clone()
		if err != nil {
			return nil, err
		}
		if t, err = t.ParseFS(templateFiles, "templates/"+f.Name()); err != nil {
			return nil, err
		}
		out[strings.TrimSuffix(f.Name(), path.Ext(f.Name()))] = t
	}
	return out, nil
}

// funcs are the words and drawings that templates may call.
func (s *server) funcs() template.FuncMap {
	return template.FuncMap{
		"asset":      func(name string) string { return s.assets.url[name] },
		"mark":       mark,
		"steps":      steps,
		"field":      field,
		"choice":     choice,
		"where":      point.Where,
		"day":        day,
		"km":         s.km,
		"meterHint":  meterHint,
		"number":     number,
		"capital":    capital,
		"words":      func(id string) string { return capital(strings.ReplaceAll(id, "-", " ")) },
		"lower":      lowerFirst,
		"promise":    func() string { return shop.Promise },
		"dict":       dict,
		"options":    options,
		"renewables": s.renewables,
		"placesIn":   placeOptions,
		"tens":       tens,
		"inc":        func(n int) int { return n + 1 },
		"add":        func(a, b int) int { return a + b },
		"rungLinks":  rungLinks,
		"ownerDepth": ownerDepth,
		"depth":      depthWords,
		"asksfor":    asksFor,
	}
}

// render writes a page. It is built in memory first, so that a failing template never leaves half a page.
func (s *server) render(w http.ResponseWriter, r *http.Request, status int, name string, p page) {
	p.Workshop = s.shop.Name()
	p.Initials = initials(r)
	var b bytes.Buffer
	t, ok := s.pages[name]
	if !ok {
		s.log.Error("no such page template", "name", name)
		http.Error(w, "Something went wrong on our side. Go back and try again.", http.StatusInternalServerError)
		return
	}
	if err := t.ExecuteTemplate(&b, "layout.html", p); err != nil {
		s.log.Error("template", "name", name, "err", err)
		http.Error(w, "Something went wrong on our side. Go back and try again.", http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, _ = b.WriteTo(w)
}

// see redirects after a POST, so that reloading the answer sends nothing again.
func see(w http.ResponseWriter, r *http.Request, where string) error {
	http.Redirect(w, r, where, http.StatusSeeOther)
	return nil
}

// isPublic reports whether the request came for an owner's page.
func isPublic(r *http.Request) bool {
	return keyed(r.URL.Path) || strings.HasPrefix(r.URL.Path, "/y/")
}

// initials gives who looks, from the cookie; empty if it was never said.
func initials(r *http.Request) string {
	if c, err := r.Cookie("initials"); err == nil {
		return cleanInitials(c.Value)
	}
	return ""
}

// by gives who looks: the form's word first, then the cookie's. A new word is remembered.
func by(w http.ResponseWriter, r *http.Request) string {
	typed := cleanInitials(r.PostFormValue("by"))
	if typed == "" {
		return initials(r)
	}
	http.SetCookie(w, &http.Cookie{Name: "initials", Value: typed, Path: "/", MaxAge: 180 * 24 * 3600,
		HttpOnly: true, SameSite: http.SameSiteLaxMode})
	return typed
}

// cleanInitials keeps up to eight letters, digits, dots and hyphens, which a cookie can hold as they are.
func cleanInitials(s string) string {
	var b strings.Builder
	for _, c := range strings.TrimSpace(s) {
		if b.Len() < 8 && (c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '.' || c == '-') {
			b.WriteRune(c)
		}
	}
	return b.String()
}

// dict builds a map for a template part from pairs.
func dict(pairs ...any) (map[string]any, error) {
	if len(pairs)%2 != 0 {
		return nil, fmt.Errorf("dict: %d arguments; expected pairs", len(pairs))
	}
	out := make(map[string]any, len(pairs)/2)
	for i := 0; i < len(pairs); i += 2 {
		out[fmt.Sprint(pairs[i])] = pairs[i+1]
	}
	return out, nil
}

// day writes 2026-03-21 as "21 March 2026" and 2009-04 as "April 2009"; anything else stays.
func day(iso string) string {
	if t, err := time.Parse("2006-01-02", iso); err == nil {
		return t.Format("2 January 2006")
	}
	if t, err := time.Parse("2006-01", iso); err == nil {
		return t.Format("January 2006")
	}
	return iso
}

// shortDay writes 2026-03-21 as "21 Mar 2026", for columns.
func shortDay(iso string) string {
	if t, err := time.Parse("2006-01-02", iso); err == nil {
		return t.Format("2 Jan 2006")
	}
	return day(iso)
}
