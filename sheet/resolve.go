package sheet

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"time"

	"witnessmark/core/facet"
	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/vin"
)

// Resolve checks a sheet against the catalogue and turns it into what the core judges. All faults are reported
// together, each with its place in the sheet. A round taken after latest is refused as one in the future; the zero time
// refuses none.
func (s *Sheet) Resolve(cat *point.Catalogue, latest time.Time) (round.Car, round.Taken, error) {
	r := resolver{cat: cat, s: s, latest: latest}
	car := r.car()
	taken := r.taken(&car)
	if len(r.faults) > 0 {
		return round.Car{}, round.Taken{}, errors.New(strings.Join(r.faults, "\n"))
	}
	return car, taken, nil
}

type resolver struct {
	cat    *point.Catalogue
	s      *Sheet
	latest time.Time
	faults []string
}

func (r *resolver) fault(place, format string, args ...any) {
	r.faults = append(r.faults, r.s.at(place)+fmt.Sprintf(format, args...))
}

func (r *resolver) car() round.Car {
	v := r.s.Vehicle
	car := round.Car{VIN: v.VIN, OdometerKm: -1}
	market := ""
	if v.VIN != "" && v.VIN != "…" {
		n, err := vin.Parse(v.VIN)
		if err != nil {
			r.fault("vehicle.vin", "%v", err)
		} else if c := n.Check(); c.Binding && !c.OK {
			r.fault("vehicle.vin", "the check digit is %c; expected %s", v.VIN[8], c.Digit)
		} else {
			market = n.Market()
		}
	}
	if v.OdometerKm != nil {
		car.OdometerKm = *v.OdometerKm
		if !(car.OdometerKm >= 0 && car.OdometerKm <= maxKm) {
			r.fault("vehicle.odometer_km", "%g; expected 0 to %d", car.OdometerKm, maxKm)
		}
	}
	if v.FirstRegistered != "" {
		t, err := Month(v.FirstRegistered)
		if err != nil {
			r.fault("vehicle.first_registered", "%v", err)
		}
		car.FirstRegistered = t
	}
	given := r.facets()
	car.Facets = round.Resolve(r.cat, given, market, car.FirstRegistered)
	car.Specs = r.specs(car.Facets)
	return car
}

// maxKm is further than any passenger car has been driven.
const maxKm = 5_000_000

func (r *resolver) facets() map[string]string {
	out := map[string]string{}
	for _, id := range sortedKeys(r.s.Vehicle.Facets) {
		v := r.s.Vehicle.Facets[id].Text
		d := r.cat.Facets[id]
		if d == nil {
			r.fault("vehicle.facets", "there is no facet %q; expected one of %s", shorten(id), strings.Join(r.cat.FacetOrder, ", "))
			continue
		}
		if err := d.Check(v); err != nil {
			r.fault("vehicle.facets."+id, "%v", err)
			continue
		}
		out[id] = v
	}
	return out
}

func (r *resolver) specs(facets facet.Set) map[string]round.Spec {
	out := map[string]round.Spec{}
	for _, id := range sortedKeys(r.s.Vehicle.Specs) {
		given := r.s.Vehicle.Specs[id]
		place := "vehicle.specs." + id
		d := r.cat.Specs[id]
		if d == nil {
			r.fault(place, "there is no such specification; expected one of %s", strings.Join(sortedKeys(r.cat.Specs), ", "))
			continue
		}
		if text := CheckSpec(d, given.Text, given.Numbers); text != "" {
			r.fault(place, "%s", text)
			continue
		}
		out[id] = round.Spec{Text: given.Text, Numbers: given.Numbers}
	}
	return out
}

// CheckSpec says what is wrong with a specification's value; empty when nothing is.
func CheckSpec(d *point.Spec, text string, numbers map[string]float64) string {
	if d.Text() {
		switch {
		case len(numbers) > 0 && len(d.Values) > 0:
			return "a number; expected one of " + strings.Join(d.Values, ", ")
		case len(numbers) > 0:
			return "a number; expected a text"
		case len(d.Values) > 0 && !slices.Contains(d.Values, text):
			return fmt.Sprintf("%q; expected one of %s", shorten(text), strings.Join(d.Values, ", "))
		case text == "" || len(text) > maxSpecText:
			return fmt.Sprintf("expected a text of 1 to %d letters", maxSpecText)
		}
		return ""
	}
	if text != "" || len(numbers) == 0 {
		return fmt.Sprintf("%q; expected a number in %s", shorten(text), d.Unit)
	}
	for _, at := range sortedKeys(numbers) {
		x := numbers[at]
		base, _ := point.SplitAt(at)
		switch {
		case at != "" && d.By == "":
			return fmt.Sprintf("position %q; expected one figure for the whole car", shorten(at))
		case at != "" && !point.ValidPosition(base):
			return fmt.Sprintf("position %q; expected FL, FR, RL, RR, F or R", shorten(at))
		}
		if math.IsNaN(x) || math.IsInf(x, 0) || d.Min != nil && x < *d.Min || d.Max != nil && x > *d.Max {
			return fmt.Sprintf("%g %s is out of range%s", x, d.Unit, rangeWords(d))
		}
	}
	return ""
}

