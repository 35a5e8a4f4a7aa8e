package judge_test

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"witnessmark/catalogue"
	"witnessmark/core/judge"
	"witnessmark/core/point"
	"witnessmark/core/round"
)

// base loads the base catalogue; the core's tests judge with what ships.
func base(t testing.TB) *point.Catalogue {
	t.Helper()
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	return cat
}

func sorted[V any](m map[string]V) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

// drawCar draws a car: any facets that the catalogue allows, some figures, some renewals.
func drawCar(t *rapid.T, cat *point.Catalogue, on time.Time) round.Car {
	given := map[string]string{}
	for _, id := range rapid.SliceOfNDistinct(rapid.SampledFrom(cat.FacetOrder), 0, 8, rapid.ID).Draw(t, "facets said") {
		switch d := cat.Facets[id]; {
		case len(d.Values) > 0:
			given[id] = rapid.SampledFrom(d.Values).Draw(t, id)
		case id == "engine-family":
			given[id] = rapid.SampledFrom([]string{"tarn-16", "orrin-22", "some-other"}).Draw(t, id)
		case id == "first-registration-year":
			given[id] = fmt.Sprint(rapid.IntRange(1970, 2026).Draw(t, id))
		case d.Number != nil:
			given[id] = fmt.Sprint(rapid.IntRange(*d.Number.From, *d.Number.To).Draw(t, id))
		}
	}
	car := round.Car{OdometerKm: -1, Specs: map[string]round.Spec{}}
	if rapid.Bool().Draw(t, "odometer known") {
		car.OdometerKm = float64(rapid.IntRange(0, 400_000).Draw(t, "odometer"))
	}
	car.Facets = round.Resolve(cat, given, rapid.SampledFrom([]string{"", "eu", "us"}).Draw(t, "market by VIN"), time.Time{})
	for _, id := range rapid.SliceOfNDistinct(rapid.SampledFrom(sorted(cat.Specs)), 0, 8, rapid.ID).Draw(t, "figures known") {
		car.Specs[id] = drawSpec(t, cat.Specs[id])
	}
	items := []string{"engine-oil", "brake-fluid", "coolant", "air-filter", "cabin-filter", "steering-fluid", "gearbox-fluid", "wiper-blades"}
	for _, item := range rapid.SliceOfDistinct(rapid.SampledFrom(items), rapid.ID).Draw(t, "renewed") {
		car.Renewed = append(car.Renewed, round.Renewal{Item: item, Date: on.AddDate(0, 0, -rapid.IntRange(0, 4000).Draw(t, "days ago")),
			OdometerKm: float64(rapid.IntRange(-1, 300_000).Draw(t, "at km"))})
	}
	return car
}

func drawSpec(t *rapid.T, d *point.Spec) round.Spec {
	if len(d.Values) > 0 {
		return round.Spec{Text: rapid.SampledFrom(d.Values).Draw(t, d.ID)}
	}
	if d.Text() {
		return round.Spec{Text: "as the maker says"}
	}
	at := ""
	if d.By != "" {
		at = rapid.SampledFrom([]string{"", "F", "R", "FL", "RR"}).Draw(t, "for")
	}
	x := rapid.Float64Range(*d.Min, *d.Max).Draw(t, d.ID)
	return round.Spec{Numbers: map[string]float64{at: math.Min(*d.Max, math.Max(*d.Min, math.Round(x*100)/100))}}
}

// drawTaken draws a round: up to 60 readings that pass round.Check, each place once.
func drawTaken(t *rapid.T, cat *point.Catalogue, car round.Car, on time.Time) round.Taken {
	taken := round.Taken{On: on}
	if rapid.Bool().Draw(t, "air noted") {
		c := rapid.Float64Range(-30, 40).Draw(t, "air")
		taken.AmbientC = &c
	}
	seen := map[string]bool{}
	for range rapid.IntRange(0, 60).Draw(t, "looks") {
		p := rapid.SampledFrom(cat.Points).Draw(t, "point")
		slots := append(p.Positions.Slots(car.Facets), p.Positions.Also...)
		if len(slots) == 0 {
			continue
		}
		r := drawReading(t, p, rapid.SampledFrom(slots).Draw(t, "at"))
		if faults := round.Check(p, r, car.Facets); len(faults) > 0 {
			t.Fatalf("%+v does not pass the check: %v", r, faults)
		}
		if key := r.Point + " " + r.At; !seen[key] {
			seen[key] = true
			taken.Readings = append(taken.Readings, r)
		}
	}
	return taken
}

func drawReading(t *rapid.T, p *point.Point, at string) round.Reading {
	r := round.Reading{Point: p.ID, At: at}
	if rapid.IntRange(0, 9).Draw(t, "skipped at 0") == 0 {
		r.Skipped = "could not reach it"
		return r
	}
	switch {
	case p.Kind == point.Code:
		r.Code = fmt.Sprintf("%02d%02d", rapid.IntRange(1, 53).Draw(t, "week"), rapid.IntRange(0, 40).Draw(t, "year"))
		return r
	case p.Kind == point.Level && rapid.Bool().Draw(t, "as a fraction"):
		r.Values = map[string]float64{"fraction": rapid.Float64Range(-2, 3).Draw(t, "fraction")}
	case p.Kind != point.Measure:
		r.State = p.States[rapid.IntRange(0, len(p.States)-1).Draw(t, "state")].ID
	}
	for i, v := range p.Values {
		needed := p.Kind == point.Measure && i == 0
		if !needed && !rapid.Bool().Draw(t, v.Name+" given") {
			continue
		}
		if r.Values == nil {
			r.Values = map[string]float64{}
		}
		x := rapid.Float64Range(v.Min, v.Max).Draw(t, v.Name)
		if v.Step > 0 {
			x = math.Min(v.Max, math.Max(v.Min, math.Round(x/v.Step)*v.Step))
		}
		r.Values[v.Name] = x
	}
	return r
}

// write writes a result as text, everything that a reader sees of it in order.
func write(r judge.Result) string {
	var b strings.Builder
	for _, f := range r.Findings {
		fmt.Fprintf(&b, "%s %s %s %q %q %q %q %q %q %q %q %q", f.Point.ID, f.At, f.Verdict, f.Why, f.Source, f.Category, f.Regulation, f.Jobs, f.Cautions,
			f.Recheck, f.Means, f.Wait)
		if f.Limit != nil {
			fmt.Fprintf(&b, " %+v", *f.Limit)
		}
		b.WriteByte('\n')
	}
	for _, n := range r.NotLooked {
		fmt.Fprintf(&b, "not looked %s %s %s\n", n.Point.ID, n.At, n.Reason)
	}
	for _, n := range r.NotApplicable {
		fmt.Fprintf(&b, "not applicable %s %s\n", n.Point.ID, n.Reason)
	}
	fmt.Fprintf(&b, "%d of %d, %s\n", r.Looked, r.Places, r.Catalogue)
	return b.String()
}
