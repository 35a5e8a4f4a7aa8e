package web

import (
	"context"
	"html"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"witnessmark/shop"
)

// page reads any address.
func (b *bench) page(path string) *httptest.ResponseRecorder {
	b.t.Helper()
	return b.send(httptest.NewRequest("GET", path, nil))
}

// submit sends a form to any address.
func (b *bench) submit(path string, form url.Values) *httptest.ResponseRecorder {
	b.t.Helper()
	r := httptest.NewRequest("POST", path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return b.send(r)
}

var selects = regexp.MustCompile(`(?s)<select [^>]*name="([^"]+)"[^>]*>(.*?)</select>`)
var chosen = regexp.MustCompile(`<option value="([^"]*)" selected>`)

// fieldsOf reads a page's fields with its selects.
func fieldsOf(page string) url.Values {
	v := formOf(page)
	for _, m := range selects.FindAllStringSubmatch(page, -1) {
		v.Set(m[1], "")
		if c := chosen.FindStringSubmatch(m[2]); c != nil {
			v.Set(m[1], html.UnescapeString(c[1]))
		}
	}
	return v
}

// wants checks that a page says all of these.
func wants(t *testing.T, page string, all ...string) {
	t.Helper()
	for _, s := range all {
		if !strings.Contains(page, s) {
			t.Errorf("the page lacks %q", s)
		}
	}
}

// lacks checks that a page says none of these.
func lacks(t *testing.T, page string, none ...string) {
	t.Helper()
	for _, s := range none {
		if strings.Contains(page, s) {
			t.Errorf("the page says %q", s)
		}
	}
}

func TestTodayAndSearch(t *testing.T) {
	b := newBench(t, "metric")
	today := b.page("/").Body.String()
	wants(t, today, "TE 5107", "Estate 2.0 petrol", "round open", "/rounds/"+b.round, `type="search"`)
	lacks(t, today, "Add the first car")
	for query, found := range map[string]bool{"te5107": true, "estate": true, "nothing-like-it": false} {
		page := b.page("/?q=" + query).Body.String()
		if got := strings.Contains(page, "TE 5107"); got != found {
			t.Errorf("search for %s: found %v", query, got)
		}
		wants(t, page, `value="`+query+`"`)
	}
	wants(t, b.page("/?q=%3Cscript%3E").Body.String(), "&lt;script&gt;")
}

func TestTodayEmpty(t *testing.T) {
	b := newBench(t, "metric")
	b.emptied()
	wants(t, b.page("/").Body.String(), "Add the first car", `href="/cars/new"`)
}

func TestCarCreate(t *testing.T) {
	b := newBench(t, "metric")
	form := fieldsOf(b.page("/cars/new").Body.String())
	for k, v := range map[string]string{"plate": "NU 77", "description": "Van, white", "vin": "1M8GDM9AXKP042788", "owner-name": "Tilda Oak", "facet.gearbox": "automatic",
		"spec.disc-thickness-min-mm.FL": "22.4 mm", "origin.disc-thickness-min-mm": "stamped on the part", "odometer": "113000 mi", "odometer-on": "2026-03-20", "by": "ZQ"} {
		form.Set(k, v)
	}
	w := b.submit("/cars", form)
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/cars/"+form.Get("car-id") {
		t.Fatalf("%d %s", w.Code, w.Header().Get("Location"))
	}
	if again := b.submit("/cars", form); again.Code != http.StatusSeeOther {
		t.Errorf("sent twice: %d", again.Code)
	}
	c, err := b.shop.Car(context.Background(), form.Get("car-id"))
	b.must(err)
	if c.Facets["gearbox"] != "automatic" || len(c.Facets) != 1 || c.Specs["disc-thickness-min-mm"].Numbers["FL"] != 22.4 ||
		c.Specs["disc-thickness-min-mm"].Origin != "stamped on the part" || c.By != "ZQ" {
		t.Errorf("%+v", c)
	}
	page := b.page(w.Header().Get("Location")).Body.String()
	wants(t, page, "NU 77", "1M8GDM9AXKP042788", "Tilda Oak", "stamped on the part", "Nothing was looked at yet", "automatic", `<span class="tag">assumed</span>`)
}

