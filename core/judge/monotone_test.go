package judge_test

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"witnessmark/core/judge"
	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/verdict"
)

var someDay = time.Date(2026, 3, 21, 0, 0, 0, 0, time.UTC)

// cars of several markets, years and equipments, with every figure known and with none.
func cars(cat *point.Catalogue) map[string]round.Car {
	out := map[string]round.Car{}
	for _, market := range []string{"eu", "us"} {
		for _, year := range []string{"1978", "1990", "1999", "2008", "2011", "2020", ""} {
			given := map[string]string{"market": market, "first-registration-year": year, "rear-brakes": "drum", "cam-drive": "belt", "tyre-season": "winter"}
			if year == "2008" {
				given["fuel"], given["turbo"] = "diesel", "yes"
			}
			facets := round.Resolve(cat, given, "", time.Time{})
			full := map[string]round.Spec{}
			for id, d := range cat.Specs {
				switch {
				case len(d.Values) > 0:
					full[id] = round.Spec{Text: d.Values[0]}
				case !d.Text():
					full[id] = round.Spec{Numbers: map[string]float64{"": (*d.Min + *d.Max) / 2}}
				}
			}
			out[market+year+" bare"] = round.Car{OdometerKm: -1, Facets: facets}
			out[market+year+" figures"] = round.Car{OdometerKm: -1, Facets: facets, Specs: full}
		}
	}
	return out
}

// TestWorseIsNeverBetter walks each measured value from end to end. Away from its best stretch, towards lower values
// when a limit says so and towards higher ones when another does, the verdict may only get worse. Unjudged counts as
// less than any verdict: a figure that is missing is not needed once a known limit is broken.
func TestWorseIsNeverBetter(t *testing.T) {
	cat := base(t)
	checked := 0
	for name, car := range cars(cat) {
		for _, p := range cat.Points {
			// A catalogue of this point alone judges it alike and a hundred times as fast.
			cat := only(cat, p)
			for _, v := range p.Values {
				falls, rises := directions(p, v.Name)
				if !falls && !rises {
					continue
				}
				at := ""
				if slots := p.Positions.Slots(car.Facets); len(slots) > 0 {
					at = slots[0]
				}
				checked++
				if why := walk(cat, car, p, v, at, falls, rises); why != "" {
					t.Errorf("%s, car %s: %s", p.ID, name, why)
				}
			}
		}
	}
	if checked < 400 {
		t.Errorf("only %d walks", checked)
	}
}

func only(cat *point.Catalogue, p *point.Point) *point.Catalogue {
	one := *cat
	one.Points = []*point.Point{p}
	return one.New()
}

// directions tells on which sides of a value its limits lie. A derived value rises and falls with the one it is from.
func directions(p *point.Point, name string) (falls, rises bool) {
	for _, l := range p.Limits {
		of := l.Of
		if of == "" || of == "derived" {
			of = p.Values[0].Name
		}
		if of == name {
			falls, rises = falls || l.Is.Falls(), rises || !l.Is.Falls()
		}
	}
	return falls, rises
}

// grid lists values to try: evenly spread, and close to either side of each fixed limit.
func grid(p *point.Point, v point.Value) []float64 {
	const steps = 200
	var out []float64
	for i := range steps + 1 {
		out = append(out, v.Min+(v.Max-v.Min)*float64(i)/steps)
	}
	for _, l := range p.Limits {
		if l.Number != nil {
			for _, d := range []float64{-1e-3, 0, 1e-3} {
				if x := *l.Number + d; x >= v.Min && x <= v.Max {
					out = append(out, x)
				}
			}
		}
	}
	slices.Sort(out)
	return out
}

func walk(cat *point.Catalogue, car round.Car, p *point.Point, v point.Value, at string, falls, rises bool) string {
	xs := grid(p, v)
	places := make([]int, len(xs))
	for i, x := range xs {
		r := round.Reading{Point: p.ID, At: at, Values: map[string]float64{v.Name: x}}
		if len(p.States) > 0 {
			r.State = p.States[0].ID
		}
		for _, w := range p.Values {
			if w.Companion {
				r.Values[w.Name] = (w.Min + w.Max) / 2
			}
		}
		places[i] = place(cat, car, r)
	}
	best := slices.Index(places, slices.Min(places))
	for i := 1; i < len(xs); i++ {
		up := places[i] > places[i-1]
		down := places[i] < places[i-1]
		switch {
		case down && (!falls || i > best && rises):
			return fmt.Sprintf("%s %.4g is judged better than %.4g although more is worse", v.Name, xs[i], xs[i-1])
		case up && (!rises || i <= best && falls):
			return fmt.Sprintf("%s %.4g is judged worse than %.4g although more is better", v.Name, xs[i], xs[i-1])
		}
	}
	return ""
}

func place(cat *point.Catalogue, car round.Car, r round.Reading) int {
	res := judge.Judge(cat, car, round.Taken{On: someDay, Readings: []round.Reading{r}}, point.Full)
	v := verdict.Unjudged
	for _, f := range res.Findings {
		if f.Point.ID == r.Point && f.At == r.At {
			v = f.Verdict
		}
	}
	return v.Place()
}

// An older tyre is never judged better than a younger one.
func TestOlderTyreIsNeverBetter(t *testing.T) {
	cat := base(t)
	car := round.Car{OdometerKm: -1, Facets: round.Resolve(cat, nil, "", time.Time{})}
	last := -1
	for made := someDay; made.Year() > 2000; made = made.AddDate(0, 0, -35) {
		year, week := made.ISOWeek()
		week = int(math.Max(1, float64(min(week, 52)-1)))
		got := place(cat, car, round.Reading{Point: "tyre-date", At: "FL", Code: fmt.Sprintf("%02d%02d", week, year%100)})
		if got < last {
			t.Fatalf("a tyre of week %d of %d is judged better than a younger one", week, year)
		}
		last = got
	}
	if last != verdict.Due.Place() {
		t.Errorf("a tyre of 25 years is at place %d", last)
	}
}
