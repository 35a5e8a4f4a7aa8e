package shop

import (
	"cmp"
	"context"
	"sort"
	"strings"
	"time"

	"github.com/google/uuid"

	"witnessmark/core/facet"
	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/unit"
	"witnessmark/core/vin"
)

// Config is what a Shop is made of. Store, Photos and Catalogue are needed.
type Config struct {
	Store     Store
	Photos    Photos
	Catalogue *point.Catalogue
	// Now is the server's clock; nil is time.Now.
	Now func() time.Time
	// NewID makes ids; nil makes version-7 UUIDs.
	NewID func() string
	// Name is the workshop's name as it stands on reports; may be empty.
	Name string
	// Patience is how long a plan is searched for while somebody waits; 0 is two seconds. What is not proven by then is said.
	Patience time.Duration
}

// Shop does the workshop's business. It is safe for concurrent use.
type Shop struct {
	store  Store
	photos Photos
	cat    *point.Catalogue
	now    func() time.Time
	newID  func() string
	name   string
	memory memory

	patience time.Duration

	seen     seen[*CarOutlook]
	foreseen seen[map[Place]Expected]
	study    study
	closed   closed
	prices   priceMemory
	due      dueState
	mailWake chan struct{} // somebody agreed to mails, or decided about one
}

// New makes a Shop.
func New(c Config) *Shop {
	s := &Shop{store: c.Store, photos: c.Photos, cat: c.Catalogue, now: c.Now, newID: c.NewID, name: c.Name, patience: cmp.Or(c.Patience, 2*time.Second)}
	s.study.wake = make(chan struct{}, 1)
	s.due.wake, s.mailWake = make(chan struct{}, 1), make(chan struct{}, 1)
	if s.now == nil {
		s.now = time.Now
	}
	if s.newID == nil {
		s.newID = func() string { return uuid.Must(uuid.NewV7()).String() }
	}
	return s
}

// Catalogue gives the catalogue that judges.
func (s *Shop) Catalogue() *point.Catalogue { return s.cat }

// Name gives the workshop's name.
func (s *Shop) Name() string { return s.name }

// Now gives the server's time.
func (s *Shop) Now() time.Time { return s.now() }

// NewID makes an id for a form, so that sending the form twice stores it once.
func (s *Shop) NewID() string { return s.newID() }

// today is the server's day as it is written.
func (s *Shop) today() string { return s.now().Format(dayLayout) }

const dayLayout = "2006-01-02"

// ms gives a time as facts keep it.
func ms(t time.Time) int64 { return t.UnixMilli() }

// put stores facts in one transaction.
func (s *Shop) put(ctx context.Context, facts ...Fact) error {
	return s.store.Update(ctx, func(w Writer) error {
		for _, f := range facts {
			if _, err := w.Put(ctx, f); err != nil {
				return err
			}
		}
		return nil
	})
}

// FacetsOf completes what was said of a car with its family, its market, its year and the defaults.
func (s *Shop) FacetsOf(c CarVersion) facet.Set {
	market := ""
	if v, err := vin.Parse(c.VIN); err == nil {
		market = v.Market()
	}
	return round.Resolve(s.cat, c.Facets, market, month(c.FirstRegistered))
}

// month reads 2009-04, the zero time when it is empty or no month.
func month(text string) time.Time {
	t, _ := time.Parse("2006-01", text)
	return t
}

// day reads 2026-03-21, the zero time when it is no day.
func day(text string) time.Time {
	t, _ := time.Parse(dayLayout, text)
	return t
}

// system gives the units that a car's owner and workshop use.
func system(c CarVersion) unit.System {
	if c.Units == "us" {
		return unit.US
	}
	return unit.Metric
}

// judgedCar turns a car's facts into what the core judges.
func (s *Shop) judgedCar(c CarVersion, km float64, renewals []RenewalFact) round.Car {
	car := round.Car{VIN: c.VIN, OdometerKm: km, FirstRegistered: month(c.FirstRegistered), Units: system(c), Facets: s.FacetsOf(c), Specs: map[string]round.Spec{}}
	for id, e := range c.Specs {
		car.Specs[id] = round.Spec{Text: e.Text, Numbers: e.Numbers, Origin: e.Origin}
	}
	for _, r := range renewals {
		car.Renewed = append(car.Renewed, renewal(r))
	}
	return car
}

// renewal turns a fact into what the core judges.
func renewal(r RenewalFact) round.Renewal {
	return round.Renewal{Item: r.Item, At: r.At, OdometerKm: r.Km, Date: day(r.On)}
}

// reading turns a fact into what the core judges.
func reading(f ReadingFact) round.Reading {
	return round.Reading{Point: f.Point, At: f.At, State: f.State, Code: f.Code, Values: f.Values, Skipped: f.Skipped, Note: f.Note}
}

// current keeps the last entry of every place, in order of first arrival, and drops withdrawn ones.
func current(facts []ReadingFact) []ReadingFact {
	last := map[[2]string]int{}
	var out []ReadingFact
	for _, f := range facts {
		key := [2]string{f.Point, f.At}
		if i, ok := last[key]; ok {
			out[i] = f
			continue
		}
		last[key] = len(out)
		out = append(out, f)
	}
	kept := out[:0:0]
	for _, f := range out {
		if !f.Withdrawn {
			kept = append(kept, f)
		}
	}
	return kept
}

// Item is something that is renewed from time to time.
type Item struct{ ID, Name string }

// Items lists what can be renewed, by name.
func (s *Shop) Items() []Item {
	ids := s.cat.Items()
	out := make([]Item, len(ids))
	for i, id := range ids {
		out[i] = Item{id, itemName(id)}
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Name < out[j].Name })
	return out
}

func itemName(id string) string {
	words := strings.ReplaceAll(id, "-", " ")
	return strings.ToUpper(words[:1]) + words[1:]
}
