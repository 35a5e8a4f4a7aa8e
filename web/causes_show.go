package web

import (
	"fmt"
	"net/http"
	"slices"

	"witnessmark/core/diagnose"
	"witnessmark/shop"
)

// causesData is the page on what the workshop has learned about causes.
type causesData struct {
	Closed        []closedView
	Causes        []learnedView
	Cars, Lowered int
	Weights       string
}

// closedView is a close-out with the way to take it back.
type closedView struct {
	confirmedView
	Asks, Car, CarPath, Why string
}

// learnedView is one cause with the figures that moved.
type learnedView struct {
	Name    string
	Changes []changeView
}

// changeView is one figure against the catalogue's.
type changeView struct{ What, From, To, Seen string }

// causesShow says what close-outs have taught about causes.
func (s *server) causesShow(w http.ResponseWriter, r *http.Request) error {
	l, err := s.shop.LearnedCauses(r.Context())
	if err != nil {
		return err
	}
	d := causesData{Cars: l.Cars, Lowered: l.Lowered,
		Weights: fmt.Sprintf("A cause's figure in the catalogue weighs as much as %g cars, that of a sign as much as %g confirmed cases", l.Weights.Cars, l.Weights.Cases)}
	for _, c := range l.Closed {
		v := closedView{confirmedView: *s.confirmedView(&c.Fact), Asks: c.Fact.Complaint, Car: carName(c.Car), CarPath: "/cars/" + c.Car.CarID, Why: findingsPath(c.Round.ID) + "#" + whyAnchor(c.Fact.Complaint)}
		if c.Complaint != nil {
			v.Asks = c.Complaint.Asks
		}
		d.Closed = append(d.Closed, v)
	}
	for _, c := range l.Changes {
		i := slices.IndexFunc(d.Causes, func(v learnedView) bool { return v.Name == c.Cause.Name })
		if i < 0 {
			i = len(d.Causes)
			d.Causes = append(d.Causes, learnedView{Name: c.Cause.Name})
		}
		d.Causes[i].Changes = append(d.Causes[i].Changes, changeOf(c))
	}
	s.render(w, r, http.StatusOK, "causes_show", page{Title: "What was learned about causes", Notice: causesNotice(r.FormValue("did")), Data: d})
	return nil
}

// changeOf puts a figure into words.
func changeOf(c shop.CauseChange) changeView {
	v := changeView{What: "How often a car has it", From: fine(c.From), To: fine(c.To), Seen: seenIn(c.Count, "car")}
	if c.Sign != nil {
		v.What, v.Seen = "Shows “"+lowerFirst(c.Sign.Name)+"”", seenIn(c.Count, "case")
	}
	return v
}

// seenIn says how often something was seen.
func seenIn(n diagnose.Count, thing string) string {
	if n.Of != 1 {
		thing += "s"
	}
	return fmt.Sprintf("in %d of %d %s", n.Seen, n.Of, thing)
}

// fine writes a figure with a digit more than a chance has: what moves slowly would not be seen to move.
func fine(p float64) string {
	if p < 0.1 {
		return fmt.Sprintf("%.2f %%", 100*p)
	}
	return fmt.Sprintf("%.1f %%", 100*p)
}
