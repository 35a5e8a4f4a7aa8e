package web

import (
	"errors"
	"net/http"

	"witnessmark/core/point"
	"witnessmark/shop"
)

// lookData is the page of a look that has no point of its own.
type lookData struct {
	Path, ID, For string
	Sign          *point.Sign
	Cautions      []string
	Answer        string
	On            bool // the look is on the round's list
	AskBy         bool
	By            string
	Car           shop.CarVersion
}

// lookAdd puts a look on the round's list and leads to where it is answered.
func (s *server) lookAdd(w http.ResponseWriter, r *http.Request) error {
	f, round := newForm(r.PostForm), r.PathValue("id")
	sign := s.shop.Catalogue().Sign(f.Get("sign"))
	if sign == nil {
		return badRequest("There is no such look in the catalogue. Nothing was added.")
	}
	c, err := s.shop.Causes(r.Context(), round)
	if err != nil {
		return err
	}
	if c.Look(sign.ID) == nil { // what stands on the list, answered perhaps, stays as it is
		in := shop.LookInput{ID: s.idOf(f), RoundID: round, Sign: sign.ID, By: by(w, r)}
		if err := s.again(&in.ID, func() error { return s.shop.Look(r.Context(), in) }); err != nil {
			return err
		}
	}
	return see(w, r, whereToLook(round, &shop.RoundLook{Sign: sign, Point: s.shop.Catalogue().Point(sign.Point)}, s.complaint(f.Get("for"))))
}

// complaint is the id of a complaint of the catalogue, or nothing.
func (s *server) complaint(id string) string {
	if s.shop.Catalogue().Complaint(id) == nil {
		return ""
	}
	return id
}

// lookShow asks for the answer of a look that has no point of its own.
func (s *server) lookShow(w http.ResponseWriter, r *http.Request) error {
	return s.renderLook(w, r, newForm(nil), http.StatusOK)
}

func (s *server) renderLook(w http.ResponseWriter, r *http.Request, f *form, status int) error {
	v, err := s.round(r)
	if err != nil {
		return err
	}
	sign := s.shop.Catalogue().Sign(r.PathValue("sign"))
	if sign == nil || sign.Check == "" || sign.Point != "" {
		return shop.ErrNotFound
	}
	d := lookData{Path: lookPath(v.Round.ID, sign.ID), ID: s.shop.NewID(), For: s.complaint(r.FormValue("for")), Sign: sign, AskBy: initials(r) == "", By: f.Get("by"), Car: v.Car}
	for _, id := range sign.Cautions {
		if c := s.shop.Catalogue().Cautions[id]; c != nil {
			d.Cautions = append(d.Cautions, c.Say)
		}
	}
	for _, l := range v.Looks {
		if l.Sign.ID == sign.ID {
			d.On, d.Answer = true, l.Fact.Answer
		}
	}
	f.Labels = func(string) string { return sign.Name }
	s.render(w, r, status, "look_show", page{Title: sign.Name, Form: f, Narrow: true, Data: d, Back: findingsPath(v.Round.ID) + "#why", BackWords: "Findings"})
	return nil
}

// lookSave stores the answer of a look, or takes it off the list.
func (s *server) lookSave(w http.ResponseWriter, r *http.Request) error {
	f, round := newForm(r.PostForm), r.PathValue("id")
	in := shop.LookInput{ID: s.idOf(f), RoundID: round, Sign: r.PathValue("sign"), Answer: f.Get("answer"), By: by(w, r)}
	if in.Answer == shop.LookWanted {
		f.refused(shop.Invalid{{Field: "answer", Text: "Say whether it is there, not there, or can't be told."}})
		return s.renderLook(w, r, f, http.StatusUnprocessableEntity)
	}
	if err := s.again(&in.ID, func() error { return s.shop.Look(r.Context(), in) }); err != nil {
		if f.refused(err) {
			return s.renderLook(w, r, f, http.StatusUnprocessableEntity)
		}
		return err
	}
	did := "looked"
	if in.Answer == shop.LookOff {
		did = "off"
	}
	return see(w, r, backToWhy(round, did, s.complaint(f.Get("for"))))
}

// again stores something once more under a fresh id when its id was used for something else: the form came from a page that the browser
// had kept, and says something new.
func (s *server) again(id *string, store func() error) error {
	err := store()
	if errors.Is(err, shop.ErrConflict) {
		*id = s.shop.NewID()
		err = store()
	}
	return err
}
