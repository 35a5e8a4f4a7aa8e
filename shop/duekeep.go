package shop

import (
	"context"
	"errors"
	"slices"
	"sync"
	"time"

	"witnessmark/core/outlook"
)

// dueState keeps the due lines of every car in memory. They follow from the facts, so they are worked out again after a start.
type dueState struct {
	mu   sync.Mutex
	cars map[string]*dueEntry
	// seq, day and classes are what the last whole pass has seen; ready is true once there was one.
	seq          int64
	day, classes string
	ready        bool
	done, total  int
	// one lets only one pass run at a time.
	one  sync.Mutex
	wake chan struct{}
}

// dueEntry is what one car is due for. Nobody changes it once it is made.
type dueEntry struct {
	sight  dueSight
	car    CarVersion
	asleep bool
	lines  []DueLine
}

// dueSight is what an entry was worked out from: the car's newest fact and record, the day, and what was learned.
type dueSight struct {
	facts, records int64
	day, classes   string
}

// Bounds of working the list out (the project's own figures).
const (
	dueAtOnce   = 6    // cars are worked out while somebody waits for a page
	dueGlance   = 3000 // cars are looked through for changes while somebody waits
	duePassTime = time.Minute
)

// KeepDue works out the due list in the background until ctx ends: first every car, then those whose facts have changed, and on a new
// day or after learning every car again. What goes wrong is told to say, and tried again later.
func (s *Shop) KeepDue(ctx context.Context, say func(what string, err error)) {
	tick := time.NewTicker(duePassTime)
	defer tick.Stop()
	for {
		if _, err := s.duePass(ctx, -1); err != nil && ctx.Err() == nil {
			say("working out the due list", err)
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		case <-s.due.wake:
		}
	}
}

// dueCatchUp works out what has changed, where that is little and no pass is under way; else the background does it.
func (s *Shop) dueCatchUp(ctx context.Context) error {
	s.due.mu.Lock()
	ready, total := s.due.ready, s.due.total
	s.due.mu.Unlock()
	if ready && total <= dueGlance {
		left, err := s.duePass(ctx, dueAtOnce)
		if err != nil || left == 0 {
			return err
		}
	}
	select {
	case s.due.wake <- struct{}{}:
	default:
	}
	return nil
}

// duePass works out the cars that have changed, at most so many unless that is negative, and says how many are left. A pass that is
// under way already is not waited for where there is a most.
func (s *Shop) duePass(ctx context.Context, most int) (left int, err error) {
	if most < 0 {
		s.due.one.Lock()
	} else if !s.due.one.TryLock() {
		return 1, nil
	}
	defer s.due.one.Unlock()
	classes, learned, err := s.Classes(ctx)
	if err != nil {
		return 0, err
	}
	day, class := s.today(), idOf(learned)
	var seq int64
	if err := s.store.View(ctx, func(r Reader) error { seq, err = r.LastSeq(ctx); return err }); err != nil {
		return 0, err
	}
	if s.due.seen(seq, day, class) {
		return 0, nil
	}
	stale, changed, err := s.dueStale(ctx, day, class)
	if err != nil {
		return 0, err
	}
	for i, id := range stale {
		if most >= 0 && i >= min(most, changed) { // a new day or new laws are no reason to wait for a page
			return len(stale) - i, nil
		}
		e, err := s.dueEntry(ctx, id, classes, learned)
		if errors.Is(err, ErrNotFound) {
			continue
		}
		if err != nil {
			return len(stale) - i, err
		}
		s.due.put(id, e)
		if err := ctx.Err(); err != nil {
			return len(stale) - i, err
		}
	}
	s.due.passed(seq, day, class)
	return 0, nil
}

// dueStale lists the cars whose lines were worked out from something else, first those of which something is new, which it counts, then those
// of which only the day or the learned laws are. It tells the list how many there are.
func (s *Shop) dueStale(ctx context.Context, day, classes string) (stale []string, changed int, err error) {
	total := 0
	var older []string
	for after := ""; ; {
		var ids []string
		err := s.store.View(ctx, func(r Reader) error {
			if ids, err = r.CarIDs(ctx, after, idsAtOnce); err != nil {
				return err
			}
			for _, id := range ids {
				now, err := dueSightOf(ctx, r, id, day, classes)
				if err != nil {
					return err
				}
				switch have, ok := s.due.get(id); {
				case !ok || have.sight.facts != now.facts || have.sight.records != now.records:
					stale = append(stale, id)
				case have.sight != now:
					older = append(older, id)
				}
			}
			return nil
		})
		if err != nil {
			return nil, 0, err
		}
		total += len(ids)
		if len(ids) < idsAtOnce {
			s.due.count(total-len(stale)-len(older), total)
			return append(stale, older...), len(stale), nil
		}
		after = ids[len(ids)-1]
	}
}

// dueSightOf is what a car's lines would be worked out from now.
func dueSightOf(ctx context.Context, r Reader, carID, day, classes string) (dueSight, error) {
	seq, err := r.CarSeq(ctx, carID)
	if err != nil {
		return dueSight{}, err
	}
	list, err := r.Records(ctx, RecordFilter{CarID: carID, Last: true, Limit: 1})
	if err != nil {
		return dueSight{}, err
	}
	at := dueSight{facts: seq, day: day, classes: classes}
	if len(list) > 0 {
		at.records = list[0].Seq
	}
	return at, nil
}

func (d *dueState) seen(seq int64, day, classes string) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.ready && d.seq == seq && d.day == day && d.classes == classes
}

func (d *dueState) passed(seq int64, day, classes string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.ready, d.seq, d.day, d.classes, d.done = true, seq, day, classes, d.total
}

func (d *dueState) count(done, total int) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.done, d.total = done, total
}

func (d *dueState) get(carID string) (*dueEntry, bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	e, ok := d.cars[carID]
	return e, ok
}

func (d *dueState) put(carID string, e *dueEntry) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.cars == nil {
		d.cars = map[string]*dueEntry{}
	}
	d.cars[carID] = e
	d.done = min(d.done+1, d.total)
}

// list picks and sorts the lines of all cars.
func (d *dueState) list(f DueFilter, today string) *DueList {
	d.mu.Lock()
	defer d.mu.Unlock()
	out := &DueList{Today: today, Ready: d.ready, Done: d.done, Total: d.total}
	for _, e := range d.cars {
		if e.asleep {
			out.Asleep++
		}
		for i := range e.lines {
			if f.keeps(&e.lines[i]) {
				out.Rows = append(out.Rows, DueRow{e.lines[i], &e.car})
			}
		}
	}
	slices.SortFunc(out.Rows, func(a, b DueRow) int { return compareDue(&a.DueLine, &b.DueLine) })
	if len(out.Rows) > dueInMemory {
		out.Through = out.Rows[dueInMemory].On
		out.Rows = out.Rows[:dueInMemory]
	}
	return out
}

// dueEntry works out what a car is due for from what is known now.
func (s *Shop) dueEntry(ctx context.Context, carID string, classes outlook.Classes, learned *ClassesFact) (*dueEntry, error) {
	var in dueFacts
	err := s.store.View(ctx, func(r Reader) (err error) {
		in, err = s.dueFactsOf(ctx, r, carID, s.today(), learned)
		return err
	})
	if err != nil {
		return nil, err
	}
	if old, ok := s.due.get(carID); ok && old.sight == in.sight {
		return old, nil
	}
	return s.dueFrom(&in, classes, learned), nil
}
