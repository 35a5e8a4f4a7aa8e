package web

import (
	"context"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"witnessmark/shop"
)

func TestNewNeedsAShop(t *testing.T) {
	if _, err := New(Config{}); err == nil {
		t.Error("a server without a shop was made")
	}
	b := newBench(t, "metric")
	if _, err := New(Config{Shop: b.shop, PublicURL: "not a url"}); err == nil {
		t.Error("a malformed public address was taken")
	}
}

func TestHeadersOnEveryPage(t *testing.T) {
	b := newBench(t, "metric")
	for _, path := range []string{"/", "/cars/new", "/cars/" + b.car, "/cars/" + b.car + "/edit", b.path("/findings"), b.path("/report"), b.path("/share"), "/nothing", "/r/nonesuch"} {
		h := b.page(path).Header()
		for name, want := range map[string]string{"Content-Security-Policy": "default-src 'none'", "X-Content-Type-Options": "nosniff", "Cache-Control": "no-store", "Content-Type": "text/html"} {
			if !strings.Contains(h.Get(name), want) {
				t.Errorf("%s: %s is %q", path, name, h.Get(name))
			}
		}
		if want := map[bool]string{true: "no-referrer", false: "same-origin"}[strings.HasPrefix(path, "/r/")]; h.Get("Referrer-Policy") != want {
			t.Errorf("%s: referrer policy %q", path, h.Get("Referrer-Policy"))
		}
	}
}

func TestOtherSitesAreRefused(t *testing.T) {
	b := newBench(t, "metric")
	for _, path := range []string{"/cars", "/cars/" + b.car + "/edit", "/cars/" + b.car + "/renewals", "/cars/" + b.car + "/odometer", "/cars/" + b.car + "/rounds", b.path("/share"), b.path("/share/x/revoke")} {
		for name, value := range map[string]string{"Sec-Fetch-Site": "cross-site", "Origin": "https://elsewhere.example"} {
			r := httptest.NewRequest("POST", path, strings.NewReader("plate=X"))
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			r.Header.Set(name, value)
			w := b.send(r)
			if w.Code != http.StatusForbidden || !strings.Contains(w.Body.String(), "This form came from another site") {
				t.Errorf("%s with %s: %d", path, name, w.Code)
			}
		}
	}
}

func TestWhatIsNotThere(t *testing.T) {
	b := newBench(t, "metric")
	for _, c := range []struct {
		method, path string
		code         int
	}{
		{"GET", "/nothing", 404}, {"GET", "/cars/none", 404}, {"GET", "/cars/none/edit", 404}, {"GET", "/rounds/none/findings", 404}, {"GET", "/rounds/none/report", 404},
		{"GET", "/rounds/none/share", 404}, {"GET", "/photos/none", 404}, {"GET", "/photos/../x", 404}, {"POST", "/", 405}, {"PUT", "/cars", 405}, {"DELETE", "/cars/" + b.car, 405},
		{"GET", "/static/app.css", 404}, {"GET", b.path("/report.pdf"), 404},
	} {
		w := b.send(httptest.NewRequest(c.method, c.path, nil))
		if w.Code != c.code {
			t.Errorf("%s %s: %d instead of %d", c.method, c.path, w.Code, c.code)
		}
		if c.code == 405 && w.Header().Get("Allow") == "" {
			t.Errorf("%s %s: no Allow", c.method, c.path)
		}
	}
}

func TestLargeForm(t *testing.T) {
	b := newBench(t, "metric")
	r := httptest.NewRequest("POST", "/cars", io.LimitReader(strings.NewReader("plate="+strings.Repeat("x", formLimit+10)), formLimit+16))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	if w := b.send(r); w.Code != http.StatusRequestEntityTooLarge || !strings.Contains(w.Body.String(), "At most 1 MB") {
		t.Errorf("%d", w.Code)
	}
	if w := b.page("/"); w.Code != 200 {
		t.Errorf("after it: %d", w.Code)
	}
}

