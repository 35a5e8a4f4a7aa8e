package main

import (
	"io"
	"maps"
	"math/rand/v2"
	"mime"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// stroller is somebody who follows any link and sends any form, filled in or not, right or wrong.
type stroller struct {
	t      *testing.T
	rnd    *rand.Rand
	client *http.Client
	at     *url.URL
	page   *html.Node
	sent   int // forms that were taken
	seen   map[string]int
}

func newStroller(t *testing.T, server string, seed uint64) *stroller {
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	at, err := url.Parse(server)
	if err != nil {
		t.Fatal(err)
	}
	return &stroller{t: t, rnd: rand.New(rand.NewPCG(seed, seed)), client: &http.Client{Jar: jar}, at: at, seen: map[string]int{}}
}

// walk takes so many steps, and begins anew now and then.
func (s *stroller) walk(steps int) {
	home := *s.at
	for i := range steps {
		if s.page == nil || i%25 == 0 {
			s.get(&home)
			continue
		}
		forms, links := s.within("form"), s.within("a")
		switch {
		case len(forms) > 0 && (len(links) == 0 || s.rnd.IntN(3) == 0):
			s.send(forms[s.rnd.IntN(len(forms))])
		case len(links) > 0:
			s.follow(links)
		default:
			s.page = nil
		}
	}
}

// follow takes one of the page's links, rather one that leads where it has been least.
func (s *stroller) follow(links []*html.Node) {
	var best *url.URL
	for range 4 {
		to := s.to(attr(links[s.rnd.IntN(len(links))], "href"))
		if to != nil && (best == nil || s.seen[shapeOf(to.Path)] < s.seen[shapeOf(best.Path)]) {
			best = to
		}
	}
	if best != nil {
		s.get(best)
	}
}

// to is the address that a link or a form names; nil where it leads away from the workshop.
func (s *stroller) to(ref string) *url.URL {
	u, err := s.at.Parse(ref)
	if err != nil {
		s.t.Errorf("%s: %q is no address: %v", s.at, ref, err)
		return nil
	}
	if u.Host != s.at.Host || u.Scheme != s.at.Scheme {
		return nil
	}
	u.Fragment = ""
	return u
}

func (s *stroller) get(u *url.URL) {
	r, err := http.NewRequest("GET", u.String(), nil)
	if err != nil {
		s.t.Error(err)
		return
	}
	s.do(r)
}

// do sends a request. An answer of 500 or more is a fault of the program, whatever was sent.
func (s *stroller) do(r *http.Request) {
	resp, err := s.client.Do(r)
	if err != nil {
		s.t.Errorf("%s %s: %v", r.Method, r.URL, err)
		return
	}
	defer resp.Body.Close()
	if resp.StatusCode >= 500 {
		s.t.Errorf("%s %s: %s", r.Method, r.URL, resp.Status)
	}
	if r.Method == "POST" && resp.Request.Method == "GET" && resp.StatusCode < 300 {
		s.sent++
	}
	kind, _, _ := mime.ParseMediaType(resp.Header.Get("Content-Type"))
	if kind != "text/html" {
		io.Copy(io.Discard, resp.Body)
		return
	}
	page, err := html.Parse(resp.Body)
	if err != nil {
		s.t.Errorf("%s: %v", r.URL, err)
		return
	}
	s.at, s.page = resp.Request.URL, page
	s.seen[shapeOf(s.at.Path)]++
}

// shapeOf is an address without what names one car, round or estimate.
func shapeOf(path string) string {
	parts := strings.Split(path, "/")
	for i, p := range parts {
		if strings.ContainsAny(p, "0123456789") || i > 0 && (parts[i-1] == "points" || parts[i-1] == "sums" || parts[i-1] == "looks") {
			parts[i] = "*"
		}
	}
	return strings.Join(parts, "/")
}

func (s *stroller) within(tag string) []*html.Node { return all(s.page, tag) }

func all(n *html.Node, tags ...string) []*html.Node {
	var out []*html.Node
	for d := range n.Descendants() {
		if d.Type == html.ElementNode && slices.Contains(tags, d.Data) {
			out = append(out, d)
		}
	}
	return out
}

func attr(n *html.Node, name string) string {
	text, _ := attribute(n, name)
	return text
}

func attribute(n *html.Node, name string) (string, bool) {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val, true
		}
	}
	return "", false
}

func has(n *html.Node, name string) bool {
	_, ok := attribute(n, name)
	return ok
}

// send sends a form by one of its buttons.
func (s *stroller) send(form *html.Node) {
	action, method := attr(form, "action"), strings.ToUpper(attr(form, "method"))
	values := s.filled(form)
	var buttons []*html.Node
	for _, b := range all(form, "button") {
		if kind := attr(b, "type"); kind == "" || kind == "submit" {
			buttons = append(buttons, b)
		}
	}
	if len(buttons) > 0 {
		b := buttons[s.rnd.IntN(len(buttons))]
		if name := attr(b, "name"); name != "" {
			values.Set(name, attr(b, "value"))
		}
		if has(b, "formaction") {
			action = attr(b, "formaction")
		}
	}
	to := s.to(action)
	if to == nil {
		return
	}
	if method != "POST" {
		to.RawQuery = values.Encode()
		s.get(to)
		return
	}
	r, err := http.NewRequest("POST", to.String(), strings.NewReader(values.Encode()))
	if err != nil {
		s.t.Error(err)
		return
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", s.at.Scheme+"://"+s.at.Host)
	s.do(r)
}

// typed are things that people type, most of them somewhere wrong.
var typed = []string{"", "AB", "12", "7.5", "182 000 km", "3,4 mm", "2027-03-01", "-40 C", "1e9", "Hexenküche №5 — שלום 🙂", "a@b.example", "0"}

// filled gives a form's fields values: mostly what stands there, sometimes something else.
func (s *stroller) filled(form *html.Node) url.Values {
	out := url.Values{}
	radios := map[string][]string{}
	for _, f := range all(form, "input", "select", "textarea") {
		name := attr(f, "name")
		if name == "" || has(f, "disabled") {
			continue
		}
		switch kind := attr(f, "type"); {
		case f.Data == "select":
			if options := all(f, "option"); len(options) > 0 {
				out.Add(name, attr(options[s.rnd.IntN(len(options))], "value"))
			}
		case kind == "radio":
			radios[name] = append(radios[name], attr(f, "value"))
		case kind == "checkbox":
			if has(f, "checked") || s.rnd.IntN(2) == 0 {
				value, ok := attribute(f, "value")
				if !ok {
					value = "on"
				}
				out.Add(name, value)
			}
		case kind == "hidden":
			out.Add(name, attr(f, "value"))
		case kind == "file" || kind == "submit":
		case name == "by":
			out.Add(name, "ST")
		default:
			value := attr(f, "value")
			if f.Data == "textarea" && f.FirstChild != nil {
				value = f.FirstChild.Data
			}
			if s.rnd.IntN(3) == 0 {
				value = typed[s.rnd.IntN(len(typed))]
			}
			out.Add(name, value)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(radios)) {
		out.Set(name, radios[name][s.rnd.IntN(len(radios[name]))])
	}
	return out
}
