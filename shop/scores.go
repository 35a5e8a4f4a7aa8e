package shop

import (
	"context"
	"fmt"
	"slices"
	"sort"
	"strings"
	"time"

	"witnessmark/core/outlook"
	"witnessmark/core/point"
	"witnessmark/core/score"
	"witnessmark/core/verdict"
)

// Scores say how right the forecasts of the past were: *Are we right?* For each year the laws are learned again from what was known
// at its beginning, and what they say of the first and the last round of the year is held against what was read there. They are
// worked out in the background after learning and after each start, and kept in memory only: they follow from the facts.
type Scores struct {
	// Ready is false while they are not worked out yet.
	Ready bool
	// LearnedID is the id of the ClassesFact after which they were worked out, On the day of it.
	LearnedID string
	On        string
	// Cars were scored of OfCars; of very many only every so manyth is.
	Cars, OfCars int
	Years        []YearScore
	// Laws are in order of their names.
	Laws []LawScore
	// All joins the laws; its median error means nothing, as units differ.
	All LawScore
	// TooLittle says why less can be said than one would like; empty otherwise.
	TooLittle string
}

// YearScore is how right the forecasts of one year were.
type YearScore struct {
	Year int
	// Cars and Looks are what was known at the year's beginning.
	Cars, Looks int
	Ranges      score.Coverage
	Chances     score.Calibration
}

// LawScore is how right the forecasts of one law were. Measured laws have Ranges, conditions Chances.
type LawScore struct {
	Law, Name string
	// Unit is the unit of the median error.
	Unit    string
	Ranges  score.Coverage
	Chances score.Calibration
	// TooLittle is true when fewer than 30 outcomes say next to nothing.
	TooLittle bool
}

// Bounds of scoring (the project's own figures).
const (
	scoredCars    = 300 // are scored at the most
	taughtCars    = 2000
	scoredYears   = 10
	fewOutcomes   = 30
	leastApart    = 45 * 24 * time.Hour // between the rounds of one year that are scored
	leastTaught   = 50                  // looks, before a year's beginning
	leastSureness = 1e-9
)

// Scores gives how right the forecasts of the past were, as far as that is worked out.
func (s *Shop) Scores(context.Context) (*Scores, error) {
	s.study.mu.Lock()
	defer s.study.mu.Unlock()
	if s.study.scores == nil {
		return &Scores{TooLittle: "This is being worked out, or nothing was learned yet."}, nil
	}
	return s.study.scores, nil
}

// scoresOld reports whether something was learned since the forecasts were scored.
func (s *Shop) scoresOld(ctx context.Context) bool {
	_, learned, err := s.Classes(ctx)
	if err != nil || learned == nil {
		return false
	}
	s.study.mu.Lock()
	defer s.study.mu.Unlock()
	return s.study.scores == nil || s.study.scores.LearnedID != learned.ID
}

// mark is one forecast with what came: a range of a reading, or a chance.
type mark struct {
	law      *point.Law
	name     string
	unit     string
	ranged   bool
	said     [5]float64
	came     float64
	chance   float64
	happened bool
}

// tally collects the marks of one law.
type tally struct {
	name, unit string
	ranges     score.Ranges
	chances    score.Chances
}

func (t *tally) add(m mark) {
	if m.ranged {
		t.ranges.Add(m.said, m.came)
	} else {
		t.chances.Add(m.chance, m.happened)
	}
}

// score works the scores out anew. It is ErrBusy while learning is under way.
func (s *Shop) score(ctx context.Context) (err error) {
	_, learned, err := s.Classes(ctx)
	if err != nil || learned == nil {
		return err
	}
	if !s.study.begin("scoring", scoredYears) {
		return ErrBusy
	}
	defer func() { s.study.end(err) }()
	out, err := s.scoresThrough(ctx, learned)
	if err != nil {
		return err
	}
	s.study.mu.Lock()
	s.study.scores = out
	s.study.mu.Unlock()
	return nil
}

func (s *Shop) scoresThrough(ctx context.Context, learned *ClassesFact) (*Scores, error) {
	last := time.UnixMilli(learned.ReceivedAt).UTC()
	out := &Scores{Ready: true, LearnedID: learned.ID, On: last.Format(dayLayout), OfCars: learned.Cars}
	laws := map[string]*tally{}
	var all tally
	for i := range scoredYears {
		year := last.Year() - scoredYears + 1 + i
		y, err := s.scoreYear(ctx, year, learned, laws, &all, &out.Cars)
		if err != nil {
			return nil, err
		}
		if y != nil {
			out.Years = append(out.Years, *y)
		}
		s.study.step(i + 1)
	}
	for id, t := range laws {
		out.Laws = append(out.Laws, t.sum(id))
	}
	sort.Slice(out.Laws, func(i, j int) bool {
		a, b := &out.Laws[i], &out.Laws[j]
		return a.Name < b.Name || a.Name == b.Name && a.Law < b.Law
	})
	out.All = all.sum("")
	out.All.Ranges.MedianError = 0
	if out.All.Ranges.N+out.All.Chances.N < fewOutcomes {
		out.TooLittle = fmt.Sprintf("Only %d forecasts of past years can be held against what came. Wait for another year of rounds.", out.All.Ranges.N+out.All.Chances.N)
	}
	return out, nil
}

func (t *tally) sum(law string) LawScore {
	l := LawScore{Law: law, Name: t.name, Unit: t.unit, Ranges: t.ranges.Coverage(), Chances: t.chances.Calibration()}
	l.TooLittle = l.Ranges.N+l.Chances.N < fewOutcomes
	return l
}

