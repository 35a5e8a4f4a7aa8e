package shop

import (
	"context"
	"slices"
	"sync"
)

// carFacts is all that is known of one car at one moment. Nobody changes it once it is made.
type carFacts struct {
	seq      int64        // the newest order of arrival among the facts
	versions []CarVersion // oldest first
	rounds   []RoundFact  // newest first
	odometer []OdometerFact
	renewals []RenewalFact
	// withdrawn is the newest order of arrival among the withdrawals; what they withdraw is in none of the lists.
	withdrawn int64
	history   []ReadingFact // in order of arrival
}

// car is the current version.
func (f *carFacts) car() CarVersion { return f.versions[len(f.versions)-1] }

// Bounds of what is kept in memory: a reading takes less than a kilobyte.
const (
	keptCars     = 32
	keptReadings = 40_000
)

// memory keeps the facts of the cars that were asked for last, so that walking a round does not read a long history again for
// every page. What is kept counts only while the store has nothing newer of the car, so that it may be asked by many programs.
type memory struct {
	mu   sync.Mutex
	cars map[string]*carFacts
	used []string // ids, the last used at the end
}

func (m *memory) get(carID string) *carFacts {
	m.mu.Lock()
	defer m.mu.Unlock()
	f := m.cars[carID]
	if f != nil {
		m.touch(carID)
	}
	return f
}

func (m *memory) put(carID string, f *carFacts) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if old := m.cars[carID]; old != nil && old.seq > f.seq {
		return // somebody else read later facts meanwhile
	}
	if m.cars == nil {
		m.cars = map[string]*carFacts{}
	}
	m.cars[carID] = f
	m.touch(carID)
	readings := 0
	for _, f := range m.cars {
		readings += len(f.history)
	}
	for len(m.used) > 1 && (len(m.used) > keptCars || readings > keptReadings) {
		readings -= len(m.cars[m.used[0]].history)
		delete(m.cars, m.used[0])
		m.used = m.used[1:]
	}
}

func (m *memory) touch(carID string) {
	if i := slices.Index(m.used, carID); i >= 0 {
		m.used = slices.Delete(m.used, i, i+1)
	}
	m.used = append(m.used, carID)
}

// facts gives all that is known of a car, from memory as far as nothing newer has arrived.
func (s *Shop) facts(ctx context.Context, r Reader, carID string) (*carFacts, error) {
	seq, err := r.CarSeq(ctx, carID)
	if err != nil {
		return nil, err
	}
	old := s.memory.get(carID)
	if old != nil && old.seq == seq {
		return old, nil
	}
	if old == nil || old.seq > seq { // a later moment than the reader's
		old = &carFacts{}
	}
	f, err := readFacts(ctx, r, carID, old)
	if err != nil {
		return nil, err
	}
	f.seq = seq
	if _, writing := r.(Writer); !writing { // what is being written may yet be undone
		s.memory.put(carID, f)
	}
	return f, nil
}

// readFacts reads a car's facts, of the readings only those that came after old ones.
func readFacts(ctx context.Context, r Reader, carID string, old *carFacts) (*carFacts, error) {
	var f carFacts
	var err error
	if f.versions, err = r.CarVersions(ctx, carID); err != nil {
		return nil, err
	}
	if len(f.versions) == 0 {
		return nil, ErrNotFound
	}
	if f.rounds, err = r.Rounds(ctx, carID); err != nil {
		return nil, err
	}
	if f.odometer, err = r.Odometer(ctx, carID); err != nil {
		return nil, err
	}
	if f.renewals, err = r.Renewals(ctx, carID); err != nil {
		return nil, err
	}
	gone, err := r.Withdrawals(ctx, carID)
	if err != nil {
		return nil, err
	}
	if n := len(gone); n > 0 {
		f.withdrawn = gone[n-1].Seq
	}
	more, err := r.HistoryAfter(ctx, carID, lastReading(old))
	if err != nil {
		return nil, err
	}
	f.history = append(slices.Clip(old.history), more...)
	return &f, nil
}

// lastReading is the order of arrival of the newest reading.
func lastReading(f *carFacts) int64 {
	if n := len(f.history); n > 0 {
		return f.history[n-1].Seq
	}
	return 0
}
