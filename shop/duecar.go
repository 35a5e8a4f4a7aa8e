package shop

import (
	"cmp"
	"context"
	"slices"
	"time"

	"witnessmark/core/outlook"
)

// dueFacts is all that a car's due lines are worked out from.
type dueFacts struct {
	sight    dueSight
	car      *carFacts
	dealings *dueDealings
	settled  map[string]*Kept[Settled]
	// changed is when the newest of the facts and records arrived.
	changed int64
}

func (s *Shop) dueFactsOf(ctx context.Context, r Reader, carID, day string, learned *ClassesFact) (in dueFacts, err error) {
	if in.sight, err = dueSightOf(ctx, r, carID, day, idOf(learned)); err != nil {
		return in, err
	}
	if in.car, err = readFacts(ctx, r, carID, &carFacts{}); err != nil {
		return in, err
	}
	if in.dealings, err = s.dealingsOf(ctx, r, carID); err != nil {
		return in, err
	}
	if in.settled, err = settledOf(ctx, r, carID); err != nil {
		return in, err
	}
	in.changed = in.car.newest()
	last, err := r.Records(ctx, RecordFilter{CarID: carID, Last: true, Limit: 1})
	if len(last) > 0 {
		in.changed = max(in.changed, last[0].ReceivedAt)
	}
	if learned != nil {
		in.changed = max(in.changed, learned.ReceivedAt)
	}
	return in, err
}

// newest is when the newest fact of a car arrived.
func (f *carFacts) newest() int64 {
	at := int64(0)
	for i := range f.versions {
		at = max(at, f.versions[i].ReceivedAt)
	}
	for i := range f.rounds {
		at = max(at, f.rounds[i].ReceivedAt)
	}
	for i := range f.odometer {
		at = max(at, f.odometer[i].ReceivedAt)
	}
	for i := range f.renewals {
		at = max(at, f.renewals[i].ReceivedAt)
	}
	if n := len(f.history); n > 0 {
		at = max(at, f.history[n-1].ReceivedAt)
	}
	return at
}

// lastSeen is the newest day of a round or an odometer reading; empty for a car that nobody has seen.
func (f *carFacts) lastSeen() string {
	day := ""
	for i := range f.rounds {
		day = max(day, f.rounds[i].On)
	}
	for i := range f.odometer {
		day = max(day, f.odometer[i].On)
	}
	return day
}

// dueFrom works out what a car is due for.
func (s *Shop) dueFrom(in *dueFacts, classes outlook.Classes, learned *ClassesFact) *dueEntry {
	e := &dueEntry{sight: in.sight, car: in.car.car()}
	e.car.Facets, e.car.Specs = nil, nil // nobody asks for them here, and they are many
	today := day(in.sight.day)
	if seen := in.car.lastSeen(); seen == "" || day(seen).Before(today.AddDate(-DueAsleep, 0, 0)) {
		e.asleep = seen != ""
		return e
	}
	o := s.outlookOf(in.car, window{day: in.sight.day}, classes, learned)
	lines := s.dueFindings(in, o)
	lines = append(lines, s.dueBack(in, o)...)
	lines = append(lines, s.dueLook(o)...)
	lines = append(lines, s.dueForecasts(in, o)...)
	until := isoDay(today.AddDate(0, 0, DueDays))
	moves := ms(today) // what is foreseen may move with the day
	for i := range lines {
		l := &lines[i]
		if l.On == "" || l.On > until {
			continue
		}
		l.CarID, l.Settled, l.Changed = e.car.CarID, in.settled[l.ID], in.changed
		if l.Kind == DueLook || l.Kind == DueForecast || l.Km > 0 || l.On <= in.sight.day {
			l.Changed = max(l.Changed, moves)
		}
		e.lines = append(e.lines, *l)
	}
	slices.SortStableFunc(e.lines, func(a, b DueLine) int { return compareDue(&a, &b) })
	if len(e.lines) > dueLines {
		e.lines = e.lines[:dueLines]
	}
	s.keepChanged(e)
	return e
}

// keepChanged gives lines that say the same as before the moment at which they came to say it.
func (s *Shop) keepChanged(e *dueEntry) {
	old, ok := s.due.get(e.car.CarID)
	if !ok {
		return
	}
	for i := range e.lines {
		l := &e.lines[i]
		for was := range slices.Values(old.lines) {
			at := was.Changed
			if was.Changed = l.Changed; was == *l && l.On > e.sight.day && at < l.Changed {
				l.Changed = at
			}
		}
	}
}

// compareDue orders lines by day, then by kind, car and id.
func compareDue(a, b *DueLine) int {
	return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(slices.Index(DueKinds, a.Kind), slices.Index(DueKinds, b.Kind)),
		cmp.Compare(a.CarID, b.CarID), cmp.Compare(a.ID, b.ID))
}

// plainDay writes a day as owners read it: "Tuesday, 1 December 2026".
func plainDay(iso string) string {
	t, err := time.Parse(dayLayout, iso)
	if err != nil {
		return iso
	}
	return t.Format("Monday, 2 January 2006")
}