func TestPanicShowsNoDetail(t *testing.T) {
	b := newBench(t, "metric")
	b.serve(Config{ReportPDF: func(io.Writer, *shop.Report, func(string) (io.ReadCloser, error)) error { panic("secret detail") }})
	w := b.page(b.path("/report.pdf"))
	if w.Code != 500 {
		t.Errorf("%d", w.Code)
	}
	wants(t, w.Body.String(), "Something went wrong on our side")
	lacks(t, w.Body.String(), "secret")
	b.serve(Config{ReportPDF: func(io.Writer, *shop.Report, func(string) (io.ReadCloser, error)) error {
		return errors.New("secret detail")
	}})
	w = b.page(b.path("/report.pdf"))
	lacks(t, w.Body.String(), "secret")
	if w.Code != 500 || w.Header().Get("Content-Type") != "text/html; charset=utf-8" {
		t.Errorf("%d %s", w.Code, w.Header().Get("Content-Type"))
	}
}

func TestStaticFiles(t *testing.T) {
	b := newBench(t, "metric")
	page := b.page("/").Body.String()
	_, rest, _ := strings.Cut(page, `href="/static/app.`)
	name, _, _ := strings.Cut(rest, `"`)
	w := b.page("/static/app." + name)
	if w.Code != 200 || !strings.Contains(w.Header().Get("Cache-Control"), "immutable") || !strings.HasPrefix(w.Header().Get("Content-Type"), "text/css") {
		t.Errorf("%d %v", w.Code, w.Header())
	}
	wants(t, b.page("/robots.txt").Body.String(), "Disallow: /r/")
}

func TestFindingsAndReport(t *testing.T) {
	b := newBench(t, "metric")
	b.take("brake-fluid-look", "", "opaque", nil)
	b.take("disc-thickness", "FL", "", map[string]string{"mm": "20 mm"})
	b.take("pad-thickness", "FL/inner", "", map[string]string{"mm": "2.5 mm"})
	ctx := context.Background()
	b.must(b.shop.Record(ctx, []shop.ReadingInput{{ID: b.shop.NewID(), RoundID: b.round, Point: "pad-thickness", At: "FR/inner", Skipped: "wheel bolt seized"}}))
	ph, err := b.shop.AddPhoto(ctx, shop.PhotoInput{ID: b.shop.NewID(), RoundID: b.round, Point: "brake-fluid-look", JPEG: aPhoto(3), Width: 320, Height: 200})
	b.must(err)
	page := b.page(b.path("/findings")).Body.String()
	wants(t, page, "Brake fluid, look: ", "Unjudged: what is missing", "Wheel bolt seized", "/photos/"+ph.Hash, "Pad lining thickness, front left, inner: due", "<dt>Limit</dt><dd>3.0 mm, common practice", "The car does not have", "Make a link for the owner")
	report := b.page(b.path("/report")).Body.String()
	wants(t, report, "What we found on your car", "We saw", "If you wait", "By when", "Not looked at", "wheel bolt seized", "It does not say that a car is safe", "/photos/"+ph.Hash)
	w := b.page("/photos/" + ph.Hash)
	if w.Code != 200 || w.Header().Get("Content-Type") != "image/jpeg" || w.Body.Len() == 0 {
		t.Errorf("photo: %d %v", w.Code, w.Header())
	}
}

// shared makes a link through the pages and gives its path and the share's id.
func (b *bench) shared() (path, id string) {
	b.t.Helper()
	form := fieldsOf(b.page(b.path("/share")).Body.String())
	w := b.submit(b.path("/share"), form)
	if w.Code != http.StatusSeeOther || strings.Contains(w.Header().Get("Location"), "r/") && len(w.Result().Cookies()) == 0 {
		b.t.Fatalf("%d %v", w.Code, w.Header())
	}
	r := httptest.NewRequest("GET", w.Header().Get("Location"), nil)
	for _, c := range w.Result().Cookies() {
		r.AddCookie(c)
	}
	w = b.send(r)
	link, err := url.Parse(formLink(w.Body.String()))
	b.must(err)
	if len(w.Result().Cookies()) != 1 || w.Result().Cookies()[0].MaxAge >= 0 {
		b.t.Errorf("the link would be shown again: %v", w.Result().Cookies())
	}
	return link.Path, form.Get("share-id")
}

