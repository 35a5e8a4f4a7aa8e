package web

import (
	"cmp"
	"context"
	"net/http"
	"net/url"
	"strings"

	"witnessmark/shop"
)

// roundPointShow asks one question.
func (s *server) roundPointShow(w http.ResponseWriter, r *http.Request) error {
	v, i, err := s.roundPoint(r, r.PathValue("point"))
	if err != nil {
		return err
	}
	return s.showPoint(w, r, v, i, newForm(nil), http.StatusOK)
}

// showPoint writes the screen of a point.
func (s *server) showPoint(w http.ResponseWriter, r *http.Request, v *shop.RoundView, i int, f *form, status int) error {
	sc := s.screen(v, i, f)
	s.foresee(r.Context(), &sc)
	sc.AskBy = initials(r) == ""
	q := r.URL.Query()
	if from := cmp.Or(f.Get("from"), q.Get("from")); from == "check" || from == "findings" {
		sc.From = from
	}
	sc.Saved = s.savedFrom(r.Context(), v, q)
	p := page{Title: sc.Step.Point.Ask, Form: f, Narrow: true, Data: sc, Back: sc.Base, BackWords: cmp.Or(v.Car.Plate, "The round")}
	switch q.Get("did") {
	case "undone":
		p.Notice = "Taken back. This point is open again."
	case "photo":
		p.Notice = "Photo saved."
	case "photo-off":
		p.Notice = "Photo taken off."
	}
	s.render(w, r, status, "round_point", p)
	return nil
}

// savedFrom finds what was stored last, as the redirect after it names it.
func (s *server) savedFrom(ctx context.Context, v *shop.RoundView, q url.Values) *savedLine {
	id := q.Get("saved")
	for _, st := range v.Steps {
		if st.Point.ID != id {
			continue
		}
		var ats []string
		for _, at := range strings.Split(q.Get("at"), ",") {
			if _, ok := st.Current[at]; ok {
				ats = append(ats, at)
			}
		}
		if len(ats) == 0 {
			return nil
		}
		return &savedLine{Text: s.savedText(v, st, ats), Path: pointPath(v.Round.ID, id) + "/undo", At: strings.Join(ats, ","), ID: s.shop.NewID(),
			Forecast: s.forecastSaid(ctx, v, st, ats)}
	}
	return nil
}

// afterSave gives the page to go to: the answers or the findings if the person came from there, else the same point while it has open
// places, else the next open point, else the answers.
func afterSave(v *shop.RoundView, i int, changed []string, from string) string {
	q := ""
	if len(changed) > 0 {
		q = "?saved=" + url.QueryEscape(v.Steps[i].Point.ID) + "&at=" + url.QueryEscape(strings.Join(changed, ","))
	}
	if from == "findings" {
		return roundPath(v.Round.ID) + "/findings" + q
	}
	next := nextOpen(v, i)
	if next < 0 || from == "check" {
		return checkPath(v.Round.ID) + q
	}
	return pointPath(v.Round.ID, v.Steps[next].Point.ID) + q
}

// nextOpen finds the first open step from i on, then from the start; -1 when none is open.
func nextOpen(v *shop.RoundView, i int) int {
	n := len(v.Steps)
	for k := range n {
		if j := (i + k) % n; !v.Steps[j].Done() {
			return j
		}
	}
	return -1
}