func TestCarBadInputKeepsWhatWasTyped(t *testing.T) {
	b := newBench(t, "metric")
	form := fieldsOf(b.page("/cars/new").Body.String())
	typed := map[string]string{"plate": "", "description": `Van "quoted" <b>`, "vin": "1M8GDM9AXKP042780", "first-registered": "1700-01", "owner-email": "not an address",
		"odometer": "lots", "spec.disc-thickness-min-mm.FR": "thick", "facet.air-filter-count": "7"}
	for k, v := range typed {
		form.Set(k, v)
	}
	w := b.submit("/cars", form)
	page := w.Body.String()
	if w.Code != http.StatusUnprocessableEntity {
		t.Fatalf("%d", w.Code)
	}
	back := fieldsOf(page)
	for k, v := range typed {
		if back.Get(k) != v {
			t.Errorf("%s was %q and came back as %q", k, v, back.Get(k))
		}
		if k == "description" {
			continue
		}
		// Two places: the summary's link and the sentence beside the field, which the field points at.
		id := FieldID(k)
		wants(t, page, `href="#`+id+`"`, `id="`+id+`-error"`, `id="`+id+`"`)
	}
	wants(t, page, "Number plate: ", "VIN: ", `role="alert"`, `aria-invalid="true"`, `name="confirmed"`, "<title>Please look again: New car")
	if _, err := b.shop.Car(context.Background(), form.Get("car-id")); err == nil {
		t.Error("a refused car was stored")
	}
}

func TestCarDoubtIsConfirmed(t *testing.T) {
	b := newBench(t, "metric")
	form := fieldsOf(b.page("/cars/new").Body.String())
	form.Set("plate", "NU 78")
	form.Set("vin", "1M8GDM9AXKP042780")
	w := b.submit("/cars", form)
	if w.Code != http.StatusUnprocessableEntity {
		t.Fatalf("%d", w.Code)
	}
	wants(t, w.Body.String(), "Is this right?", "Yes, this is right")
	form.Set("confirmed", "1")
	if w := b.submit("/cars", form); w.Code != http.StatusSeeOther {
		t.Errorf("confirmed: %d", w.Code)
	}
}

func TestCarEditRoundTripChangesNothing(t *testing.T) {
	for _, units := range []string{"metric", "us"} {
		b := newBench(t, units)
		ctx := context.Background()
		before, err := b.shop.Car(ctx, b.car)
		b.must(err)
		in := shop.CarInput{CarID: b.car, VersionID: b.shop.NewID(), Base: before.ID, Plate: before.Plate, Description: before.Description, Units: units, Facets: before.Facets,
			FirstRegistered: before.FirstRegistered, By: "AB",
			Specs: map[string]shop.SpecInput{"disc-thickness-min-mm": {Numbers: map[string]string{"FL": "22.4 mm"}, Origin: "stamped on the part"},
				"tyre-pressure-placard-bar": {Numbers: map[string]string{"F": "2.35 bar"}, Origin: "a label of my own"}, "brake-fluid-class": {Text: "DOT 4", Origin: "owner's handbook"}}}
		before, err = b.shop.SaveCar(ctx, in)
		b.must(err)
		form := fieldsOf(b.page("/cars/" + b.car + "/edit").Body.String())
		if w := b.submit("/cars/"+b.car+"/edit", form); w.Code != http.StatusSeeOther {
			t.Fatalf("%s: %d", units, w.Code)
		}
		after, err := b.shop.Car(ctx, b.car)
		b.must(err)
		if d := b.differ(before, after); len(d) > 0 {
			t.Errorf("%s: storing the form untouched changed %v", units, d)
		}
	}
}

func TestCarEditConflict(t *testing.T) {
	b := newBench(t, "metric")
	path := "/cars/" + b.car + "/edit"
	mine := fieldsOf(b.page(path).Body.String())
	theirs := fieldsOf(b.page(path).Body.String())
	theirs.Set("owner-name", "Their Owner")
	if w := b.submit(path, theirs); w.Code != http.StatusSeeOther {
		t.Fatalf("%d", w.Code)
	}
	mine.Set("owner-name", "My Owner")
	w := b.submit(path, mine)
	page := w.Body.String()
	if w.Code != http.StatusConflict {
		t.Fatalf("%d", w.Code)
	}
	wants(t, page, "Somebody else changed this car", "Their Owner", `value="My Owner"`)
	c, err := b.shop.Car(context.Background(), b.car)
	b.must(err)
	if c.Owner.Name != "Their Owner" {
		t.Errorf("the refused change is stored: %s", c.Owner.Name)
	}
	if w := b.submit(path, fieldsOf(page)); w.Code != http.StatusSeeOther {
		t.Errorf("sent again on top of theirs: %d", w.Code)
	}
}

