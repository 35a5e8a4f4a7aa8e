package outlook_test

import (
	"testing"
	"time"

	"witnessmark/catalogue"
	"witnessmark/core/outlook"
	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/vin"
	"witnessmark/internal/simulate"
)

var lastDay = time.Date(2026, time.November, 25, 0, 0, 0, 0, time.UTC)

func loaded(t testing.TB) *point.Catalogue {
	t.Helper()
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	return cat
}

// known is a car of the simulated workshop: what its facts tell, and the truth that no reader of the facts can know.
type known struct {
	h     outlook.History
	truth simulate.CarTruth
}

// folder collects the facts of one car.
type folder struct {
	cat    *point.Catalogue
	id     string
	h      outlook.History
	on     time.Time
	km     float64
	last   map[[2]string]int // of the round under way: where a place's look stands
	places []outlook.Look
}

func date(t testing.TB, text string) time.Time {
	t.Helper()
	d, err := time.Parse(time.DateOnly, text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// workshop draws a simulated workshop and turns its facts into histories.
func workshop(t testing.TB, cat *point.Catalogue, o simulate.Options) []known {
	t.Helper()
	o.Today = lastDay
	seq, truth := simulate.Fleet(cat, o)
	var out []known
	var f *folder
	done := func() {
		if f != nil {
			f.closeRound()
			out = append(out, known{h: f.h})
		}
	}
	for fact := range seq {
		switch {
		case fact.Car != nil:
			if f == nil || f.id != fact.Car.CarID {
				done()
				f = &folder{cat: cat, id: fact.Car.CarID, h: outlook.History{Today: lastDay}}
			}
			registered, _ := time.Parse("2006-01", fact.Car.FirstRegistered)
			number, err := vin.Parse(fact.Car.VIN)
			if err != nil {
				t.Fatal(err)
			}
			renewed := f.h.Car.Renewed
			f.h.Car = round.Car{VIN: fact.Car.VIN, FirstRegistered: registered, Specs: map[string]round.Spec{}, Renewed: renewed,
				Facets: round.Resolve(cat, fact.Car.Facets, number.Market(), registered)}
			for id, s := range fact.Car.Specs {
				f.h.Car.Specs[id] = round.Spec{Text: s.Text, Numbers: s.Numbers, Origin: s.Origin}
			}
			f.families()
		case fact.Odometer != nil:
			f.h.Odometer = append(f.h.Odometer, outlook.Distance{On: date(t, fact.Odometer.On), Km: fact.Odometer.Km})
		case fact.Renewal != nil:
			r := fact.Renewal
			f.h.Car.Renewed = append(f.h.Car.Renewed, round.Renewal{Item: r.Item, At: r.At, OdometerKm: r.Km, Date: date(t, r.On)})
		case fact.Round != nil:
			f.closeRound()
			f.on, f.km, f.last = date(t, fact.Round.On), fact.Round.Km, map[[2]string]int{}
			f.h.Odometer = append(f.h.Odometer, outlook.Distance{On: f.on, Km: f.km})
		case fact.Reading != nil:
			r := fact.Reading
			key := [2]string{r.Point, r.At}
			if i, ok := f.last[key]; ok {
				f.places[i].Reading.Skipped = "corrected"
			}
			if !r.Withdrawn {
				f.last[key] = len(f.places)
				f.places = append(f.places, outlook.Look{On: f.on, Km: f.km, Reading: round.Reading{Point: r.Point, At: r.At, State: r.State, Code: r.Code, Values: r.Values, Skipped: r.Skipped}})
			}
		}
	}
	done()
	for i := range out {
		out[i].truth = truth.Cars[i]
	}
	return out
}

func (f *folder) closeRound() {
	f.h.Looks = append(f.h.Looks, f.places...)
	f.places, f.last = nil, map[[2]string]int{}
}

func (f *folder) families() {
	f.h.Families = nil
	for _, fam := range f.cat.Families {
		if ok, _ := fam.When.Holds(f.h.Car.Facets); ok {
			f.h.Families = append(f.h.Families, fam.ID)
		}
	}
}
