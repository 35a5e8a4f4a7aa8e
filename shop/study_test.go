package shop

import (
	"testing"
	"time"
)

func TestDue(t *testing.T) {
	noon := time.Date(2026, 3, 21, 12, 0, 0, 0, time.UTC)
	night := time.Date(2026, 3, 21, 3, 0, 0, 0, time.UTC)
	old := &ClassesFact{Looks: 10_000, ReceivedAt: noon.AddDate(0, 0, -2).UnixMilli()}
	fresh := &ClassesFact{Looks: 10_000, ReceivedAt: night.Add(-time.Hour).UnixMilli()}
	few := &ClassesFact{Looks: 100, ReceivedAt: noon.AddDate(0, 0, -2).UnixMilli()}
	for _, tc := range []struct {
		name string
		st   LearnState
		now  time.Time
		want bool
	}{
		{"nothing there", LearnState{}, noon, false},
		{"nothing learned yet", LearnState{New: 1}, noon, true},
		{"another catalogue", LearnState{New: 1, Last: old, Stale: true}, noon, true},
		{"another catalogue, nothing new", LearnState{Last: old, Stale: true}, noon, true},
		{"little is new", LearnState{New: 499, Last: old}, noon, false},
		{"much is new", LearnState{New: 500, Last: old}, noon, true},
		{"a share of little", LearnState{New: 100, Last: few}, noon, false},
		{"enough", LearnState{New: 200, Last: few}, noon, true},
		{"at night", LearnState{New: 1, Last: old}, night, true},
		{"the same night", LearnState{New: 1, Last: fresh}, night, false},
		{"nothing new at night", LearnState{Last: old}, night, false},
	} {
		if got := due(tc.st, tc.now); got != tc.want {
			t.Errorf("%s: %v", tc.name, got)
		}
	}
}
