package web

import (
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"witnessmark/shop"
)

// postForm sends a form to any page.
func (b *bench) postForm(path string, form url.Values, headers ...string) *httptest.ResponseRecorder {
	b.t.Helper()
	r := httptest.NewRequest("POST", path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	return b.send(r)
}

// worked gives the bench a whole due list.
func (b *bench) worked() {
	b.t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() {
		b.shop.KeepDue(ctx, func(what string, err error) { b.t.Errorf("%s: %v", what, err) })
		close(done)
	}()
	for {
		l, err := b.shop.Due(ctx, shop.DueFilter{})
		b.must(err)
		if l.Ready {
			break
		}
	}
	cancel()
	<-done
}

func TestDuePage(t *testing.T) {
	b := newBench(t, "metric")
	if body := b.page("/due").Body.String(); !strings.Contains(body, "being worked out") {
		t.Errorf("before it is worked out:\n%s", body)
	}
	b.take("brake-fluid-look", "", "opaque", nil)
	b.worked()
	body := b.page("/due?week=all").Body.String()
	for _, want := range []string{"TE 5107", "found, not answered", "Brake fluid", "Now or past", "/cars/" + b.car + "/plan", "next look"} {
		if !strings.Contains(body, want) {
			t.Errorf("%q is missing", want)
		}
	}
	due := regexp.MustCompile(`name="due" value="(finding/[^"]+)"`).FindStringSubmatch(body)
	if due == nil {
		t.Fatalf("no finding in\n%s", body)
	}
	form := url.Values{"id": {"settle-1"}, "due": {due[1]}, "why": {"done elsewhere"}, "list": {"week=all"}}
	w := b.postForm("/cars/"+b.car+"/due", form)
	if again := b.postForm("/cars/"+b.car+"/due", form); w.Code != http.StatusSeeOther || again.Header().Get("Location") != w.Header().Get("Location") {
		t.Fatalf("%d %d", w.Code, again.Code)
	}
	body = b.page(w.Header().Get("Location")).Body.String()
	if !strings.Contains(body, "Off the list") || !strings.Contains(body, "Undo") || strings.Contains(body, "found, not answered</span>") {
		t.Errorf("after settling:\n%s", body)
	}
	if body := b.page("/due?settled=1&week=all").Body.String(); !strings.Contains(body, "done elsewhere") || !strings.Contains(body, "Put back") {
		t.Errorf("what was taken off:\n%s", body)
	}
	w = b.postForm("/cars/"+b.car+"/due", url.Values{"id": {"settle-2"}, "due": {due[1]}, "back": {"1"}})
	if body := b.page(w.Header().Get("Location")).Body.String(); !strings.Contains(body, "found, not answered</span>") {
		t.Errorf("after undoing:\n%s", body)
	}
	for _, odd := range []string{"/due?week=never", "/due?kind=odd", "/due?week=2026-13-40&did=x&car=y"} {
		if w := b.page(odd); w.Code != http.StatusOK {
			t.Errorf("%s: %d", odd, w.Code)
		}
	}
}

// mailed gives the bench's car an address and a consent, and gives its token.
func (b *bench) mailed() string {
	b.t.Helper()
	ctx := context.Background()
	c, err := b.shop.Car(ctx, b.car)
	b.must(err)
	b.must(errOf(b.shop.SaveCar(ctx, shop.CarInput{CarID: b.car, VersionID: b.shop.NewID(), Base: c.ID, Plate: c.Plate, Description: c.Description, Units: c.Units,
		OwnerName: "Alma Brook", OwnerEmail: "alma@brook.example", FirstRegistered: c.FirstRegistered, Facets: c.Facets})))
	b.must(b.shop.GiveConsent(ctx, b.shop.NewID(), b.car, "at the counter", "AB"))
	k, err := b.shop.Consent(ctx, b.car)
	b.must(err)
	return k.Consent.Said.Token
}

// stands reports whether the owner still gets mails.
func (b *bench) stands() bool {
	b.t.Helper()
	c, err := b.shop.Consent(context.Background(), b.car)
	b.must(err)
	return c.Stands()
}

func TestStopPage(t *testing.T) {
	b := newBench(t, "metric")
	token := b.mailed()
	for range 3 { // a scanner opens every link of a mail
		w := b.page("/stop/" + token)
		if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "a…@brook.example") || strings.Contains(w.Body.String(), "alma@") || !b.stands() {
			t.Fatalf("%d\n%s", w.Code, w.Body)
		}
		if h := w.Header(); h.Get("Referrer-Policy") != "no-referrer" || h.Get("X-Robots-Tag") == "" || strings.Contains(w.Body.String(), `href="/cars`) {
			t.Error("the page leads out, or is found")
		}
	}
	w := b.postForm("/stop/"+token, url.Values{"button": {"1"}})
	if w.Code != http.StatusSeeOther || b.stands() || !strings.Contains(b.page(w.Header().Get("Location")).Body.String(), "The reminders are stopped") {
		t.Errorf("%d, stands %v", w.Code, b.stands())
	}
	if w := b.page("/stop/nothing"); w.Code != http.StatusGone {
		t.Errorf("a link that was never given: %d", w.Code)
	}
}

