package simulate

import (
	"testing"
	"time"

	"witnessmark/core/facet"
	"witnessmark/core/odometer"
	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/vin"
	"witnessmark/shop"
)

// book follows the facts as a store would and complains of what it could not keep.
type book struct {
	t        *testing.T
	cat      *point.Catalogue
	ids      map[string]bool
	cars     map[string]facet.Set
	rounds   map[string]shop.RoundFact
	ended    map[string]bool
	readings int
	history  map[string][]odometer.Reading
	renewals int
	skipped  int
	second   int
	taken    map[string]bool
}

func newBook(t *testing.T, cat *point.Catalogue) *book {
	return &book{t: t, cat: cat, ids: map[string]bool{}, cars: map[string]facet.Set{}, rounds: map[string]shop.RoundFact{}, ended: map[string]bool{},
		history: map[string][]odometer.Reading{}, taken: map[string]bool{}}
}

func (b *book) put(f shop.Fact) {
	if err := f.Check(); err != nil {
		b.t.Error(err)
	}
	switch {
	case f.Car != nil:
		b.id(f.Car.ID, f.Car.ReceivedAt)
		b.car(f.Car)
	case f.Odometer != nil:
		b.id(f.Odometer.ID, f.Odometer.ReceivedAt)
		b.odometer(f.Odometer.CarID, f.Odometer.On, f.Odometer.Km)
	case f.Renewal != nil:
		b.id(f.Renewal.ID, f.Renewal.ReceivedAt)
		b.renewals++
		if b.cars[f.Renewal.CarID] == nil || f.Renewal.Item == "" || f.Renewal.On > lastDay.Format(time.DateOnly) {
			b.t.Errorf("renewal %+v", *f.Renewal)
		}
	case f.Round != nil:
		b.id(f.Round.ID, f.Round.ReceivedAt)
		b.rounds[f.Round.ID] = *f.Round
		b.odometer(f.Round.CarID, f.Round.On, f.Round.Km)
	case f.RoundEnd != nil:
		b.id(f.RoundEnd.ID, f.RoundEnd.ReceivedAt)
		b.ended[f.RoundEnd.RoundID] = true
	case f.Reading != nil:
		b.id(f.Reading.ID, f.Reading.ReceivedAt)
		b.reading(f.Reading)
	}
}

func (b *book) id(id string, at int64) {
	if len(id) != 36 || id[14] != '7' || b.ids[id] {
		b.t.Errorf("id %q is malformed or used twice", id)
	}
	if at > lastDay.UnixMilli() {
		b.t.Errorf("%s is received in the future", id)
	}
	b.ids[id] = true
}

func (b *book) car(v *shop.CarVersion) {
	registered, err := time.Parse("2006-01", v.FirstRegistered)
	if err != nil {
		b.t.Error(err)
	}
	number, err := vin.Parse(v.VIN)
	if err != nil {
		b.t.Error(err)
	}
	if c := number.Check(); c.Binding && !c.OK {
		b.t.Errorf("VIN %s has a wrong check digit", v.VIN)
	}
	for id, x := range v.Facets {
		if err := b.cat.Facets[id].Check(x); err != nil {
			b.t.Error(err)
		}
	}
	for id, s := range v.Specs {
		if b.cat.Specs[id] == nil || s.Origin == "" {
			b.t.Errorf("specification %s: %+v", id, s)
		}
	}
	b.cars[v.CarID] = round.Resolve(b.cat, v.Facets, number.Market(), registered)
}

func (b *book) odometer(car, on string, km float64) {
	day, err := time.Parse(time.DateOnly, on)
	if err != nil {
		b.t.Error(err)
	}
	next := odometer.Reading{On: day, KM: km}
	if h := b.history[car]; len(h) > 0 && (!day.After(h[len(h)-1].On) || km <= h[len(h)-1].KM) {
		b.t.Errorf("car %s: %s %g km after %+v", car, on, km, h[len(h)-1])
	}
	if q := odometer.Check(b.history[car], next); q != nil {
		b.t.Errorf("odometer of %s: %s", car, q.Message)
	}
	b.history[car] = append(b.history[car], next)
}

func (b *book) reading(r *shop.ReadingFact) {
	set, p := b.cars[r.CarID], b.cat.Point(r.Point)
	if p == nil || set == nil || b.rounds[r.RoundID].CarID != r.CarID || b.ended[r.RoundID] {
		b.t.Fatalf("reading out of place: %+v", *r)
	}
	if ok, why := p.Applies.Holds(set); !ok {
		b.t.Errorf("%s does not apply: %s", p.ID, why)
	}
	if r.TakenAt > r.ReceivedAt {
		b.t.Errorf("%s was received before it was taken", r.ID)
	}
	if r.Withdrawn {
		return
	}
	b.readings++
	key := r.RoundID + "/" + r.Point + "/" + r.At
	if b.taken[key] {
		b.second++
	}
	b.taken[key] = true
	if r.Skipped != "" {
		b.skipped++
	}
	in := round.Reading{Point: r.Point, At: r.At, State: r.State, Code: r.Code, Values: r.Values, Skipped: r.Skipped, Note: r.Note}
	for _, f := range round.Check(p, in, set) {
		b.t.Errorf("%s %s: %s: %s", r.Point, r.At, f.Field, f.Text)
	}
}
