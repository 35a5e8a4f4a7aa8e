package web

import (
	"net/url"

	"witnessmark/core/point"
	"witnessmark/shop"
)

// sharedScreens builds the fields of the values that are asked once for all places: what was typed, else what is
// stored, else what the car's specification, the last round or the day's air says.
func (s *server) sharedScreens(e entry) []numberScreen {
	var out []numberScreen
	for _, v := range e.step.Point.Values {
		if !v.Companion {
			continue
		}
		name := fieldName("with", e.step.Point.ID, "", v.Name)
		n := s.numberScreen(e, name, v, "")
		n.Error = nil
		if !e.form.Has(name) {
			n.Text, n.Hint = s.companion(e, v)
		}
		out = append(out, n)
	}
	return out
}

// companion guesses a value that is asked once, and says where the guess comes from.
func (s *server) companion(e entry, v point.Value) (text, from string) {
	write := func(x float64) string { return bareNumber(s.shop.Display(e.view.Car, v.Name, x, e.step.Point)) }
	for _, at := range e.step.Slots {
		if x, ok := e.step.Current[at].Values[v.Name]; ok {
			return write(x), ""
		}
	}
	if x, ok := e.view.Car.Specs[v.Remember].Numbers[""]; ok && v.Remember != "" {
		return write(x), "From the car's figures. Change it if it differs."
	}
	if v.Name == "degC" {
		if t := e.view.Round.AmbientC; t != nil {
			return write(*t), "The air at the start of the round. Change it if it differs."
		}
		return "", ""
	}
	for _, at := range e.step.Slots {
		if x, ok := e.step.Last[at].Reading.Values[v.Name]; ok {
			return write(x), "As last time. Change it if it differs."
		}
	}
	return "", ""
}

// specLinks names the figures that the limits need and the car lacks, with the way to enter them.
func (s *server) specLinks(v *shop.RoundView, step shop.StepView) []specLink {
	var out []specLink
	for _, d := range step.Specs {
		at := lackingAt(d, v.Car.Specs[d.ID], step.Slots)
		out = append(out, specLink{Text: d.Name, Ask: d.Ask, Href: "/cars/" + url.PathEscape(v.Car.CarID) + "/edit#" + FieldID(specName(d.ID, at))})
	}
	return out
}

// lackingAt gives the first position of a figure for which nothing is entered.
func lackingAt(d *point.Spec, entered shop.SpecEntry, slots []string) string {
	for _, slot := range slots {
		at, _ := point.SplitAt(slot)
		switch d.By {
		case "axle":
			at = point.Axle(at)
		case "":
			return ""
		}
		if _, has := entered.Numbers[at]; !has {
			return at
		}
	}
	return ""
}
