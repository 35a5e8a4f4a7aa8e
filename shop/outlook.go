package shop

import (
	"context"
	"slices"
	"sort"
	"time"

	"witnessmark/core/facet"
	"witnessmark/core/odometer"
	"witnessmark/core/outlook"
	"witnessmark/core/round"
)

// CarOutlook is a car with what comes: for each item when it reaches its limit, and when to look again.
type CarOutlook struct {
	Car     CarVersion
	Facets  facet.Set
	Outlook outlook.Outlook
	// LastRound is the newest round by the outlook's day; nil when there is none.
	LastRound *RoundFact
	// PerYearKm is the distance of a year by the odometer; 0 when not known.
	PerYearKm float64
	// Learned is what the classes were learned from; nil while they are the catalogue's laws alone.
	Learned *ClassesFact
}

// Outlook says what comes on a car, seen from the server's day.
func (s *Shop) Outlook(ctx context.Context, carID string) (*CarOutlook, error) {
	return s.outlookWithin(ctx, carID, carID, window{day: s.today()})
}

// outlookThen says what comes on a car, seen from the day of a round with what was known by then, so that a report does not move
// as time goes by. Only what the workshop has learned since moves it.
func (s *Shop) outlookThen(ctx context.Context, r RoundFact) (*CarOutlook, error) {
	return s.outlookWithin(ctx, r.CarID, r.ID, window{day: r.On, before: r.ReceivedAt})
}

// outlookWithin works a car's outlook out from the facts within a window, or gives the one kept under an id where nothing has changed.
func (s *Shop) outlookWithin(ctx context.Context, carID, id string, w window) (*CarOutlook, error) {
	f, err := s.factsOf(ctx, carID)
	if err != nil {
		return nil, err
	}
	classes, learned, err := s.Classes(ctx)
	if err != nil {
		return nil, err
	}
	key := sight{facts: f, day: w.day, classes: idOf(learned), upTo: w.before}
	if o := s.seen.get(id, key); o != nil {
		return o, nil
	}
	o := s.outlookOf(f, w, classes, learned)
	s.seen.put(id, key, o)
	return o, nil
}

// factsOf reads all facts of a car in a transaction of their own.
func (s *Shop) factsOf(ctx context.Context, carID string) (f *carFacts, err error) {
	err = s.store.View(ctx, func(r Reader) (err error) {
		f, err = s.facts(ctx, r, carID)
		return err
	})
	return f, err
}

// idOf is the id of what was learned, empty for nothing.
func idOf(c *ClassesFact) string {
	if c == nil {
		return ""
	}
	return c.ID
}

// History gives what the core looks ahead from: all that is known of a car by a day.
func (s *Shop) History(ctx context.Context, r Reader, carID string, today time.Time) (outlook.History, error) {
	f, err := s.facts(ctx, r, carID)
	if err != nil {
		return outlook.History{}, err
	}
	return s.historyOf(f, window{day: today.Format(dayLayout)}), nil
}

// window says which of a car's facts count.
type window struct {
	// day is the last that counts.
	day string
	// through is the last order of arrival that counts; 0 is all.
	through int64
	// but is a round whose readings don't count, though its distance does.
	but string
	// before leaves out rounds of the same day that arrived after this moment; 0 is none.
	before int64
}

// holds reports whether a fact that arrived as number seq counts.
func (w window) holds(seq int64) bool { return w.through == 0 || seq <= w.through }

// round reports whether a round counts.
func (w window) round(r *RoundFact) bool {
	return w.holds(r.Seq) && r.On <= w.day && (w.before == 0 || r.On < w.day || r.ReceivedAt <= w.before)
}

// version is a car's last version that counts; of a car that came later, its first.
func (w window) version(f *carFacts) CarVersion {
	for i := len(f.versions) - 1; i > 0; i-- {
		if w.holds(f.versions[i].Seq) {
			return f.versions[i]
		}
	}
	return f.versions[0]
}

// outlookOf computes a car's outlook from its facts.
func (s *Shop) outlookOf(f *carFacts, w window, classes outlook.Classes, learned *ClassesFact) *CarOutlook {
	h := s.historyOf(f, w)
	o := &CarOutlook{Car: w.version(f), Facets: h.Car.Facets, Outlook: outlook.Of(s.cat, h, classes), Learned: learned}
	for i := range f.rounds { // newest first
		if w.round(&f.rounds[i]) {
			o.LastRound = &f.rounds[i]
			break
		}
	}
	var past []odometer.Reading
	for _, d := range h.Odometer {
		past = append(past, odometer.Reading{On: d.On, KM: d.Km})
	}
	if km, ok := odometer.PerYear(past); ok {
		o.PerYearKm = km
	}
	return o
}

// historyOf turns a car's facts into what the core looks ahead from.
func (s *Shop) historyOf(f *carFacts, w window) outlook.History {
	version := w.version(f)
	h := outlook.History{Today: day(w.day)}
	var rounds []RoundFact
	for i := range f.rounds {
		if w.round(&f.rounds[i]) {
			rounds = append(rounds, f.rounds[i])
		}
	}
	own := slices.DeleteFunc(slices.Clone(f.odometer), func(o OdometerFact) bool { return !w.holds(o.Seq) || o.On > w.day })
	now := -1.0
	for _, o := range joinDistances(own, rounds) {
		h.Odometer = append(h.Odometer, outlook.Distance{On: day(o.On), Km: o.Km})
		now = o.Km
	}
	renewals := slices.DeleteFunc(slices.Clone(f.renewals), func(n RenewalFact) bool { return !w.holds(n.Seq) || n.On > w.day })
	h.Car = s.judgedCar(version, now, renewals)
	h.Car.Specs = round.WithFamilies(s.cat, h.Car.Facets, h.Car.Specs)
	for _, fam := range s.cat.Families {
		if ok, _ := fam.When.Holds(h.Car.Facets); ok {
			h.Families = append(h.Families, fam.ID)
		}
	}
	h.Looks = s.looks(f, rounds, w)
	return h
}

// looks lists the readings that count now, oldest round first.
func (s *Shop) looks(f *carFacts, rounds []RoundFact, w window) []outlook.Look {
	byRound := map[string][]ReadingFact{}
	for _, m := range f.history {
		if w.holds(m.Seq) && m.RoundID != w.but {
			byRound[m.RoundID] = append(byRound[m.RoundID], m)
		}
	}
	sort.SliceStable(rounds, func(i, j int) bool {
		if rounds[i].On != rounds[j].On {
			return rounds[i].On < rounds[j].On
		}
		return rounds[i].Seq < rounds[j].Seq
	})
	var out []outlook.Look
	for _, r := range rounds {
		on := day(r.On)
		for _, m := range current(byRound[r.ID]) {
			if m.Skipped == "" && s.cat.Point(m.Point) != nil {
				out = append(out, outlook.Look{On: on, Km: r.Km, Reading: reading(m), After: r.Baseline()})
			}
		}
	}
	return out
}
