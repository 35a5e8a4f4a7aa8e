package shop

import (
	"context"
	"fmt"
	"maps"

	"witnessmark/core/outlook"
	"witnessmark/core/point"
)

// Place is one position of one point.
type Place struct{ Point, At string }

// Expected is what a reading at a place would probably show on the day of a round, by what was known before it.
type Expected struct {
	// Value names the value that the ranges speak of (mm, V), in whose unit they are.
	Value string
	// Likely holds 8 of 10 readings, Wide 99 of 100. They count only when Ranged is true.
	Likely, Wide outlook.Range
	Ranged       bool
	// Last is the newest reading of an earlier round; nil when there is none.
	Last *LastReading
}

// Expected says what each place of a round would probably show, and what it showed last. Readings of the round itself don't
// count, its distance does.
func (s *Shop) Expected(ctx context.Context, roundID string) (map[Place]Expected, error) {
	var this RoundFact
	var f *carFacts
	err := s.store.View(ctx, func(r Reader) (err error) {
		if this, err = roundOf(ctx, r, roundID); err != nil {
			return err
		}
		f, err = s.facts(ctx, r, this.CarID)
		return err
	})
	if err != nil {
		return nil, err
	}
	classes, learned, err := s.Classes(ctx)
	if err != nil {
		return nil, err
	}
	key := sight{day: this.On, classes: idOf(learned), upTo: f.seqBut(roundID)}
	out := s.foreseen.get(roundID, key)
	if out == nil {
		out = s.expectedOf(f, this, classes)
		s.foreseen.put(roundID, key, out)
	}
	return maps.Clone(out), nil
}

// seqBut is the newest order of arrival among a car's facts without the readings and the end of one round.
func (f *carFacts) seqBut(roundID string) int64 {
	last := f.withdrawn
	for i := len(f.history) - 1; i >= 0; i-- {
		if f.history[i].RoundID != roundID {
			last = max(last, f.history[i].Seq)
			break
		}
	}
	for i := range f.versions {
		last = max(last, f.versions[i].Seq)
	}
	for i := range f.rounds {
		last = max(last, f.rounds[i].Seq)
	}
	for i := range f.odometer {
		last = max(last, f.odometer[i].Seq)
	}
	for i := range f.renewals {
		last = max(last, f.renewals[i].Seq)
	}
	return last
}

func (s *Shop) expectedOf(f *carFacts, this RoundFact, classes outlook.Classes) map[Place]Expected {
	out := map[Place]Expected{}
	h := s.historyOf(f, window{day: this.On, but: this.ID, before: this.ReceivedAt})
	o := outlook.Of(s.cat, h, classes)
	for i := range o.Items {
		it := &o.Items[i]
		if name := valueOf(it); it.Expects && name != "" {
			out[Place{it.Point.ID, it.At}] = Expected{Value: name, Likely: it.Expect, Wide: it.Wide, Ranged: true}
		}
	}
	_, last := splitHistory(this, f.history, f.rounds)
	for id, places := range last {
		for at, l := range places {
			e := out[Place{id, at}]
			e.Last = &l
			out[Place{id, at}] = e
		}
	}
	return out
}

// valueOf names the value that an item's wear is read from; empty for conditions and for what is worked out from others.
func valueOf(it *outlook.Item) string {
	switch {
	case it.Law == nil || it.Law.Wear == nil || it.Law.Wear.Value == "derived":
		return ""
	case it.Law.Wear.Value != "":
		return it.Law.Wear.Value
	case len(it.Point.Values) > 0:
		return it.Point.Values[0].Name
	}
	return ""
}

// expectedFor gives what the readings' round expects, nothing where no number was typed or all is confirmed. That it can't be said
// keeps nobody from recording.
func (s *Shop) expectedFor(ctx context.Context, ins []ReadingInput) map[Place]Expected {
	for _, in := range ins {
		if len(in.Numbers) > 0 && !in.Confirmed {
			expected, _ := s.Expected(ctx, in.RoundID)
			return expected
		}
	}
	return nil
}

// unexpected asks about a typed value that lies outside all that is to be expected. It is stored all the same once it is
// confirmed.
func (s *Shop) unexpected(c CarVersion, p *point.Point, f ReadingFact, expected map[Place]Expected) Invalid {
	e, ok := expected[Place{f.Point, f.At}]
	if !ok || !e.Ranged || f.Skipped != "" {
		return nil
	}
	x, ok := f.Values[e.Value]
	if !ok || x >= e.Wide.Low && x <= e.Wide.High {
		return nil
	}
	show := func(v float64) string { return s.Display(c, e.Value, v, p) }
	text := fmt.Sprintf("%s is not what was to be expected: %s to %s today", upperFirst(show(x)), show(e.Likely.Low), show(e.Likely.High))
	if e.Last != nil {
		if v, ok := e.Last.Reading.Values[e.Value]; ok {
			text += fmt.Sprintf(", after %s on %s", show(v), day(e.Last.On).Format("2 January 2006"))
		}
	}
	fe := FieldError{Field: f.At + "|" + e.Value, Ask: true, Text: text + ". Measure again; confirm if it really is so, and note what was renewed if something was."}
	for _, factor := range []float64{10, 0.1, 100, 0.01} { // a point that was forgotten, or typed twice
		if y := x * factor; y >= e.Likely.Low && y <= e.Likely.High {
			fe.Likely = show(y)
			break
		}
	}
	return Invalid{fe}
}
