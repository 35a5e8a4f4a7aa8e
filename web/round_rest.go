package web

import (
	"net/http"
	"net/url"
	"strconv"

	"witnessmark/core/point"
	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// roundRest is the page for the rest of a station: the open looks that a person may have made without stopping to write
// each one down. Only looks are listed; what is measured or copied has to be written.
type roundRest struct {
	View *shop.RoundView
	Base string
	ID   string
	// StationID stands in the address, Station is its name.
	StationID string
	Station   string
	Points    []restLine
	// Left counts the station's open points that are measured, and so can't be taken together.
	Left    int
	AskBy   bool
	NoneSet bool
}

// restLine is one open look with the answer that it would get.
type restLine struct{ ID, Name, Says, Href string }

// roundRestShow lists the open looks of a station with the answer that each would get.
func (s *server) roundRestShow(w http.ResponseWriter, r *http.Request) error {
	v, err := s.round(r)
	if err != nil {
		return err
	}
	return s.renderRest(w, r, v, http.StatusOK, false)
}

func (s *server) renderRest(w http.ResponseWriter, r *http.Request, v *shop.RoundView, status int, none bool) error {
	station := point.Station(r.PathValue("station"))
	d := roundRest{View: v, Base: roundPath(v.Round.ID), ID: s.shop.NewID(), StationID: string(station), Station: stationWords(station), AskBy: initials(r) == "", NoneSet: none}
	known := false
	for _, st := range v.Steps {
		known = known || st.Point.Station == station
		if st.Point.Station != station || st.Done() {
			continue
		}
		if best := soundState(st.Point); best != nil {
			d.Points = append(d.Points, restLine{st.Point.ID, st.Point.Name, best.Say, pointPath(v.Round.ID, st.Point.ID)})
		} else {
			d.Left++
		}
	}
	if !known {
		return shop.ErrNotFound
	}
	s.render(w, r, status, "round_rest", page{Title: "The rest of this station", Back: roundPath(v.Round.ID), BackWords: "The round", Data: d})
	return nil
}

// soundState gives the first state that is sound, for points that are looked at; nil for what is measured or copied.
func soundState(p *point.Point) *point.StateOf {
	if p.Kind != point.State && p.Kind != point.Level {
		return nil
	}
	for i := range p.States {
		if p.States[i].Verdict == verdict.Sound {
			return &p.States[i]
		}
	}
	return nil
}

// roundRestSave stores the ticked looks as sound, every open place of each.
func (s *server) roundRestSave(w http.ResponseWriter, r *http.Request) error {
	v, err := s.round(r)
	if err != nil {
		return err
	}
	ticked := map[string]bool{}
	for _, id := range r.PostForm["looked"] {
		ticked[id] = true
	}
	if len(ticked) == 0 {
		return s.renderRest(w, r, v, http.StatusUnprocessableEntity, true)
	}
	form, who := r.PostFormValue("id"), by(w, r)
	if form == "" {
		form = s.shop.NewID()
	}
	var in []shop.ReadingInput
	for _, st := range v.Steps {
		best := soundState(st.Point)
		if !ticked[st.Point.ID] || best == nil {
			continue
		}
		for _, at := range st.Slots {
			if _, has := currentAt(st, at); !has {
				// Made from the form's id, so that the form sent twice stores each look once.
				in = append(in, shop.ReadingInput{ID: form + "." + st.Point.ID + "." + at, RoundID: v.Round.ID, Point: st.Point.ID, At: at, State: best.ID, By: who})
			}
		}
	}
	if err := s.shop.Record(r.Context(), in); err != nil {
		return err
	}
	return goOn(w, r, roundPath(v.Round.ID)+"?ticked="+strconv.Itoa(len(ticked))+"#"+url.PathEscape(r.PathValue("station")))
}
