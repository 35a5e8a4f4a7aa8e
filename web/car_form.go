package web

import (
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"witnessmark/core/facet"
	"witnessmark/core/point"
	"witnessmark/core/unit"
	"witnessmark/shop"
)

// carForm is the page on which a car is described, new or known.
type carForm struct {
	Form   *form
	CarID  string // empty for a new car
	Groups []facetGroup
	Specs  []specField
	// Families are the engine families that the catalogue knows.
	Families []option
	// Changed lists what somebody else stored while this form was open.
	Changed []changed
}

// facetGroup is a heading with the facets under it.
type facetGroup struct {
	Name   string
	Fields []fieldView
	// Said counts the answers given; Open unfolds the group because something in it is wrong.
	Said int
	Open bool
}

// specField is one figure of the car, with a control for each position and its origin.
type specField struct {
	Spec   *point.Spec
	Fields []fieldView
	Origin fieldView
	Given  bool
}

// changed is one entry that differs between what is stored now and what was typed.
type changed struct{ Label, Theirs, Yours string }

// facetGroups puts facets under headings, so that a long list can be read; a facet that is in none goes under "Also".
var facetGroups = []struct {
	name string
	ids  []string
}{
	{"Rules and year", []string{"market", "first-registration-year"}},
	{"Engine", []string{"fuel", "engine-code", "engine-family", "turbo", "particulate-filter", "adblue", "cam-drive", "interference-engine", "fan-drive", "oil-check", "coolant-check", "air-filter-count", "battery-type"}},
	{"Gearbox and driven wheels", []string{"gearbox", "driven-axle"}},
	{"Steering and suspension", []string{"steering-assist", "steering-fluid", "steering-reservoir-filter", "air-suspension"}},
	{"Brakes", []string{"brake-actuation", "brake-servo", "front-brakes", "rear-brakes", "parking-brake", "load-sensing-valve", "abs", "esc"}},
	{"Wheels and tyres", []string{"tyre-season", "tpms", "spare"}},
	{"Body, cabin and lamps", []string{"aircon", "cabin-filter-count", "airbags", "roof", "rear-doors", "towbar", "fog-front", "headlamp-levelling", "headlamp-washers"}},
}

// specOrigins are the usual places where a figure comes from.
var specOrigins = []string{"stamped on the part", "label or placard on the car", "owner's handbook", "maker's data", "measured on this car"}

// carForm builds the page from what is typed or stored; assumed are the facets with their defaults.
func (s *server) carForm(f *form, carID string, assumed facet.Set) carForm {
	cat := s.shop.Catalogue()
	f.Labels = s.carLabel
	out := carForm{Form: f, CarID: carID}
	placed := map[string]bool{}
	for _, g := range facetGroups {
		group := facetGroup{Name: g.name}
		for _, id := range g.ids {
			if d := cat.Facets[id]; d != nil {
				group.add(f, d, assumed)
				placed[id] = true
			}
		}
		out.Groups = append(out.Groups, group)
	}
	also := facetGroup{Name: "Also"}
	for _, id := range cat.FacetOrder {
		if d := cat.Facets[id]; d != nil && !placed[id] {
			also.add(f, d, assumed)
		}
	}
	out.Groups = slices.DeleteFunc(append(out.Groups, also), func(g facetGroup) bool { return len(g.Fields) == 0 })
	for _, fam := range cat.Families {
		out.Families = append(out.Families, option{Value: fam.ID, Label: fam.Name})
	}
	ids := make([]string, 0, len(cat.Specs))
	for id := range cat.Specs {
		ids = append(ids, id)
	}
	slices.SortFunc(ids, func(a, b string) int { return strings.Compare(cat.Specs[a].Name, cat.Specs[b].Name) })
	for _, id := range ids {
		out.Specs = append(out.Specs, specControls(f, cat.Specs[id]))
	}
	return out
}

// add puts a facet's control into the group.
func (g *facetGroup) add(f *form, d *facet.Definition, assumed facet.Set) {
	name := "facet." + d.ID
	v := field(f, name, d.Name, "hint="+d.Ask)
	unsaid := "not said"
	if a := assumed[d.ID]; a.Value != "" && !a.Given {
		unsaid = "assumed: " + facetWord(a.Value)
	}
	if d.ID == "engine-family" {
		v.List = "families"
	}
	switch {
	case len(d.Values) > 0:
		v.Options = []option{{Value: "", Label: capital(unsaid)}}
		for _, val := range d.Values {
			v.Options = append(v.Options, option{Value: val, Label: capital(facetWord(val))})
		}
		if v.Value != "" && !slices.Contains(d.Values, v.Value) {
			v.Options = append(v.Options, option{Value: v.Value, Label: v.Value})
		}
	default:
		v.Hint += " (" + unsaid + ")"
		if v.Value != "" {
			v.Hint = d.Ask
		}
		if d.Number != nil {
			v.Mode = "numeric"
		}
	}
	if v.Value != "" {
		g.Said++
	}
	g.Open = g.Open || v.Error != nil
	g.Fields = append(g.Fields, v)
}

