package web

import (
	"net/http"

	"witnessmark/core/point"
	"witnessmark/shop"
)

// confirmData is the page on which the cause of a complaint is confirmed once the work is done.
type confirmData struct {
	Path, ID, Back string
	F              *form
	Complaint      *point.Complaint
	Causes         []causeChoice
	Else           string
	Confirmed      *confirmedView
	AskBy          bool
	By             string
}

// causeChoice is a cause to choose.
type causeChoice struct {
	ID, Name, Says, Chance string
	Chosen                 bool
}

// confirmShow asks what the cause turned out to be.
func (s *server) confirmShow(w http.ResponseWriter, r *http.Request) error {
	return s.renderConfirm(w, r, newForm(nil), http.StatusOK)
}

func (s *server) renderConfirm(w http.ResponseWriter, r *http.Request, f *form, status int) error {
	complaint := s.shop.Catalogue().Complaint(r.PathValue("complaint"))
	if complaint == nil {
		return shop.ErrNotFound
	}
	c, err := s.shop.Causes(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	d := confirmData{Path: confirmPath(c.Round.ID, complaint.ID), ID: f.Get("id"), Back: findingsPath(c.Round.ID) + "#" + whyAnchor(complaint.ID), F: f, Complaint: complaint,
		Else: shop.CauseElse, AskBy: initials(r) == "", By: f.Get("by")}
	if d.ID == "" {
		d.ID = s.shop.NewID()
	}
	chosen := f.Get("cause")
	if was := c.ConfirmedFor(complaint.ID); was != nil {
		d.Confirmed = s.confirmedView(was)
		if chosen == "" {
			chosen = was.Cause
		}
		if !f.Values.Has("note") {
			f.Set("note", was.Note)
		}
	}
	f.Set("cause", chosen)
	d.Causes = s.causeChoices(c, complaint, chosen)
	f.Labels = func(name string) string {
		return map[string]string{"cause": "What it was", "note": "In a few words"}[name]
	}
	s.render(w, r, status, "confirm_show", page{Title: "Confirm the cause", Form: f, Narrow: true, Data: d, Back: d.Back, BackWords: "Findings"})
	return nil
}

// causeChoices lists the causes of a complaint, those of its panel first and by their chance.
func (s *server) causeChoices(c *shop.CausesOf, complaint *point.Complaint, chosen string) []causeChoice {
	var out []causeChoice
	seen := map[string]bool{}
	if p := c.Panel(complaint.ID); p != nil {
		for i := range p.Causes {
			r := &p.Causes[i]
			seen[r.Cause.ID] = true
			out = append(out, causeChoice{r.Cause.ID, r.Cause.Name, r.Cause.Says, inWords(r.P), chosen == r.Cause.ID})
		}
	}
	facets := s.shop.FacetsOf(c.Car)
	for _, id := range complaint.Causes {
		k := s.shop.Catalogue().Cause(id)
		if k == nil || seen[id] {
			continue
		}
		if ok, _ := k.When.Holds(facets); ok {
			out = append(out, causeChoice{k.ID, k.Name, k.Says, "", chosen == id})
		}
	}
	return out
}

// confirmSave stores the confirmed cause.
func (s *server) confirmSave(w http.ResponseWriter, r *http.Request) error {
	f := newForm(r.PostForm)
	in := shop.ConfirmInput{ID: s.idOf(f), RoundID: r.PathValue("id"), Complaint: r.PathValue("complaint"), Cause: f.Get("cause"), Note: f.Get("note"), By: by(w, r)}
	if err := s.again(&in.ID, func() error { return s.shop.Confirm(r.Context(), in) }); err != nil {
		if f.refused(err) {
			return s.renderConfirm(w, r, f, http.StatusUnprocessableEntity)
		}
		return err
	}
	return see(w, r, backToWhy(in.RoundID, "confirmed", in.Complaint))
}

// confirmUndo takes a confirmed cause back.
func (s *server) confirmUndo(w http.ResponseWriter, r *http.Request) error {
	f, round := newForm(r.PostForm), r.PathValue("id")
	if err := s.shop.WithdrawConfirmed(r.Context(), s.idOf(f), round, f.Get("fact"), by(w, r)); err != nil {
		return err
	}
	if f.Get("from") == "causes" {
		return see(w, r, "/causes?did=undone")
	}
	return see(w, r, backToWhy(round, "undone", s.complaint(r.PathValue("complaint"))))
}
