package web

import (
	"errors"
	"net/http"

	"witnessmark/core/estimate"
	"witnessmark/shop"
)

// draftListData is a car's estimates and the form that makes one.
type draftListData struct {
	Form   *form
	Car    shop.CarVersion
	Path   string
	Terms  bool
	Drafts []draftRow
}

// draftRow is one estimate of the list.
type draftRow struct {
	Path, Number, VisitOn, ToPay string
	Version, Items, Open         int
}

// draftList shows a car's estimates, and offers to make one for the next visit of its plan.
func (s *server) draftList(w http.ResponseWriter, r *http.Request) error {
	f := newForm(nil)
	f.Set("id", s.shop.NewID())
	f.Set("visit", s.shop.Now().Format("2006-01-02"))
	plan, err := s.shop.Plan(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	if len(plan.Visits) > 0 {
		f.Set("visit", plan.Visits[0].On)
	}
	return s.renderDrafts(w, r, http.StatusOK, f)
}

func (s *server) renderDrafts(w http.ResponseWriter, r *http.Request, status int, f *form) error {
	ctx, id := r.Context(), r.PathValue("id")
	list, err := s.shop.Drafts(ctx, id)
	if err != nil {
		return err
	}
	d := draftListData{Form: f, Path: draftsPath(id)}
	if d.Car, err = s.shop.Car(ctx, id); err != nil {
		return err
	}
	if _, d.Terms, err = s.shop.Terms(ctx); err != nil {
		return err
	}
	for _, k := range list {
		e := k.Said.Estimate
		t, err := estimate.Total(e, nil)
		if err != nil {
			return err
		}
		d.Drafts = append(d.Drafts, draftRow{Path: draftPath(e.Number), Number: e.Number, VisitOn: e.VisitOn, ToPay: amounts{e.Terms.Currency}.With(t.ToPay),
			Version: e.Version, Items: len(e.Items), Open: t.Open})
	}
	s.render(w, r, status, "draft_list", page{Title: "Estimates for " + carName(d.Car), Form: f, Data: d, Back: "/cars/" + id, BackWords: carName(d.Car)})
	return nil
}

// draftMake makes an estimate from what the car asks for.
func (s *server) draftMake(w http.ResponseWriter, r *http.Request) error {
	f := newForm(r.PostForm)
	if f.Get("id") == "" {
		f.Set("id", s.shop.NewID())
	}
	budget, err := s.planBudget(r, f)
	if err != nil {
		return err
	}
	if f.Problem("budget") != nil {
		return s.renderDrafts(w, r, http.StatusUnprocessableEntity, f)
	}
	number, err := s.shop.MakeDraftWithin(r.Context(), r.PathValue("id"), f.Get("id"), by(w, r), f.Get("visit"), budget)
	switch {
	case err == nil:
		return see(w, r, draftPath(number)+"?did=made")
	case errors.Is(err, shop.ErrNoTerms):
		return s.renderDrafts(w, r, http.StatusUnprocessableEntity, f)
	case f.refused(err):
		return s.renderDrafts(w, r, http.StatusUnprocessableEntity, f)
	}
	return err
}
