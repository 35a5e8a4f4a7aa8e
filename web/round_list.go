package web

import (
	"net/http"
	"net/url"
	"strconv"

	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/shop"
)

// roundList is a round as a list of tasks.
type roundList struct {
	View     *shop.RoundView
	Base     string
	Depth    string
	Stations []stationList
	Absent   []round.Absent
	// Next is the point to go on with; nil when nothing is open.
	Next     *pointLine
	NextPlus string // its station
	Done, Of int
	Saved    *savedLine
	EndID    string
	Ended    bool
	AskBy    bool
	Then     string // the point to go back to once the initials are given
	HasPDF   bool
	Open     []pointLine
}

// stationList is a station with its points.
type stationList struct {
	ID       point.Station
	Name     string
	Points   []pointLine
	Done, Of int
	Here     bool // the next open point is here
}

// pointLine is a point in a list with what was answered.
type pointLine struct {
	Name, Href string
	Step       shop.StepView
	Done       bool
	Answers    []answerLine
}

// answerLine is what was said of one place, or that it is open.
type answerLine struct {
	Where, Text, First, Note string
	Skipped, Open            bool
}

// list lays a round out by stations.
func (s *server) list(v *shop.RoundView, r *http.Request) roundList {
	out := roundList{View: v, Base: roundPath(v.Round.ID), Depth: depthWords(v.Round.Depth), Absent: v.Absent, Of: len(v.Steps),
		Saved: s.savedFrom(r.Context(), v, r.URL.Query()), EndID: s.shop.NewID(), Ended: v.Round.EndedAt != 0, AskBy: initials(r) == "", HasPDF: s.cfg.SheetPDF != nil}
	next := nextOpen(v, 0)
	for i, st := range v.Steps {
		n := len(out.Stations)
		if n == 0 || out.Stations[n-1].ID != st.Point.Station {
			out.Stations = append(out.Stations, stationList{ID: st.Point.Station, Name: stationWords(st.Point.Station)})
			n++
		}
		at := &out.Stations[n-1]
		line := s.line(v, st)
		at.Points = append(at.Points, line)
		at.Of++
		if line.Done {
			at.Done++
			out.Done++
		} else {
			out.Open = append(out.Open, line)
		}
		if i == next {
			at.Here = true
			out.Next, out.NextPlus = &line, at.Name
		}
	}
	return out
}

// line says what was answered at a point. Places of the same answer are said once.
func (s *server) line(v *shop.RoundView, st shop.StepView) pointLine {
	p := st.Point
	line := pointLine{Name: p.Name, Href: pointPath(v.Round.ID, p.ID), Step: st, Done: st.Done()}
	for _, at := range st.Slots {
		a := answerLine{Where: p.Where(at, v.Facets), Text: "open", Open: true}
		if now, ok := currentAt(st, at); ok {
			a = answerLine{Where: a.Where, Text: s.shop.Describe(v.Car, p, now), Note: now.Note, Skipped: now.Skipped != ""}
			if first, ok := st.First[at]; ok && first.ID != now.ID {
				a.First = s.shop.Describe(v.Car, p, first)
			}
		}
		line.Answers = append(line.Answers, a)
	}
	line.Answers = together(line.Answers)
	return line
}

// together says an answer once when all places have the same and nothing else is to be said of them.
func together(list []answerLine) []answerLine {
	if len(list) < 2 {
		return list
	}
	for _, a := range list {
		if a.Text != list[0].Text || a.First != "" || a.Note != "" {
			return list
		}
	}
	one := list[0]
	one.Where = allOf(len(list))
	return []answerLine{one}
}

// roundShow lists the tasks of a round.
func (s *server) roundShow(w http.ResponseWriter, r *http.Request) error {
	v, err := s.round(r)
	if err != nil {
		return err
	}
	l := s.list(v, r)
	l.Then = r.FormValue("then")
	notice := ""
	if n, err := strconv.Atoi(r.FormValue("ticked")); err == nil && n > 0 {
		notice = "Stored: " + countOf(n, "look") + ". Each can be changed from the list."
	}
	s.render(w, r, http.StatusOK, "round_list", page{Title: l.Depth, Notice: notice, Back: "/cars/" + url.PathEscape(v.Car.CarID), BackWords: "The car", Data: l})
	return nil
}

// roundInitials remembers who is looking, and leads back to the point from which the person came.
func (s *server) roundInitials(w http.ResponseWriter, r *http.Request) error {
	by(w, r)
	if then := r.PostFormValue("then"); then != "" {
		return see(w, r, pointPath(r.PathValue("id"), then))
	}
	return see(w, r, roundPath(r.PathValue("id")))
}

// currentAt gives the reading that speaks for a place: its own, its corner's, or the one for the whole point.
func currentAt(st shop.StepView, at string) (shop.ReadingFact, bool) {
	base, _ := point.SplitAt(at)
	for _, key := range []string{at, base, ""} {
		if f, ok := st.Current[key]; ok {
			return f, true
		}
	}
	return shop.ReadingFact{}, false
}