// A mail program posts as RFC 8058, section 3.2, says: without cookies, with that body, in either form's encoding; some say where they
// come from, which is never this server. It must get no redirect.
func TestOneClickStop(t *testing.T) {
	const body = "List-Unsubscribe=One-Click"
	multi := "--x\r\nContent-Disposition: form-data; name=\"List-Unsubscribe\"\r\n\r\nOne-Click\r\n--x--\r\n"
	for _, tt := range []struct{ name, kind, body, header, value string }{
		{"bare", "application/x-www-form-urlencoded", body, "", ""},
		{"from a web mailer", "application/x-www-form-urlencoded", body, "Origin", "https://mail.example"},
		{"from a browser", "application/x-www-form-urlencoded", body, "Sec-Fetch-Site", "cross-site"},
		{"multipart", "multipart/form-data; boundary=x", multi, "", ""},
		{"no body", "", "", "", ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			b := newBench(t, "metric")
			token := b.mailed()
			for range 2 {
				r := httptest.NewRequest("POST", "/stop/"+token, strings.NewReader(tt.body))
				if tt.kind != "" {
					r.Header.Set("Content-Type", tt.kind)
				}
				if tt.header != "" {
					r.Header.Set(tt.header, tt.value)
				}
				if w := b.send(r); w.Code != http.StatusOK || b.stands() {
					t.Errorf("%d, stands %v: %s", w.Code, b.stands(), w.Body)
				}
			}
		})
	}
	// The door stands open for that page alone.
	b := newBench(t, "metric")
	b.mailed()
	if w := b.postForm("/cars/"+b.car+"/reminders/stop", nil, "Sec-Fetch-Site", "cross-site"); w.Code != http.StatusForbidden || !b.stands() {
		t.Errorf("another site's form: %d", w.Code)
	}
}

func TestCarsReminders(t *testing.T) {
	b := newBench(t, "metric")
	page := "/cars/" + b.car + "/reminders"
	if body := b.page(page).Body.String(); !strings.Contains(body, "There is no mail address") || !strings.Contains(body, "No mail server is set up") {
		t.Errorf("without an address:\n%s", body)
	}
	b.mailed()
	b.must(b.shop.StopMails(context.Background(), b.car, "AB"))
	wants(t, b.page(page).Body.String(), "They were stopped on ", ", in the workshop.")
	w := b.postForm(page+"/consent", url.Values{"id": {"c-1"}, "how": {" "}})
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "Write down how the owner agreed") {
		t.Errorf("%d", w.Code)
	}
	form := url.Values{"id": {"c-2"}, "how": {"signed a form"}}
	for range 2 {
		if w := b.postForm(page+"/consent", form); w.Code != http.StatusSeeOther || !b.stands() {
			t.Errorf("%d", w.Code)
		}
	}
	if body := b.page(page).Body.String(); !strings.Contains(body, "The owner gets reminders") || !strings.Contains(body, "signed a form") {
		t.Errorf("with a consent:\n%s", body)
	}
}

func TestCalendarFeed(t *testing.T) {
	b := newBench(t, "metric")
	var err error
	b.web, err = New(Config{Shop: b.shop, Calendar: func(w io.Writer, c *shop.Calendar) error {
		for _, e := range c.Entries {
			io.WriteString(w, e.On+" "+e.Summary+"\n")
		}
		return nil
	}})
	b.must(err)
	b.take("brake-fluid-look", "", "opaque", nil)
	b.worked()
	for _, page := range []string{"/reminders", "/cars/" + b.car + "/reminders"} {
		w := b.postForm(page+"/calendars", url.Values{"id": {"feed-" + strings.ReplaceAll(page, "/", "-")}, "name": {"the phone"}})
		cookie := w.Result().Cookies()
		if w.Code != http.StatusSeeOther || len(cookie) != 1 {
			t.Fatalf("%s: %d", page, w.Code)
		}
		r := httptest.NewRequest("GET", page, nil)
		r.AddCookie(cookie[0])
		body := b.send(r).Body.String()
		link := regexp.MustCompile(`http://example.com(/calendar/[a-z0-9]{26}\.ics)`).FindStringSubmatch(body)
		if link == nil {
			t.Fatalf("%s shows no address:\n%s", page, body)
		}
		if strings.Contains(b.page(page).Body.String(), link[1]) {
			t.Error("the address is shown again")
		}
		got := b.page(link[1])
		if got.Code != 200 || !strings.HasPrefix(got.Header().Get("Content-Type"), "text/calendar") || !strings.Contains(got.Body.String(), "TE 5107") {
			t.Errorf("%s: %d %s", page, got.Code, got.Body)
		}
		r = httptest.NewRequest("GET", link[1], nil)
		r.Header.Set("If-None-Match", got.Header().Get("ETag"))
		if w := b.send(r); w.Code != http.StatusNotModified || w.Body.Len() != 0 {
			t.Errorf("%s, unchanged: %d", page, w.Code)
		}
		end := regexp.MustCompile(`action="(` + regexp.QuoteMeta(page) + `/calendars/[^"]+/end)"`).FindStringSubmatch(body)
		if end == nil {
			t.Fatal("it can't be taken back")
		}
		for range 2 {
			if w := b.postForm(end[1], nil); w.Code != http.StatusSeeOther {
				t.Errorf("take back: %d", w.Code)
			}
		}
		if w := b.page(link[1]); w.Code != http.StatusGone {
			t.Errorf("%s, taken back: %d", page, w.Code)
		}
	}
}
