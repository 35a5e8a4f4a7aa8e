package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

func TestRoundPhoto(t *testing.T) {
	b := newBench(t, "metric")
	form := formOf(b.get("/points/tyre-damage").Body.String())
	form.Set("photo-at", "FR")
	for range 2 { // a double click
		if w := b.upload("/points/tyre-damage/photo", form, aPhoto(3)); w.Code != http.StatusSeeOther || !strings.Contains(w.Header().Get("Location"), "did=photo") {
			t.Fatalf("%d %s", w.Code, w.Body)
		}
	}
	photos := b.step("tyre-damage").Photos
	if len(photos) != 1 || photos[0].At != "FR" || photos[0].Width != 320 {
		t.Fatalf("%+v", photos)
	}
	if page := b.get("/points/tyre-damage").Body.String(); !strings.Contains(page, "/photos/"+photos[0].Hash) || !strings.Contains(page, `alt="Photo, front right"`) {
		t.Error("the page does not show the photo")
	}
	if w := b.post("/points/tyre-damage/photo/remove", url.Values{"hash": {photos[0].Hash}}); w.Code != http.StatusSeeOther {
		t.Errorf("taking it off: %d", w.Code)
	}
	if n := len(b.step("tyre-damage").Photos); n != 0 {
		t.Errorf("%d photos left", n)
	}
	b.stillUp()
}

// What was typed beside a photo is shown again, not stored and not lost.
func TestRoundPhotoKeepsWhatWasTyped(t *testing.T) {
	b := newBench(t, "metric")
	form := formOf(b.get("/points/tyre-tread").Body.String())
	form.Set("num|tyre-tread|FL/outer|mm", "4.8")
	w := b.upload("/points/tyre-tread/photo", form, aPhoto(5))
	if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), `value="4.8"`) {
		t.Errorf("%d, typed number kept: %v", w.Code, strings.Contains(w.Body.String(), `value="4.8"`))
	}
	if n := len(b.step("tyre-tread").Photos); n != 1 {
		t.Errorf("%d photos", n)
	}
	b.stillUp()
}

// A photo that was chosen goes with the answer.
func TestRoundPhotoWithAnswer(t *testing.T) {
	b := newBench(t, "metric")
	form := formOf(b.get("/points/brake-fluid-look").Body.String())
	form.Set("state|brake-fluid-look|", "opaque")
	if w := b.upload("/points/brake-fluid-look", form, aPhoto(7)); w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	if st := b.step("brake-fluid-look"); len(st.Photos) != 1 || st.Current[""].State != "opaque" {
		t.Errorf("%+v", st)
	}
}

func TestRoundBadPhotos(t *testing.T) {
	b := newBench(t, "metric")
	whole := aPhoto(9)
	for name, file := range map[string][]byte{"truncated": whole[:len(whole)/2], "text": []byte("not a picture"), "empty": {}} {
		for _, path := range []string{"/points/brake-fluid-look/photo", "/points/brake-fluid-look"} {
			form := formOf(b.get("/points/brake-fluid-look").Body.String())
			form.Set("state|brake-fluid-look|", "opaque")
			form.Set("note", "see the picture")
			w := b.upload(path, form, file)
			if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `href="#f-photo"`) || !strings.Contains(w.Body.String(), "see the picture") {
				t.Errorf("%s to %s: %d", name, path, w.Code)
			}
		}
	}
	if n := b.facts("brake-fluid-look"); n != 0 {
		t.Errorf("%d readings stored beside a bad photo", n)
	}
	b.stillUp()
}
