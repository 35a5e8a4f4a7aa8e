package web

import (
	"errors"
	"net/http"
	"net/url"
	"slices"

	"witnessmark/shop"
)

// picture is a photo that was read and is ready to be kept.
type picture struct {
	jpeg          []byte
	width, height int
}

// parseUpload reads a form that may carry a file, keeping little of it in memory.
func parseUpload(r *http.Request) error {
	err := r.ParseMultipartForm(1 << 20)
	if errors.Is(err, http.ErrNotMultipart) {
		return nil // an ordinary form, read already
	}
	return err
}

// dropUpload removes what a large upload left on the disc.
func dropUpload(r *http.Request) {
	if r.MultipartForm != nil {
		_ = r.MultipartForm.RemoveAll()
	}
}

// shot reads the photo of a form into f's fields: nil when none was chosen or when it can't be used, with the problem
// in the form.
func (s *server) shot(r *http.Request, f *form) (*picture, error) {
	file, _, err := r.FormFile("photo")
	if err != nil {
		return nil, nil // no file in the form
	}
	defer file.Close()
	if s.cfg.PreparePhoto == nil {
		f.Problems = append(f.Problems, shop.FieldError{Field: "photo", Text: "Photo: this server takes no photos."})
		return nil, nil
	}
	data, w, h, err := s.cfg.PreparePhoto(r.Context(), file)
	if err != nil {
		if f.refused(err) {
			return nil, nil
		}
		return nil, err
	}
	return &picture{data, w, h}, nil
}

// keepShot stores a photo with the point.
func (s *server) keepShot(r *http.Request, step shop.StepView, f *form, p *picture) error {
	id := f.Get("photo-id")
	if id == "" {
		id = s.shop.NewID()
	}
	in := shop.PhotoInput{ID: id, RoundID: r.PathValue("id"), Point: step.Point.ID,
		By: f.Get("by"), JPEG: p.jpeg, Width: p.width, Height: p.height}
	if at := f.Get("photo-at"); slices.Contains(step.Slots, at) {
		in.At = at
	}
	_, err := s.shop.AddPhoto(r.Context(), in)
	if errors.Is(err, shop.ErrConflict) { // another picture from a page that the browser had kept
		in.ID = s.shop.NewID()
		_, err = s.shop.AddPhoto(r.Context(), in)
	}
	return err
}

// roundPhotoAdd stores a photo without an answer. What was typed beside it is shown again, not stored.
func (s *server) roundPhotoAdd(w http.ResponseWriter, r *http.Request) error {
	if err := parseUpload(r); err != nil {
		return badForm(err)
	}
	defer dropUpload(r)
	v, i, err := s.roundPoint(r, r.PathValue("point"))
	if err != nil {
		return err
	}
	f := newForm(r.PostForm)
	f.Set("by", by(w, r))
	shot, err := s.shot(r, f)
	if err != nil {
		return err
	}
	switch {
	case f.Bad():
	case shot == nil:
		f.Problems = append(f.Problems, shop.FieldError{Field: "photo", Text: "Photo: choose a picture or take one first."})
	default:
		if err := s.keepShot(r, v.Steps[i], f, shot); err != nil && !f.refused(err) {
			return err
		}
		if !f.Bad() && !typedSomething(f.Values) {
			return goOn(w, r, pointPath(v.Round.ID, v.Steps[i].Point.ID)+"?did=photo")
		}
	}
	status := http.StatusOK
	if f.Bad() {
		status = http.StatusUnprocessableEntity
	} else if v, err = s.round(r); err != nil {
		return err
	}
	f.Values.Del("photo-id")
	return s.showPoint(w, r, v, i, f, status)
}

// typedSomething reports whether a form has an answer that would be lost by leaving the page.
func typedSomething(form url.Values) bool {
	for name, values := range form {
		switch kind, _, ok := cutKind(name); {
		case ok && (kind == "id" || kind == "all"):
		case ok || name == "note" || name == "reason":
			for _, x := range values {
				if x != "" {
					return true
				}
			}
		}
	}
	return false
}

// roundPhotoRemove takes a photo off the point. It stays on record.
func (s *server) roundPhotoRemove(w http.ResponseWriter, r *http.Request) error {
	v, i, err := s.roundPoint(r, r.PathValue("point"))
	if err != nil {
		return err
	}
	id := r.PostFormValue("id")
	if id == "" {
		id = s.shop.NewID()
	}
	if err := s.shop.RemovePhoto(r.Context(), id, v.Round.ID, r.PostFormValue("hash"), by(w, r)); err != nil {
		return err
	}
	return goOn(w, r, pointPath(v.Round.ID, v.Steps[i].Point.ID)+"?did=photo-off")
}
