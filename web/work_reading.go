package web

import (
	"math"
	"slices"

	"witnessmark/core/point"
	"witnessmark/shop"
)

// closePoint is a point that is read when the work is done.
type closePoint struct {
	Name, Ask, Fresh string
	Slots            []closeSlot
	Shared           []numberScreen
}

// closeSlot is a place of it: its states to choose from, and its numbers.
type closeSlot struct {
	Where, Before string
	State         *fieldView
	Fields        []numberScreen
}

// baselineView lays what the work begins out as the steps of a round that is not begun yet, so that the form is read as a round's is.
func baselineView(s *shop.Shop, sheet *shop.WorkSheet) *shop.RoundView {
	v := &shop.RoundView{Car: sheet.Car, Facets: sheet.Facets, Round: shop.RoundFact{CarID: sheet.Car.CarID, Depth: string(point.Baseline), Km: -1}}
	for _, b := range sheet.Baselines {
		p := s.Catalogue().Point(b.Point)
		if n := len(v.Steps); n > 0 && v.Steps[n-1].Point == p {
			v.Steps[n-1].Slots = append(v.Steps[n-1].Slots, b.At)
			continue
		}
		v.Steps = append(v.Steps, shop.StepView{Point: p, Slots: []string{b.At}, Current: map[string]shop.ReadingFact{}, Last: map[string]shop.LastReading{}})
	}
	return v
}

// closePoints lays out the fields of the first readings, with what was read before and what a new part usually measures.
func (s *server) closePoints(sheet *shop.WorkSheet, car *shop.CarPage, f *form) []closePoint {
	v := baselineView(s.shop, sheet)
	before := map[shop.Place]shop.ReadingFact{}
	for i := range car.Items {
		it := &car.Items[i]
		before[shop.Place{Point: it.Point.ID, At: it.At}] = it.Looks[len(it.Looks)-1].Reading
	}
	var out []closePoint
	for _, st := range v.Steps {
		e := entry{s.shop, v, st, f.Values}
		cp := closePoint{Name: st.Point.Name, Ask: st.Point.Ask, Fresh: s.freshWords(v.Car, st.Point, st.Slots), Shared: s.sharedScreens(e)}
		for i := range cp.Shared {
			cp.Shared[i].Error = f.Problem(cp.Shared[i].Name)
		}
		for _, at := range st.Slots {
			cp.Slots = append(cp.Slots, s.closeSlot(e, at, before))
		}
		out = append(out, cp)
	}
	return out
}

func (s *server) closeSlot(e entry, at string, before map[shop.Place]shop.ReadingFact) closeSlot {
	p := e.step.Point
	sc := s.slotScreen(e, at)
	out := closeSlot{Where: capital(sc.Where), Fields: sc.Numbers}
	if old, ok := before[shop.Place{Point: p.ID, At: at}]; ok {
		out.Before = lowerFirst(s.shop.Describe(e.view.Car, p, old))
	}
	f := newForm(e.form)
	switch p.Kind {
	case point.Code:
		out.Fields = []numberScreen{sc.Code}
	case point.State, point.Level:
		list := options("", "not read")
		for _, st := range p.States {
			list = append(list, option{Value: st.ID, Label: st.Say})
		}
		label := "Answer"
		if out.Where != "" {
			label = out.Where
		}
		field := choice(f, fieldName("state", p.ID, at), label, list)
		out.State = &field
		out.Fields = withoutFraction(sc.Numbers)
	}
	return out
}

// freshWords says what a new part usually measures, and what can be typed at all.
func (s *server) freshWords(c shop.CarVersion, p *point.Point, slots []string) string {
	if len(p.Values) == 0 {
		return ""
	}
	v := p.Values[0]
	taken := "from " + s.shop.Display(c, v.Name, v.Min, p) + " to " + s.shop.Display(c, v.Name, v.Max, p)
	for _, l := range s.shop.Catalogue().Laws {
		elsewhere := func(at string) bool { base, _ := point.SplitAt(at); return point.Axle(base) != l.Axle }
		if l.Axle != "" && slices.ContainsFunc(slots, elsewhere) {
			continue
		}
		if l.Point != p.ID || l.Wear == nil || l.Wear.New == 0 || l.Wear.Value != "" && l.Wear.Value != v.Name {
			continue
		}
		low, high := l.Wear.New-2*l.Wear.NewSD, l.Wear.New+2*l.Wear.NewSD
		if l.Wear.NewSpec != "" || !(l.Wear.NewSD > 0) || math.IsNaN(low) {
			break
		}
		return "New parts usually measure " + s.shop.Display(c, v.Name, math.Max(v.Min, low), p) + " to " + s.shop.Display(c, v.Name, math.Min(v.Max, high), p) + "; taken is " + taken + "."
	}
	return "Taken is " + taken + "."
}