func TestCarForms(t *testing.T) {
	b := newBench(t, "metric")
	car := "/cars/" + b.car
	item := b.shop.Items()[0].ID
	for _, c := range []struct {
		name, path string
		set        map[string]string
		code       int
		say        string
	}{
		{"renewal", "/renewals", map[string]string{"renewal-item": item, "renewal-on": "2026-01-05", "renewal-km": "190 000", "renewal-note": "kept note"}, 303, ""},
		{"renewal in the future", "/renewals", map[string]string{"renewal-item": item, "renewal-on": "2031-01-05", "renewal-note": "kept note"}, 422, "kept note"},
		{"renewal of nothing", "/renewals", map[string]string{"renewal-item": "no-such-thing", "renewal-on": "2026-01-05"}, 422, "f-renewal-item-error"},
		{"odometer", "/odometer", map[string]string{"odometer-km": "196 200", "odometer-on": "2026-03-21"}, 303, ""},
		{"odometer running back", "/odometer", map[string]string{"odometer-km": "19 630", "odometer-on": "2026-03-21"}, 422, `value="19 630"`},
		{"odometer in words", "/odometer", map[string]string{"odometer-km": "many", "odometer-on": "2026-03-21"}, 422, `value="many"`},
		{"round without a depth", "/rounds", map[string]string{"round-depth": "deepest", "round-on": "2026-03-21", "round-km": "196 400"}, 422, "f-round-depth-error"},
		{"round in bad air", "/rounds", map[string]string{"round-depth": "quick", "round-on": "2026-03-21", "round-km": "196 400", "round-ambient": "9 bar"}, 422, `value="9 bar"`},
		{"round", "/rounds", map[string]string{"round-depth": "quick", "round-on": "2026-03-21", "round-km": "196 200", "round-ambient": "9", "by": "QX"}, 303, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			form := fieldsOf(b.page(car).Body.String())
			for k, v := range c.set {
				form.Set(k, v)
			}
			w := b.submit(car+c.path, form)
			if w.Code != c.code {
				t.Fatalf("%d instead of %d", w.Code, c.code)
			}
			if c.code == 422 {
				wants(t, w.Body.String(), c.say, "problems")
				return
			}
			if to := w.Header().Get("Location"); b.page(to).Code != http.StatusOK {
				t.Errorf("%s is no page", to)
			}
		})
	}
}

func TestCarPage(t *testing.T) {
	b := newBench(t, "metric")
	b.take("brake-fluid-look", "", "opaque", nil)
	b.take("pad-thickness", "FL/inner", "", map[string]string{"mm": "3.5 mm"})
	page := b.page("/cars/" + b.car).Body.String()
	wants(t, page, "Sound until when, how sure, what then", "Pad lining thickness, front left, inner", "limit 3.0 mm", `class="reach"`, `class="dates"`, "Never looked at", "182\u202f000\u00a0km", "Start a round")
	if strings.Index(page, "Brake fluid, look") > strings.Index(page, "Pad lining thickness, front left, inner") {
		t.Error("the opaque fluid does not come before the pads")
	}
	lacks(t, page, "style=", "onclick", "<script>")
	us := newBench(t, "us")
	wants(t, us.page("/cars/"+us.car).Body.String(), "/32 in", "mi a year")
}

func TestCarPointReadings(t *testing.T) {
	b := newBench(t, "metric")
	car := b.page("/cars/" + b.car).Body.String()
	_, rest, found := strings.Cut(car, `<a class="rung plainrung" href="`)
	if !found {
		t.Fatal("no sound item leads to its readings")
	}
	href, _, _ := strings.Cut(rest, `"`)
	w := b.page(html.UnescapeString(href))
	if w.Code != http.StatusOK {
		t.Fatalf("%s: %d", href, w.Code)
	}
	wants(t, w.Body.String(), "2 October 2025", "182\u202f000\u00a0km", "All of the car")
	if w := b.page("/cars/" + b.car + "/points/no-such-point"); w.Code != http.StatusNotFound {
		t.Errorf("an unknown point: %d", w.Code)
	}
}

// The rungs written by hand must say what the template says.
func TestRungLinksAreTheTemplates(t *testing.T) {
	b := newBench(t, "metric")
	s := &server{shop: b.shop, assets: &assets{}}
	var err error
	s.pages, err = s.loadPages()
	b.must(err)
	for _, g := range []rung{
		{Name: "A <b>", Where: "front left", Verdict: "sound", Word: "sound", Now: `"dry"`, LookedOn: "1 May 2025", Href: "/cars/x/points/y?at=FL%2Finner&z"},
		{Name: "A", Verdict: "sound", Word: "sound", Href: "/cars/x"},
	} {
		var out strings.Builder
		b.must(s.pages["car_show"].ExecuteTemplate(&out, "rung", g))
		if by := string(rungLinks([]rung{g})); by != out.String() {
			t.Errorf("by hand  %s\ntemplate %s", by, out.String())
		}
	}
}

func TestNewestOfEach(t *testing.T) {
	newest, earlier := newestOfEach([]shop.RenewalFact{{ID: "1", Item: "oil"}, {ID: "2", Item: "oil"}, {ID: "3", Item: "pads"}, {ID: "4", Item: "oil"}})
	if len(newest) != 2 || newest[0].ID != "4" || newest[1].ID != "3" || len(earlier) != 2 || earlier[0].ID != "2" {
		t.Errorf("%v %v", newest, earlier)
	}
	if first, rest := cut([]int{1, 2}, 5); len(first) != 2 || len(rest) != 0 {
		t.Errorf("%v %v", first, rest)
	}
}
