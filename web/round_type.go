package web

import (
	"net/http"
	"net/url"
	"slices"
	"strings"

	"witnessmark/core/point"
	"witnessmark/shop"
)

// typeScreen is one station of the paper sheet, to be typed in.
type typeScreen struct {
	View     *shop.RoundView
	Base     string
	F        *form
	Station  point.Station
	Name     string
	Next     string // name of the next station, empty at the last
	Stations []typeStation
	Lines    []typeLine
	AskBy    bool
}

// typeStation leads to another station of the sheet.
type typeStation struct {
	Name, Href string
	Here       bool
	Open       int
}

// typeLine is a point with its fields in one line.
type typeLine struct {
	Point  *point.Point
	Codes  []string // "1 Clear and pale"
	List   string   // id of the list of answers
	Slots  []typeSlot
	Shared []numberScreen
}

// typeSlot is a place with its fields.
type typeSlot struct {
	Where, IDName, ID string
	Fields            []numberScreen
}

// roundTypeShow shows a station of the sheet.
func (s *server) roundTypeShow(w http.ResponseWriter, r *http.Request) error {
	v, err := s.round(r)
	if err != nil {
		return err
	}
	return s.showType(w, r, v, newForm(nil), http.StatusOK, r.URL.Query().Get("station"))
}

// showType writes the form of one station.
func (s *server) showType(w http.ResponseWriter, r *http.Request, v *shop.RoundView, f *form, status int, station string) error {
	sc := s.typeScreen(v, f, point.Station(station))
	if sc == nil {
		return badRequest("This round has no station %q. Go back to the round and choose one from its list.", station)
	}
	sc.AskBy = initials(r) == ""
	p := page{Title: "Type in the sheet: " + sc.Name, Form: f, Wide: true, Back: sc.Base, BackWords: "The round", Data: sc}
	if n := r.URL.Query().Get("stored"); n != "" && status == http.StatusOK {
		p.Notice = "Saved: " + cleanCount(n) + "."
	}
	s.render(w, r, status, "round_type", p)
	return nil
}

// cleanCount writes the number of readings that a redirect names.
func cleanCount(n string) string {
	switch {
	case n == "1":
		return "one reading"
	case len(n) > 4 || strings.Trim(n, "0123456789") != "":
		return "the readings"
	}
	return n + " readings"
}

// typeScreen lays a station out; nil when the round has no such station. No station is the first with open points.
func (s *server) typeScreen(v *shop.RoundView, f *form, station point.Station) *typeScreen {
	sc := &typeScreen{View: v, Base: roundPath(v.Round.ID), F: f, Station: station}
	var order []point.Station
	open := map[point.Station]int{}
	for _, st := range v.Steps {
		if !slices.Contains(order, st.Point.Station) {
			order = append(order, st.Point.Station)
		}
		if !st.Done() {
			open[st.Point.Station]++
		}
	}
	if station == "" && len(order) > 0 {
		sc.Station = order[max(0, slices.IndexFunc(order, func(x point.Station) bool { return open[x] > 0 }))]
	}
	here := slices.Index(order, sc.Station)
	if here < 0 {
		return nil
	}
	sc.Name = stationWords(sc.Station)
	if here+1 < len(order) {
		sc.Next = stationWords(order[here+1])
	}
	for i, x := range order {
		sc.Stations = append(sc.Stations, typeStation{stationWords(x), sc.Base + "/type?station=" + url.QueryEscape(string(x)), i == here, open[x]})
	}
	for _, st := range v.Steps {
		if st.Point.Station == sc.Station {
			sc.Lines = append(sc.Lines, s.typeLine(v, st, f))
		}
	}
	return sc
}

// roundTypeSave stores what is valid of a station. What is not stays in its field with the reason beside it.
func (s *server) roundTypeSave(w http.ResponseWriter, r *http.Request) error {
	v, err := s.round(r)
	if err != nil {
		return err
	}
	f := newForm(r.PostForm)
	f.Set("by", by(w, r))
	station := point.Station(f.Get("station"))
	stored := 0
	for _, st := range v.Steps {
		if st.Point.Station != station {
			continue
		}
		n, err := s.takeTyped(r, v, st, f)
		if err != nil {
			return err
		}
		stored += n
	}
	if v, err = s.round(r); err != nil {
		return err
	}
	if f.Bad() {
		f.Values.Del("confirmed")
		f.Partly = stored > 0
		return s.showType(w, r, v, f, http.StatusUnprocessableEntity, string(station))
	}
	return goOn(w, r, afterTyped(v, station, stored))
}

// afterTyped leads to the next station of the sheet, or to the answers after the last.
func afterTyped(v *shop.RoundView, station point.Station, stored int) string {
	passed := false
	for _, st := range v.Steps {
		if st.Point.Station == station {
			passed = true
		} else if passed {
			return roundPath(v.Round.ID) + "/type?station=" + url.QueryEscape(string(st.Point.Station)) + "&stored=" + number(float64(stored))
		}
	}
	return checkPath(v.Round.ID)
}
