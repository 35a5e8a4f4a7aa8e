package shop

import (
	"context"
	"errors"
	"slices"
	"strings"
	"time"
)

// Kinds of lines of the due list.
const (
	DueFinding  = "finding"   // found unsafe or past its limit, and nobody answered
	DueVisit    = "visit"     // agreed with the owner, and not closed out
	DueFollowUp = "follow-up" // a look that the work called for
	DuePutOff   = "put-off"   // the owner put it off until then
	DueNotDone  = "not-done"  // agreed, and could not be done
	DueLook     = "look"      // the next look at the car
	DueForecast = "forecast"  // probably at its limit, or at the end of its recommended interval
)

// DueKinds are the kinds in the order in which a day's lines are shown.
var DueKinds = []string{DueFinding, DueVisit, DueFollowUp, DuePutOff, DueNotDone, DueLook, DueForecast}

// Bounds of the due list (the project's own figures).
const (
	// DueDays is how far ahead the list reaches: half a year, so that the next seasonal check is on it.
	DueDays = 190
	// DueAsleep is after how many years without a round or an odometer reading a car is left off.
	DueAsleep = 3
	// dueLines bounds a car's lines.
	dueLines = 40
	// dueInMemory bounds the lines of all cars.
	dueInMemory = 100_000
)

// DueLine is one thing that a car is due for. Its ID stays the same while it is about the same thing: the same finding of the same
// round, the same running cycle of a part, the same answer of an owner.
type DueLine struct {
	ID, CarID, Kind string
	// What, Why and Sure speak to the adviser: the thing, the reason, and how sure that is, in words and a number.
	What, Why, Sure string
	// On is the day on which it is due, which may have passed; From and To are its range, empty for a day that was agreed.
	On, From, To string
	// Km is the distance at which it is due, where that counts; 0 for none.
	Km float64
	// Must is true for what must not wait.
	Must bool
	// Tell is the same for the owner, in plain words.
	Tell string
	// RoundID, Estimate and Decision lead to where it comes from; all may be empty.
	RoundID, Estimate, Decision string
	// Changed is when anything that it says last changed, in milliseconds.
	Changed int64
	// Settled is what took it off the list; nil while it stands.
	Settled *Kept[Settled]
}

// DueRow is a line with its car.
type DueRow struct {
	DueLine
	Car *CarVersion
}

// DueFilter narrows the due list. Zero fields do not narrow.
type DueFilter struct {
	Kind string
	// From and To are the first and the last day.
	From, To string
	// Settled asks for what was taken off instead.
	Settled bool
	CarID   string
}

func (f *DueFilter) keeps(l *DueLine) bool {
	return (l.Settled != nil) == f.Settled && (f.Kind == "" || l.Kind == f.Kind) && (f.CarID == "" || l.CarID == f.CarID) &&
		l.On >= f.From && (f.To == "" || l.On <= f.To)
}

// DueList is what is due, the earliest first.
type DueList struct {
	Rows []DueRow
	// Today is the day from which it looks.
	Today string
	// Ready is false until every car was worked out once after a start.
	Ready bool
	// Done of Total cars are worked out; the rest are still to come. Asleep were left off as nobody has seen them for years.
	Done, Total, Asleep int
	// Through is the last day that is complete where there were too many lines to keep; empty otherwise.
	Through string
}

// Due lists what the cars are due for, as far as it is worked out. What has changed since is worked out at once where that is little.
func (s *Shop) Due(ctx context.Context, f DueFilter) (*DueList, error) {
	if err := s.dueCatchUp(ctx); err != nil {
		return nil, err
	}
	return s.due.list(f, s.today()), nil
}

// CarDue lists what one car is due for, the earliest first, worked out from what is known now.
func (s *Shop) CarDue(ctx context.Context, carID string) ([]DueLine, error) {
	classes, learned, err := s.Classes(ctx)
	if err != nil {
		return nil, err
	}
	e, err := s.dueEntry(ctx, carID, classes, learned)
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(slices.Clone(e.lines), func(l DueLine) bool { return l.Settled != nil }), nil
}

// check refuses a line that can't be meant.
func (b *Settled) check() error {
	if b.Due == "" || len(b.Due) > 300 {
		return errors.New("settled: no line of the due list is named")
	}
	return nil
}

// Settle takes a line off the due list of a car, or puts it back. The same id again changes nothing.
func (s *Shop) Settle(ctx context.Context, id, carID, due, why, by string, back bool) error {
	why = squeeze(why)
	if len([]rune(why)) > 300 {
		return Invalid{{Field: "why", Text: "This is longer than 300 characters."}}
	}
	if strings.TrimSpace(due) == "" || len(due) > 300 {
		return Invalid{{Field: "due", Text: "There is no such line."}}
	}
	rec, err := s.record(id, KindSettled, carID, "", by, Settled{Due: due, Why: why, Back: back})
	if err != nil {
		return err
	}
	if err := s.put(ctx, Fact{Record: &rec}); err != nil {
		return err
	}
	return s.dueAgain(ctx, carID)
}

// dueAgain works a car out once more where the list has it already, so that what was just done is seen whatever else is under way.
func (s *Shop) dueAgain(ctx context.Context, carID string) error {
	if _, ok := s.due.get(carID); !ok {
		return nil
	}
	classes, learned, err := s.Classes(ctx)
	if err != nil {
		return err
	}
	e, err := s.dueEntry(ctx, carID, classes, learned)
	if err == nil {
		s.due.put(carID, e)
	}
	return err
}

// settledOf gives what stands off the list of a car, by the line's id.
func settledOf(ctx context.Context, r Reader, carID string) (map[string]*Kept[Settled], error) {
	list, err := records[Settled](ctx, r, RecordFilter{Kind: KindSettled, CarID: carID})
	if err != nil {
		return nil, err
	}
	out := map[string]*Kept[Settled]{}
	for i := range list {
		if out[list[i].Said.Due] = &list[i]; list[i].Said.Back {
			delete(out, list[i].Said.Due)
		}
	}
	return out, nil
}

// isoDay writes a day, empty for none.
func isoDay(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(dayLayout)
}