func formLink(page string) string {
	_, rest, _ := strings.Cut(page, `<input id="link"`)
	_, rest, _ = strings.Cut(rest, `value="`)
	link, _, _ := strings.Cut(rest, `"`)
	return link
}

func TestOwnerLink(t *testing.T) {
	b := newBench(t, "metric")
	b.take("brake-fluid-look", "", "opaque", nil)
	ph, err := b.shop.AddPhoto(context.Background(), shop.PhotoInput{ID: b.shop.NewID(), RoundID: b.round, Point: "brake-fluid-look", JPEG: aPhoto(4), Width: 320, Height: 200})
	b.must(err)
	b.serve(Config{ReportPDF: func(w io.Writer, r *shop.Report, photo func(string) (io.ReadCloser, error)) error {
		f, err := photo(ph.Hash)
		if err != nil {
			return err
		}
		_ = f.Close()
		_, err = io.WriteString(w, "%PDF-1.7")
		return err
	}})
	path, id := b.shared()
	w := b.page(path)
	if w.Code != 200 || w.Header().Get("Referrer-Policy") != "no-referrer" || !strings.Contains(w.Header().Get("X-Robots-Tag"), "noindex") {
		t.Fatalf("%d %v", w.Code, w.Header())
	}
	wants(t, w.Body.String(), "What we found on your car", path+"/photos/"+ph.Hash, path+"/report.pdf", `content="noindex, nofollow"`)
	lacks(t, w.Body.String(), `href="/cars`, `href="/"`, `href="/rounds`)
	for _, more := range []string{"/photos/" + ph.Hash, "/report.pdf"} {
		if w := b.page(path + more); w.Code != 200 || w.Header().Get("Cache-Control") != "no-store" {
			t.Errorf("%s: %d %v", more, w.Code, w.Header())
		}
	}
	if w := b.page(path + "/photos/" + strings.Repeat("0", 64)); w.Code == 200 {
		t.Error("a photo that is not in the report was given")
	}
	if w := b.submit(b.path("/share/"+id+"/revoke"), nil); w.Code != http.StatusSeeOther {
		t.Fatalf("revoke: %d", w.Code)
	}
	revoked, unknown := b.page(path), b.page("/r/abcdefghijkmnpqrstuvwxyz23")
	if revoked.Code != http.StatusGone || revoked.Body.String() != unknown.Body.String() || unknown.Code != http.StatusGone {
		t.Errorf("revoked %d, unknown %d, the same page: %v", revoked.Code, unknown.Code, revoked.Body.String() == unknown.Body.String())
	}
	for _, more := range []string{"/photos/" + ph.Hash, "/report.pdf"} {
		if w := b.page(path + more); w.Code != http.StatusGone {
			t.Errorf("revoked %s: %d", more, w.Code)
		}
	}
}

func TestOwnerLinkExpires(t *testing.T) {
	b := newBench(t, "metric")
	path, _ := b.shared()
	later := shop.New(shop.Config{Store: b.store, Catalogue: b.shop.Catalogue(), Name: b.shop.Name(), Now: func() time.Time { return benchDay.AddDate(0, 0, 31) }})
	b.shop = later
	b.serve(Config{})
	expired, unknown := b.page(path), b.page("/r/abcdefghijkmnpqrstuvwxyz23")
	if expired.Code != http.StatusGone || expired.Body.String() != unknown.Body.String() {
		t.Errorf("%d, the same as an unknown one: %v", expired.Code, expired.Body.String() == unknown.Body.String())
	}
}

func TestShareRefusesOddDays(t *testing.T) {
	b := newBench(t, "metric")
	for _, days := range []string{"", "0", "-1", "9999", "ten"} {
		form := fieldsOf(b.page(b.path("/share")).Body.String())
		form.Set("days", days)
		if w := b.submit(b.path("/share"), form); w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%q days: %d", days, w.Code)
		}
	}
}
