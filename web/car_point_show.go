package web

import (
	"fmt"
	"html/template"
	"net/http"

	"witnessmark/core/outlook"
	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// carPointData is the page of every reading of one place of a car, with what comes.
type carPointData struct {
	Car  shop.CarVersion
	Rung rung
	Plot template.HTML
	// Says is the forecast in a sentence, Next when to look again.
	Says, Next string
	// Advice and Why are the recommended interval with its reason; Due when the running cycle reaches it.
	Advice, Why, Due string
	// Cheap is what costs least, where renewing in time saves something.
	Cheap string
	// Basis says what it was computed from.
	Basis []pairLine
	// Ask is a question about something that seems not to have been written down.
	Ask []string
}

// pairLine is a term and what is said of it.
type pairLine struct{ Term, Says string }

// carPointShow shows every reading of one place of a car.
func (s *server) carPointShow(w http.ResponseWriter, r *http.Request) error {
	p, err := s.shop.CarPage(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	o, err := s.shop.Outlook(r.Context(), p.Car.CarID)
	if err != nil {
		return err
	}
	for i := range p.Items {
		it := &p.Items[i]
		if it.Point.ID != r.PathValue("point") || it.At != r.FormValue("at") {
			continue
		}
		d := carPointData{Car: p.Car}
		d.Rung = s.rung(p.Car, it)
		if r, ok := s.shop.RenewedSince(p, it); ok {
			d.Rung.Verdict, d.Rung.Word, d.Rung.Now, d.Rung.LookedOn = verdict.Unjudged, "renewed "+day(r.On), "not looked at since", ""
		}
		s.forecastOf(&d, &o.Outlook, it)
		s.render(w, r, http.StatusOK, "car_point_show", page{Title: placed(it.Point.Name, it.Where) + ", " + carName(p.Car),
			Data: d, Back: "/cars/" + p.Car.CarID, BackWords: carName(p.Car)})
		return nil
	}
	return shop.ErrNotFound
}

// forecastOf fills in what comes, where there is a law for the place.
func (s *server) forecastOf(d *carPointData, o *outlook.Outlook, h *shop.ItemHistory) {
	for _, q := range o.Questions {
		if q.Point == h.Point.ID && (q.At == h.At || q.At == "") {
			d.Ask = append(d.Ask, q.Text)
		}
	}
	for i := range o.Items {
		it := &o.Items[i]
		if it.Point.ID != h.Point.ID || it.At != h.At {
			continue
		}
		d.Says = s.reachSentence(d.Car, o, it)
		d.Plot = s.itemPlot(d.Car, it)
		if d.Plot != "" {
			d.Rung.Spark = ""
		}
		if it.Unsure == "" {
			d.Next = s.nextLookWords(d.Car, it.Look) + fmt.Sprintf(" (accepted risk %s)", percentWords(it.Look.Risk))
		}
		s.adviceOf(d, it)
		d.Basis = s.basisLines(d.Car, it)
	}
}

// adviceOf fills in the recommended interval.
func (s *server) adviceOf(d *carPointData, it *outlook.Item) {
	a := it.Advice
	if a == nil || a.Interval <= 0 {
		return
	}
	d.Advice, d.Why = s.adviceShort(d.Car, it), a.Reason
	if !a.DueOn.IsZero() {
		d.Due = a.DueOn.Format("2 January 2006")
		if a.DueKm > 0 {
			d.Due += ", about " + s.km(d.Car, a.DueKm)
		}
	}
	switch {
	case a.Cheapest > 0:
		d.Cheap = "Costs least at about " + s.exposureWords(d.Car, it.Law.Unit, a.Cheapest)
		if a.Flat.High > a.Flat.Low {
			d.Cheap += "; anything between " + s.exposureWords(d.Car, it.Law.Unit, a.Flat.Low) + " and " + s.exposureWords(d.Car, it.Law.Unit, a.Flat.High) + " costs at most 1\u00a0% more"
		}
		d.Cheap += "."
	case a.CheapNote != "":
		d.Cheap = a.CheapNote
	}
}

// basisLines say what an outlook was computed from.
func (s *server) basisLines(c shop.CarVersion, it *outlook.Item) []pairLine {
	from := "the catalogue's law alone; the workshop has too little history of its own yet"
	if it.Basis.Learned {
		from = fmt.Sprintf("%s looks at %s cars of this workshop, with the catalogue's law behind them", number(float64(it.Basis.Looks)), number(float64(it.Basis.Cars)))
	}
	since := it.Since.From
	if !it.Since.On.IsZero() {
		since += ", " + it.Since.On.Format("2 January 2006")
	}
	if it.Law.Unit == "km" && it.Since.Km > 0 {
		since += ", " + s.km(c, it.Since.Km)
	}
	if !it.Since.Sure {
		since += " (assumed)"
	}
	return []pairLine{{"Counts from", since}, {"This car", fmt.Sprintf("%d looks", it.Basis.Own)}, {"Its class", from}, {"Class name", it.Basis.Key}}
}

// percentWords writes a probability as a percentage.
func percentWords(p float64) string { return number(p*100) + "\u00a0%" }
