package web

import (
	"errors"
	"net/http"
	"slices"
	"strings"

	"github.com/google/uuid"

	"witnessmark/shop"
)

// roundPointSave stores what was answered at one point, and a photo that was chosen with it.
func (s *server) roundPointSave(w http.ResponseWriter, r *http.Request) error {
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
	if f.Bad() {
		return s.showPoint(w, r, v, i, f, http.StatusUnprocessableEntity)
	}
	changed, err := s.take(r, v, v.Steps[i], f)
	if err != nil {
		return err
	}
	if len(changed) == 0 && shot == nil && !f.Bad() && f.Get("do") == "save" && !v.Steps[i].Done() {
		f.Problems = append(f.Problems, shop.FieldError{Field: "answers", Text: "Nothing is entered yet. Give an answer, or say why it was not looked at."})
	}
	if f.Bad() {
		return s.showPoint(w, r, v, i, f, http.StatusUnprocessableEntity)
	}
	if shot != nil {
		if err := s.keepShot(r, v.Steps[i], f, shot); err != nil {
			if !f.refused(err) {
				return err
			}
			return s.showPoint(w, r, v, i, f, http.StatusUnprocessableEntity)
		}
	}
	if v, err = s.round(r); err != nil {
		return err
	}
	return goOn(w, r, afterSave(v, i, changed, f.Get("from")))
}

// take reads the form of one point, stores what is new and gives the places that changed. Problems go into the form,
// under the names of its fields.
func (s *server) take(r *http.Request, v *shop.RoundView, step shop.StepView, f *form) ([]string, error) {
	e := entry{s.shop, v, step, f.Values}
	a, bad := e.read()
	if bad != nil {
		f.Problems = append(f.Problems, bad...)
		return nil, nil
	}
	if len(a.record) > 0 {
		if err := s.record(r, e, a.record); err != nil {
			if !f.refused(s.rename(v.Car, err, step)) {
				return nil, err
			}
			return nil, nil
		}
	}
	for _, in := range a.withdraw {
		if err := s.shop.Withdraw(r.Context(), in); err != nil {
			return nil, err
		}
	}
	return a.changed, nil
}

// record stores readings. An id that was used already is either the same form twice, at the same moment, and then
// nothing is left to store; or it comes from a page that the browser had kept: the person went back and answered again.
// That is a correction with an id of its own, made from its content, so that sending it twice still stores it once.
func (s *server) record(r *http.Request, e entry, in []shop.ReadingInput) error {
	err := s.shop.Record(r.Context(), in)
	if !errors.Is(err, shop.ErrConflict) {
		return err
	}
	v, i, err := s.roundPoint(r, e.step.Point.ID)
	if err != nil {
		return err
	}
	e.view, e.step = v, v.Steps[i]
	again, _ := e.read()
	if len(again.record) == 0 {
		return nil
	}
	for k := range again.record {
		again.record[k].ID = variantID(again.record[k])
	}
	return s.shop.Record(r.Context(), again.record)
}

// variantID makes an id from an id and the content that it now stands for.
func variantID(in shop.ReadingInput) string {
	base, err := uuid.Parse(in.ID)
	if err != nil {
		return in.ID
	}
	parts := []string{in.RoundID, in.Point, in.At, in.State, in.Code, in.Skipped, in.Note}
	var names []string
	for n := range in.Numbers {
		names = append(names, n)
	}
	slices.Sort(names)
	for _, n := range names {
		parts = append(parts, n, in.Numbers[n])
	}
	return uuid.NewSHA1(base, []byte(strings.Join(parts, "\x00"))).String()
}
