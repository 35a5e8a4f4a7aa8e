package round

import (
	"strconv"
	"time"

	"witnessmark/core/facet"
	"witnessmark/core/point"
)

// Resolve completes what was said of a car: what was given stands; then what its engine family brings, what its VIN's
// market and its registration say; then the catalogue's defaults, which are marked as not given.
func Resolve(cat *point.Catalogue, given map[string]string, market string, registered time.Time) facet.Set {
	s := make(facet.Set, len(cat.Facets))
	for id, d := range cat.Facets {
		s[id] = facet.Value{Value: d.Default}
	}
	if market != "" {
		s["market"] = facet.Value{Value: market}
	}
	if !registered.IsZero() {
		s["first-registration-year"] = facet.Value{Value: strconv.Itoa(registered.Year()), Given: true}
	}
	for id, v := range given {
		if v != "" {
			s[id] = facet.Value{Value: v, Given: true}
		}
	}
	for _, f := range cat.Families {
		if ok, _ := f.When.Holds(s); !ok {
			continue
		}
		for id, v := range f.Facets {
			if !s[id].Given {
				s[id] = facet.Value{Value: v}
			}
		}
	}
	return s
}

// WithFamilies adds the specifications that the car's families bring, where the car has none of its own.
func WithFamilies(cat *point.Catalogue, s facet.Set, specs map[string]Spec) map[string]Spec {
	out := make(map[string]Spec, len(specs))
	for id, v := range specs {
		out[id] = v
	}
	for _, f := range cat.Families {
		if ok, _ := f.When.Holds(s); !ok {
			continue
		}
		for _, fs := range f.Specs {
			if _, has := out[fs.ID]; has {
				continue
			}
			spec := Spec{Origin: fs.Origin}
			if d := cat.Specs[fs.ID]; d != nil && d.Text() {
				spec.Text = fs.Text
			} else {
				spec.Numbers = map[string]float64{"": fs.Value}
			}
			out[fs.ID] = spec
		}
	}
	return out
}
