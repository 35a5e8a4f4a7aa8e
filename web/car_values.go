package web

import (
	"net/url"
	"sort"
	"strings"

	"witnessmark/shop"
)

// carValues writes a stored car into the names of the form's controls.
func (s *server) carValues(c shop.CarVersion) url.Values {
	cat := s.shop.Catalogue()
	v := url.Values{}
	set := func(name, value string) {
		if value != "" {
			v.Set(name, value)
		}
	}
	set("plate", c.Plate)
	set("vin", c.VIN)
	set("description", c.Description)
	set("owner-name", c.Owner.Name)
	set("owner-phone", c.Owner.Phone)
	set("owner-email", c.Owner.Email)
	set("first-registered", c.FirstRegistered)
	set("units", c.Units)
	for id, val := range c.Facets {
		set("facet."+id, val)
	}
	for id, e := range c.Specs {
		set("origin."+id, e.Origin)
		set(specName(id, ""), e.Text)
		for at, n := range e.Numbers {
			if d := cat.Specs[id]; d != nil {
				set(specName(id, at), specTyped(d, n))
			}
		}
	}
	return v
}

// differences lists the entries in which what is stored now differs from what was typed.
func (s *server) differences(now, typed url.Values) []changed {
	names := map[string]bool{}
	for name := range now {
		names[name] = true
	}
	for name := range typed {
		if name == "plate" || name == "vin" || name == "description" || name == "first-registered" || name == "units" ||
			strings.HasPrefix(name, "owner-") || strings.HasPrefix(name, "facet.") || strings.HasPrefix(name, "spec.") || strings.HasPrefix(name, "origin.") {
			names[name] = true
		}
	}
	var out []changed
	for name := range names {
		a, b := strings.TrimSpace(now.Get(name)), strings.TrimSpace(typed.Get(name))
		if a != b {
			out = append(out, changed{s.carLabel(name), orNothing(a), orNothing(b)})
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Label < out[j].Label })
	return out
}

// carLabel gives the label of a control by its name.
func (s *server) carLabel(name string) string {
	kind, rest, _ := strings.Cut(name, ".")
	id, at, _ := strings.Cut(rest, ".")
	cat := s.shop.Catalogue()
	switch kind {
	case "facet":
		if d := cat.Facets[id]; d != nil {
			return d.Name
		}
	case "spec", "origin":
		if d := cat.Specs[id]; d != nil {
			label := d.Name
			if at != "" {
				label += " " + at
			}
			if kind == "origin" {
				label += ", where it comes from"
			}
			return label
		}
	}
	if l := carLabels[name]; l != "" {
		return l
	}
	return name
}

// carLabels are the labels of the controls of the car's own page and of the forms on it.
var carLabels = map[string]string{"plate": "Number plate", "vin": "VIN", "description": "The car in a few words", "owner-name": "Owner",
	"owner-phone": "Owner's telephone", "owner-email": "Owner's e-mail", "first-registered": "First registered", "units": "Units",
	"odometer": "Odometer", "odometer-on": "Read on",
	"renewal-item": "Item", "renewal-at": "Where", "renewal-on": "Day", "renewal-km": "Odometer", "renewal-note": "Note",
	"odometer-km": "Odometer", "odometer-note": "Note",
	"round-depth": "How deep", "round-on": "Day", "round-km": "Odometer", "round-ambient": "Air temperature",
}

func orNothing(s string) string {
	if s == "" {
		return "nothing"
	}
	return s
}
