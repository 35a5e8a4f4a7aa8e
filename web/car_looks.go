package web

import (
	"fmt"
	"html/template"
	"slices"

	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// rung is one item of the car's ladder.
type rung struct {
	Name, Where, Group string
	Verdict            verdict.Verdict
	Word, Says, Now    string
	Scale, Spark       template.HTML
	Limit              string
	LookedOn           string
	Looks              []lookLine
	Href               string // where every reading is, for a rung without its own list
	States             bool   // some look has a verdict of its own
}

// lookLine is one earlier look, newest first.
type lookLine struct {
	On, Km, Says, By, Note string
	Verdict                verdict.Verdict // of a state; empty for a measure, which its limit judges
}

// rungGroup is a heading with its rungs.
type rungGroup struct {
	Name  string
	Rungs []rung
}

// neverLooked lists the points of a full round that were never looked at on this car, at all or at some place.
func (s *server) neverLooked(p *shop.CarPage) []rung {
	seen := map[[2]string]bool{}
	for i := range p.Items {
		seen[[2]string{p.Items[i].Point.ID, p.Items[i].At}] = true
	}
	steps, _ := round.Walk(s.shop.Catalogue(), point.Full, round.Known{Facets: p.Facets})
	var out []rung
	for _, st := range steps {
		var at []string
		for _, slot := range st.Slots {
			base, _ := point.SplitAt(slot)
			if !seen[[2]string{st.Point.ID, slot}] && !seen[[2]string{st.Point.ID, base}] && !seen[[2]string{st.Point.ID, ""}] {
				at = append(at, slot)
			}
		}
		if len(at) == 0 || len(st.Slots) == 1 && st.Slots[0] == "" && anyAt(seen, st.Point.ID) {
			continue
		}
		g := rung{Name: st.Point.Name, Group: st.Point.Group, Word: "not looked at", Scale: scale{Unknown: true, Words: "Not looked at"}.draw()}
		if len(at) < len(st.Slots) {
			for i, slot := range at {
				if i > 0 {
					g.Where += "; "
				}
				g.Where += st.Point.Where(slot, p.Facets)
			}
		}
		out = append(out, g)
	}
	return out
}

// anyAt reports whether the point was looked at anywhere.
func anyAt(seen map[[2]string]bool, id string) bool {
	for k := range seen {
		if k[0] == id {
			return true
		}
	}
	return false
}

// rung gathers every reading of one place.
func (s *server) rung(c shop.CarVersion, it *shop.ItemHistory) rung {
	g := rung{Name: it.Point.Name, Where: it.Where, Group: it.Point.Group, Verdict: it.Verdict, Says: it.Why, LookedOn: day(it.LookedOn)}
	var sc scale
	var values []float64
	var dots []dot
	for _, l := range it.Looks {
		if l.HasValue {
			values = append(values, l.Value)
			if l.Km >= 0 {
				dots = append(dots, dot{l.Km, l.Value})
			}
		}
		line := lookLine{On: shortDay(l.On), Km: s.km(c, l.Km), Says: s.shop.Describe(c, it.Point, l.Reading), By: l.Reading.By, Note: l.Reading.Note}
		if l.Reading.State != "" {
			line.Verdict, g.States = l.Verdict, true
		}
		g.Looks = append(g.Looks, line)
		g.Now = line.Says
	}
	slices.Reverse(g.Looks)
	g.Word = string(it.Verdict)
	s.fillScale(c, it, values, &sc)
	g.Scale = sc.draw()
	w := sparkWords{All: fmt.Sprintf("%d readings of %s against distance", len(dots), it.Point.Name)}
	if len(dots) > 0 {
		w.From, w.To = s.km(c, dots[0].Km), s.km(c, dots[len(dots)-1].Km)
	}
	var limit *float64
	if it.Limit != nil {
		limit = &it.Limit.Value
		w.Limit = "limit " + s.shop.Display(c, it.Limit.Unit, it.Limit.Value, it.Point)
		g.Limit = w.Limit + ", " + it.Limit.Source
	}
	g.Spark = spark(dots, limit, w)
	return g
}

// fillScale places the readings on the line: by value where there is a limit, by verdict for a state.
func (s *server) fillScale(c shop.CarVersion, it *shop.ItemHistory, values []float64, sc *scale) {
	sc.Verdict = it.Verdict
	if it.Verdict == verdict.Unjudged {
		sc.Unknown, sc.Words = true, "Unjudged: no place on the line"
		return
	}
	if it.Limit != nil && len(values) > 0 {
		sc.Limit = true
		best := bestEnd(values, it.Limit.Value, it.Limit.Falls)
		for _, v := range values {
			sc.At = append(sc.At, along(v, best, it.Limit.Value))
		}
		sc.Words = fmt.Sprintf("Last reading %s, limit %s, best %s", s.shop.Display(c, it.Limit.Unit, values[len(values)-1], it.Point),
			s.shop.Display(c, it.Limit.Unit, it.Limit.Value, it.Point), s.shop.Display(c, it.Limit.Unit, best, it.Point))
	} else {
		sc.Limit = true
		for _, l := range it.Looks {
			if x := verdictAt(l.Verdict); x >= 0 && l.Reading.Skipped == "" {
				sc.At = append(sc.At, x)
			}
		}
		sc.Words = fmt.Sprintf("On the line from sound to unsafe: %s", it.Verdict)
	}
	if n := len(sc.At); n > 0 && (it.Limit == nil || len(values) == 0) {
		sc.At[n-1] = verdictAt(it.Verdict) // a look may say less than its age or distance does
	}
	if len(sc.At) == 0 { // judged by its age or together with others: only the verdict has a place
		sc.At = append(sc.At, verdictAt(it.Verdict))
	}
}

// groupName names a group of points for a person.
func groupName(id string) string {
	switch id {
	case "wheels-tyres":
		return "Wheels and tyres"
	case "driveline":
		return "Gearbox and driven axles"
	case "visibility":
		return "Glass, wipers and mirrors"
	case "restraints":
		return "Belts, seats and air bags"
	case "belts":
		return "Drive belts"
	}
	return capital(id)
}
