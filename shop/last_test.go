package shop

import (
	"fmt"
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// slowLast finds the newest readings round by round, as they are defined.
func slowLast(this RoundFact, history []ReadingFact, rounds []RoundFact) map[string]map[string]LastReading {
	last := map[string]map[string]LastReading{}
	for _, r := range rounds {
		if r.ID == this.ID || r.On > this.On || r.On == this.On && r.ReceivedAt > this.ReceivedAt {
			continue
		}
		var facts []ReadingFact
		for _, f := range history {
			if f.RoundID == r.ID {
				facts = append(facts, f)
			}
		}
		for _, f := range current(facts) {
			if last[f.Point] == nil && f.Skipped == "" {
				last[f.Point] = map[string]LastReading{}
			}
			old, has := last[f.Point][f.At]
			if f.Skipped == "" && (!has || r.On > old.On || r.On == old.On && f.Seq > old.Reading.Seq) {
				last[f.Point][f.At] = LastReading{Reading: f, On: r.On, Km: r.Km}
			}
		}
	}
	return last
}

func TestLastReadings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		few := func(label string, n int) int { return rapid.IntRange(0, n).Draw(t, label) }
		var rounds []RoundFact
		for i := range 1 + few("rounds", 5) {
			rounds = append(rounds, RoundFact{ID: fmt.Sprint(i), On: fmt.Sprintf("2026-01-0%d", 1+few("day", 3)), ReceivedAt: int64(few("received", 3)), Km: float64(i)})
		}
		var history []ReadingFact
		for i := range few("readings", 40) {
			f := ReadingFact{ID: fmt.Sprint("m", i), RoundID: fmt.Sprint(few("round", len(rounds)-1)), Point: fmt.Sprint(few("point", 2)), At: fmt.Sprint(few("at", 1)),
				Seq: int64(i + 1), Withdrawn: few("withdrawn", 4) == 0}
			if few("skipped", 4) == 0 {
				f.Skipped = "dark"
			}
			history = append(history, f)
		}
		_, got := splitHistory(rounds[0], history, rounds)
		if want := slowLast(rounds[0], history, rounds); !reflect.DeepEqual(got, want) {
			t.Fatalf("got %+v\nwant %+v", got, want)
		}
	})
}