// facetWord writes a facet's value for a person.
func facetWord(v string) string {
	switch v {
	case "eu":
		return "European Union"
	case "us":
		return "United States"
	case "atf":
		return "ATF (the red type)"
	case "agm":
		return "AGM"
	}
	return strings.ReplaceAll(v, "-", " ")
}

// specPositions lists the positions that a figure is asked for at.
func specPositions(s *point.Spec) []string {
	switch s.By {
	case "corner":
		return point.Corners
	case "axle":
		return point.Axles
	}
	return []string{""}
}

// specName is the name of a figure's control.
func specName(id, at string) string {
	if at == "" {
		return "spec." + id
	}
	return "spec." + id + "." + at
}

// specControls builds the controls of one figure.
func specControls(f *form, s *point.Spec) specField {
	out := specField{Spec: s}
	for _, at := range specPositions(s) {
		label := s.Name
		if at != "" {
			label = capital(point.Where(at))
		}
		v := field(f, specName(s.ID, at), label)
		if len(s.Values) > 0 {
			v.Options = []option{{Label: "Not known"}}
			for _, w := range s.Values {
				v.Options = append(v.Options, option{Value: w, Label: w})
			}
		} else if !s.Text() {
			v.Hint = "With its unit, such as " + specExample(s)
		}
		out.Given = out.Given || v.Value != "" || v.Error != nil
		out.Fields = append(out.Fields, v)
	}
	name := "origin." + s.ID
	out.Origin = field(f, name, "Where it comes from")
	out.Origin.Options = []option{{Label: "Not said"}}
	for _, o := range specOrigins {
		out.Origin.Options = append(out.Origin.Options, option{Value: o, Label: capital(o)})
	}
	if v := out.Origin.Value; v != "" && !slices.Contains(specOrigins, v) {
		out.Origin.Options = append(out.Origin.Options, option{Value: v, Label: v})
	}
	return out
}

// specExample gives a figure as it may be typed.
func specExample(s *point.Spec) string {
	x := 10.0
	switch {
	case s.Default != nil:
		x = *s.Default
	case s.Min != nil && s.Max != nil:
		x = math.Round((*s.Min + *s.Max) / 2)
	}
	return specTyped(s, x)
}

// specTyped writes a figure with its unit, as the form shows it and reads it back, whatever units the car's pages use.
func specTyped(s *point.Spec, x float64) string {
	text := strconv.FormatFloat(x, 'f', -1, 64)
	if u, ok := unit.ByName(s.Unit); ok && s.Unit != "fraction" && u.String() != "" {
		return text + " " + u.String()
	}
	return text
}

// carInput reads the form.
func (s *server) carInput(v url.Values) shop.CarInput {
	in := shop.CarInput{
		CarID: v.Get("car-id"), VersionID: v.Get("version-id"), Base: v.Get("base"),
		Plate: v.Get("plate"), VIN: v.Get("vin"), Description: v.Get("description"),
		OwnerName: v.Get("owner-name"), OwnerPhone: v.Get("owner-phone"), OwnerEmail: v.Get("owner-email"),
		FirstRegistered: v.Get("first-registered"), Units: v.Get("units"),
		Odometer: v.Get("odometer"), OdometerOn: v.Get("odometer-on"),
		Facets: map[string]string{}, Specs: map[string]shop.SpecInput{}, Confirmed: v.Get("confirmed") != "",
	}
	cat := s.shop.Catalogue()
	for id := range cat.Facets {
		if val := strings.TrimSpace(v.Get("facet." + id)); val != "" {
			in.Facets[id] = val
		}
	}
	for id, spec := range cat.Specs {
		e := shop.SpecInput{Origin: v.Get("origin." + id)}
		for _, at := range specPositions(spec) {
			val := strings.TrimSpace(v.Get(specName(id, at)))
			switch {
			case val == "":
			case spec.Text():
				e.Text = val
			default:
				if e.Numbers == nil {
					e.Numbers = map[string]string{}
				}
				e.Numbers[at] = val
			}
		}
		if e.Text != "" || len(e.Numbers) > 0 {
			in.Specs[id] = e
		}
	}
	return in
}