// maxSpecText bounds a specification that is a free text, in bytes.
const maxSpecText = 80

func rangeWords(d *point.Spec) string {
	if d.Min != nil && d.Max != nil {
		return fmt.Sprintf("; expected %g to %g", *d.Min, *d.Max)
	}
	return ""
}

func (r *resolver) taken(car *round.Car) round.Taken {
	t := round.Taken{AmbientC: r.s.AmbientDegC}
	on, err := Date(r.s.TakenOn)
	if err != nil {
		r.fault("taken_on", "%v", err)
	}
	t.On = on
	if a := t.AmbientC; a != nil && !(*a >= -60 && *a <= 60) {
		r.fault("ambient_degC", "%g; expected -60 to 60", *a)
	}
	if err == nil && !r.latest.IsZero() && on.After(r.latest) {
		r.fault("taken_on", "%s lies in the future", r.s.TakenOn)
	}
	if !car.FirstRegistered.IsZero() && err == nil && on.Before(car.FirstRegistered) {
		r.fault("taken_on", "%s lies before the car's first registration", r.s.TakenOn)
	}
	car.Renewed = r.renewed(on, car.OdometerKm)
	for i, given := range r.s.Readings {
		if x, ok := r.reading(i, given, car); ok {
			t.Readings = append(t.Readings, x)
		}
	}
	r.repeats()
	return t
}

func (r *resolver) renewed(on time.Time, odometer float64) []round.Renewal {
	items := r.cat.Items()
	var out []round.Renewal
	for i, n := range r.s.Renewed {
		place := fmt.Sprintf("renewed[%d]", i)
		if !slices.Contains(items, n.Item) {
			r.fault(place+".item", "there is no item %q; expected one of %s", shorten(n.Item), strings.Join(items, ", "))
		}
		if n.At != "" && !point.ValidPosition(n.At) {
			r.fault(place+".at", "there is no position %q; expected a corner such as FL, an axle F or R, or a counted part such as 1", shorten(n.At))
		}
		date, err := Date(n.Date)
		if err != nil {
			r.fault(place+".date", "%v", err)
		} else if !on.IsZero() && date.After(on) {
			r.fault(place+".date", "%s lies after the day of the round", n.Date)
		}
		km := -1.0
		if n.OdometerKm != nil {
			km = *n.OdometerKm
			if !(km >= 0 && km <= maxKm) {
				r.fault(place+".odometer_km", "%g; expected 0 to %d", km, maxKm)
			} else if odometer >= 0 && km > odometer {
				r.fault(place+".odometer_km", "%g is more than the car's odometer shows now (%g): the odometer would have run back", km, odometer)
			}
		}
		out = append(out, round.Renewal{Item: n.Item, At: n.At, OdometerKm: km, Date: date})
	}
	return out
}

func (r *resolver) reading(i int, g Reading, car *round.Car) (round.Reading, bool) {
	place := fmt.Sprintf("readings[%d]", i)
	p := r.cat.Point(g.Point)
	if p == nil {
		r.fault(place+".point", "there is no point %q%s", shorten(g.Point), r.likely(g.Point))
		return round.Reading{}, false
	}
	out := round.Reading{Point: g.Point, At: g.At, State: g.State, Code: g.Code, Values: g.Values, Skipped: g.Skipped, Note: g.Note}
	if ok, why := p.Applies.Holds(car.Facets); !ok {
		if g.Skipped == "" && p.Applies.Firm(car.Facets) {
			r.fault(place+".point", "%s does not apply to this car: %s. Correct the facet or leave the reading out", p.ID, why)
			return out, false
		}
		if g.Skipped != "" {
			return out, true
		}
	}
	faults := round.Check(p, out, car.Facets)
	for _, f := range faults {
		r.fault(place+"."+f.Field, "%s: %s", p.ID, f.Text)
	}
	return out, len(faults) == 0
}

// repeats refuses two readings of one place: a sheet has no order that could tell which one counts.
func (r *resolver) repeats() {
	first := map[[2]string]int{}
	for i, g := range r.s.Readings {
		key := [2]string{g.Point, g.At}
		if j, ok := first[key]; ok {
			r.fault(fmt.Sprintf("readings[%d]", i), "%s was read already in readings[%d]", strings.TrimSpace(shorten(g.Point)+" "+shorten(g.At)), j)
			continue
		}
		first[key] = i
	}
}

// likely suggests the point whose id shares the longest beginning, when that is most of it.
func (r *resolver) likely(id string) string {
	best, n := "", 0
	for _, p := range r.cat.Points {
		k := 0
		for k < len(id) && k < len(p.ID) && id[k] == p.ID[k] {
			k++
		}
		if k > n {
			best, n = p.ID, k
		}
	}
	if n >= 4 {
		return fmt.Sprintf("; did you mean %s?", best)
	}
	return ""
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}
