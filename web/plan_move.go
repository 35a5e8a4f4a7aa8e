package web

import (
	"net/http"

	"witnessmark/shop"
)

// planMoveData is the page that says what moving a job would mean.
type planMoveData struct {
	Car     shop.CarVersion
	Move    *shop.PlanMove
	Form    *form
	PlaceID string
	Day     string
	Back    string
	Budget  string
}

// planMove says what moving a want to another day would mean. Nothing is stored.
func (s *server) planMove(w http.ResponseWriter, r *http.Request) error {
	id, f := r.PathValue("id"), newForm(r.URL.Query())
	budget, err := s.planBudget(r, f)
	if err != nil {
		return err
	}
	if f.Problem("budget") != nil {
		return s.renderPlan(w, r, http.StatusUnprocessableEntity, f, "")
	}
	m, err := s.shop.PlanMove(r.Context(), id, f.Get("want"), f.Get("on"), budget)
	if err != nil {
		if f.refused(err) {
			return s.renderPlan(w, r, http.StatusUnprocessableEntity, f, "")
		}
		return err
	}
	c, err := s.shop.Car(r.Context(), id)
	if err != nil {
		return err
	}
	back := planPathWithin(id, "", f.Get("budget"))
	s.render(w, r, http.StatusOK, "plan_move", page{Title: "Move a job, " + carName(c), Back: back, BackWords: "Plan of visits", Narrow: true,
		Data: planMoveData{Car: c, Move: m, Form: f, PlaceID: s.shop.NewID(), Day: day(m.Day.On), Back: back, Budget: f.Get("budget")}})
	return nil
}

// planPlace puts a want on a day, or lets the planner choose again.
func (s *server) planPlace(w http.ResponseWriter, r *http.Request) error {
	id, f := r.PathValue("id"), newForm(r.PostForm)
	if f.Get("place-id") == "" {
		f.Set("place-id", s.shop.NewID())
	}
	budget, err := s.planBudget(r, f)
	if err != nil {
		return err
	}
	if f.Problem("budget") != nil {
		return s.renderPlan(w, r, http.StatusUnprocessableEntity, f, "")
	}
	if err := s.shop.PlaceWithin(r.Context(), f.Get("place-id"), id, by(w, r), f.Get("want"), f.Get("on"), budget); err != nil {
		if f.refused(err) {
			return s.renderPlan(w, r, http.StatusUnprocessableEntity, f, "")
		}
		return err
	}
	did := "placed"
	if f.Get("on") == "" {
		did = "released"
	}
	return see(w, r, planPathWithin(id, did, f.Get("budget")))
}