// scoreYear scores one year's forecasts; nil when too little was known at its beginning, or nothing came of them.
func (s *Shop) scoreYear(ctx context.Context, year int, learned *ClassesFact, laws map[string]*tally, all *tally, scored *int) (*YearScore, error) {
	from, to := fmt.Sprintf("%d-01-01", year), fmt.Sprintf("%d-12-31", year)
	known := window{day: fmt.Sprintf("%d-12-31", year-1), through: learned.Through}
	classes, cars, looks, err := s.teach(ctx, known, everySo(learned.Cars, taughtCars), func(int) {})
	if err != nil || looks < leastTaught {
		return nil, err
	}
	var own tally
	n := 0
	err = eachCar(ctx, s, sample{known.through, everySo(learned.Cars, scoredCars), inBackground()}, func(f *carFacts) []mark {
		return s.marks(f, known, from, to, classes)
	}, func(marks []mark) error {
		if len(marks) > 0 {
			n++
		}
		for _, m := range marks {
			t := laws[m.law.ID]
			if t == nil {
				t = &tally{name: m.name, unit: m.unit}
				laws[m.law.ID] = t
			}
			t.add(m)
			own.add(m)
			all.add(m)
		}
		return ctx.Err()
	})
	*scored = max(*scored, n)
	if n == 0 {
		return nil, err
	}
	return &YearScore{Year: year, Cars: cars, Looks: looks, Ranges: own.ranges.Coverage(), Chances: own.chances.Calibration()}, err
}

// everySo is how many cars there are for each one that is taken, so that at most so many are.
func everySo(cars, most int) int { return max(1, (cars+most-1)/most) }

// marks holds what was foreseen of a car against what was read in the first and the last round of a time.
func (s *Shop) marks(f *carFacts, known window, from, to string, classes outlook.Classes) []mark {
	h := s.historyOf(f, known)
	if len(h.Looks) == 0 {
		return nil
	}
	var out []mark
	for _, r := range exams(f, known, from, to) {
		then := h
		then.Today = day(r.On)
		if r.Km >= 0 {
			then.Odometer = append(slices.Clip(h.Odometer), outlook.Distance{On: then.Today, Km: r.Km})
			then.Car.OdometerKm = r.Km
		}
		o := outlook.Of(s.cat, then, classes)
		read := s.readIn(f, known, r.ID)
		for i := range o.Items {
			it := &o.Items[i]
			m, ok := read[Place{it.Point.ID, it.At}]
			if !ok || it.Past || it.Unsure != "" || it.Basis.Own == 0 || renewedSince(f, known, it, from, r.On) {
				continue
			}
			if k, ok := markOf(it, m); ok {
				out = append(out, k)
			}
		}
	}
	return out
}

// exams are the first and the last round of a time, one where they lie close together. Rounds that were never finished count too:
// what was read was read.
func exams(f *carFacts, known window, from, to string) []RoundFact {
	var in []RoundFact
	for _, r := range f.rounds { // newest first
		if r.On >= from && r.On <= to && known.holds(r.Seq) {
			in = append(in, r)
		}
	}
	if len(in) == 0 {
		return nil
	}
	first, last := in[len(in)-1], in[0]
	if day(last.On).Sub(day(first.On)) < leastApart {
		return []RoundFact{first}
	}
	return []RoundFact{first, last}
}

// readIn gives what a round's places showed in the end.
func (s *Shop) readIn(f *carFacts, known window, roundID string) map[Place]ReadingFact {
	var facts []ReadingFact
	for _, m := range f.history {
		if m.RoundID == roundID && known.holds(m.Seq) {
			facts = append(facts, m)
		}
	}
	out := map[Place]ReadingFact{}
	for _, m := range current(facts) {
		if m.Skipped == "" {
			out[Place{m.Point, m.At}] = m
		}
	}
	return out
}

// renewedSince reports whether an item was renewed between two days: then what was foreseen of the old one can't be seen.
func renewedSince(f *carFacts, known window, it *outlook.Item, from, to string) bool {
	for _, n := range f.renewals {
		if n.Item == it.Law.Item && n.Item != "" && n.On >= from && n.On <= to && known.holds(n.Seq) && renewal(n).Covers(it.At) {
			return true
		}
	}
	return false
}

// markOf holds an item against the reading of its place.
func markOf(it *outlook.Item, m ReadingFact) (mark, bool) {
	k := mark{law: it.Law, name: lawName(it)}
	if name := valueOf(it); it.Expects && name != "" {
		came, ok := m.Values[name]
		k.ranged, k.came, k.unit = true, came, name
		if i := strings.LastIndex(name, "_"); i >= 0 {
			k.unit = name[i+1:]
		}
		k.said = [5]float64{it.Wide.Low, it.Expect.Low, it.Expect.Mid, it.Expect.High, it.Wide.High}
		return k, ok
	}
	st := it.Point.StateByID(m.State)
	if it.Law.Life == nil || st == nil {
		return k, false
	}
	l := it.Law.Life
	sees, clear := orSure(l.Sensitivity), orSure(l.Specificity)
	k.chance = min(1, max(0, it.Turned*sees+(1-it.Turned)*(1-clear)))
	k.happened = slices.Contains(l.Turned, st.ID) || len(l.Turned) == 0 && st.Verdict.Urgency() >= verdict.Due.Urgency()
	return k, true
}

// orSure takes a chance that was not given as certain.
func orSure(p float64) float64 {
	if p < leastSureness {
		return 1
	}
	return p
}

// lawName names a law by its point and axle.
func lawName(it *outlook.Item) string {
	if it.Law.Axle == "" {
		return it.Point.Name
	}
	return it.Point.Name + ", " + point.Where(it.Law.Axle)
}
