package web

import (
	"bytes"
	"context"
	"html"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"log/slog"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"witnessmark/blob"
	"witnessmark/blob/photo"
	"witnessmark/catalogue"
	"witnessmark/shop"
	"witnessmark/store/sqlite"
)

// bench is a workshop with one car, a round of last autumn and one of today, behind a handler.
type bench struct {
	t     testing.TB
	shop  *shop.Shop
	store shop.Store
	web   http.Handler
	round string
	car   string
}

var benchDay = time.Date(2026, 3, 21, 9, 0, 0, 0, time.UTC)

// newBench opens the workshop. The car has discs in front, drums behind, a spare wheel and no figure for its discs.
func newBench(t testing.TB, units string) *bench {
	t.Helper()
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	store, err := sqlite.Open(filepath.Join(dir, "w.db"))
	if err != nil {
		t.Fatal(err)
	}
	photos, err := blob.Open(filepath.Join(dir, "photos"), benchDay)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close(); photos.Close() })
	var ticks atomic.Int64
	b := &bench{t: t, store: store, shop: shop.New(shop.Config{Store: store, Photos: photos, Catalogue: cat, Name: "Test workshop", Now: func() time.Time { return benchDay.Add(time.Duration(ticks.Add(1)) * time.Millisecond) },
		Patience: time.Hour})}
	b.web, err = New(Config{Shop: b.shop, PreparePhoto: photo.NewIntake().Prepare, Log: slog.New(slog.NewTextHandler(io.Discard, nil)),
		SheetPDF: func(w io.Writer, v *shop.RoundView) error {
			_, err := io.WriteString(w, "%PDF-1.7 "+v.Car.Plate)
			return err
		}})
	if err != nil {
		t.Fatal(err)
	}
	b.fill(units)
	return b
}

// fill puts the car and its two rounds into the workshop.
func (b *bench) fill(units string) {
	b.t.Helper()
	ctx := context.Background()
	b.car = b.shop.NewID()
	b.must(errOf(b.shop.SaveCar(ctx, shop.CarInput{CarID: b.car, VersionID: b.shop.NewID(), Plate: "TE 5107", Description: "Estate 2.0 petrol", FirstRegistered: "2009-04",
		Units: units, By: "AB", Facets: map[string]string{"fuel": "petrol", "rear-brakes": "drum", "front-brakes": "disc", "spare": "wheel", "fan-drive": "electric", "air-filter-count": "2"}})))
	km := map[string]string{"2025-10-02": "182000 km", "2026-03-21": "196200 km"}
	for _, on := range []string{"2025-10-02", "2026-03-21"} {
		b.round = b.shop.NewID()
		b.must(errOf(b.shop.StartRound(ctx, shop.RoundInput{ID: b.round, CarID: b.car, Depth: "full", On: on, Km: km[on], Ambient: "11 C", By: "AB"})))
		if on == "2026-03-21" {
			return
		}
		b.take("brake-fluid-look", "", "clear-pale", nil)
		b.take("coolant-level", "", "in-band", nil)
		b.take("coolant-freeze-point", "", "", map[string]string{"degC": "-31 C"})
		b.take("tyre-damage", "FL", "scuffed", nil)
		for i, at := range []string{"FL", "FR", "RL", "RR"} {
			for k, place := range []string{"inner", "middle", "outer"} {
				b.take("tyre-tread", at+"/"+place, "", map[string]string{"mm": []string{"5.2 mm", "5.6 mm", "5.4 mm", "4.9 mm"}[(i+k)%4]})
			}
		}
		for _, at := range []string{"FL/inner", "FL/outer", "FR/inner", "FR/outer"} {
			b.take("pad-thickness", at, "", map[string]string{"mm": "7.5 mm"})
		}
	}
}

func errOf[T any](_ T, err error) error { return err }

func (b *bench) must(err error) {
	b.t.Helper()
	if err != nil {
		b.t.Fatal(err)
	}
}

// take records a reading as if another device had.
func (b *bench) take(point, at, state string, numbers map[string]string) {
	b.t.Helper()
	b.must(b.shop.Record(context.Background(), []shop.ReadingInput{{ID: b.shop.NewID(), RoundID: b.round, Point: point, At: at, State: state, Numbers: numbers, By: "AB"}}))
}

// view reads the round.
func (b *bench) view() *shop.RoundView {
	b.t.Helper()
	v, err := b.shop.Round(context.Background(), b.round)
	b.must(err)
	return v
}

// step finds a point of the round.
func (b *bench) step(point string) shop.StepView {
	b.t.Helper()
	for _, st := range b.view().Steps {
		if st.Point.ID == point {
			return st
		}
	}
	b.t.Fatalf("the round has no point %s", point)
	return shop.StepView{}
}

// path is an address of the round.
func (b *bench) path(more string) string { return "/rounds/" + b.round + more }

// send makes a request and gives its answer.
func (b *bench) send(r *http.Request) *httptest.ResponseRecorder {
	b.t.Helper()
	w := httptest.NewRecorder()
	b.web.ServeHTTP(w, r)
	return w
}

// get reads a page of the round.
func (b *bench) get(more string) *httptest.ResponseRecorder {
	b.t.Helper()
	return b.send(httptest.NewRequest("GET", b.path(more), nil))
}

// post sends a form to a page of the round.
func (b *bench) post(more string, form url.Values) *httptest.ResponseRecorder {
	b.t.Helper()
	r := httptest.NewRequest("POST", b.path(more), strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return b.send(r)
}

// upload sends a form with a file.
func (b *bench) upload(more string, form url.Values, file []byte) *httptest.ResponseRecorder {
	b.t.Helper()
	var body bytes.Buffer
	m := multipart.NewWriter(&body)
	for name, values := range form {
		for _, v := range values {
			b.must(m.WriteField(name, v))
		}
	}
	w, err := m.CreateFormFile("photo", "p.jpg")
	b.must(err)
	_, err = w.Write(file)
	b.must(err)
	b.must(m.Close())
	r := httptest.NewRequest("POST", b.path(more), &body)
	r.Header.Set("Content-Type", m.FormDataContentType())
	return b.send(r)
}

var inputs = regexp.MustCompile(`<(?:input|textarea)\b[^>]*>`)
var attrs = regexp.MustCompile(`([a-z-]+)="([^"]*)"`)

// formOf reads the fields of a page as a browser would send them, without what a button adds.
func formOf(page string) url.Values {
	out := url.Values{}
	for _, tag := range inputs.FindAllString(page, -1) {
		a := map[string]string{}
		for _, m := range attrs.FindAllStringSubmatch(tag, -1) {
			a[m[1]] = html.UnescapeString(m[2])
		}
		box := a["type"] == "radio" || a["type"] == "checkbox"
		if a["name"] == "" || a["type"] == "file" || box && !strings.Contains(tag, " checked") {
			continue
		}
		out.Add(a["name"], a["value"])
	}
	return out
}

// aPhoto is a small JPEG; n makes different ones.
func aPhoto(n int) []byte {
	m := image.NewRGBA(image.Rect(0, 0, 320, 200))
	for x := range 320 {
		for y := range 200 {
			m.Set(x, y, color.RGBA{uint8(x * n), uint8(y), uint8(n), 255})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		panic(err)
	}
	return b.Bytes()
}
