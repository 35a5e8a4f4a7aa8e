package shop

import (
	"context"
	"errors"
	"time"
)

// When the history is learned from again by itself: when so much is new, and each night when anything is.
const (
	newShare    = 0.05 // of the readings that counted last time
	newReadings = 200
	nightFrom   = 2 // o'clock
	nightUntil  = 5
	lookEvery   = 10 * time.Minute
)

// Study learns in the background until ctx ends: at once when nothing was learned yet or much is new, then again when much is
// new, and in the night when anything is. After each learning it scores past forecasts. What goes wrong is told to say, and
// tried again later.
func (s *Shop) Study(ctx context.Context, say func(what string, err error)) {
	tick := time.NewTicker(lookEvery)
	defer tick.Stop()
	for {
		s.studyOnce(ctx, say)
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		case <-s.study.wake:
		}
	}
}

// studyOnce learns when it is time, and scores when there are no scores of what was learned.
func (s *Shop) studyOnce(ctx context.Context, say func(what string, err error)) {
	st, err := s.LearnState(ctx)
	if err == nil && due(st, s.now()) {
		_, err = s.Learn(ctx, "", nil)
	}
	if err == nil && s.scoresOld(ctx) {
		err = s.score(ctx)
	}
	if err != nil && ctx.Err() == nil && !errors.Is(err, ErrBusy) {
		say("learning from the workshop's history", err)
	}
}

// due reports whether it is time to learn.
func due(st LearnState, now time.Time) bool {
	switch {
	case st.Stale: // what was learned does not count with another catalogue's laws
		return true
	case st.Last == nil:
		return st.New > 0
	case st.New >= newReadings && float64(st.New) >= newShare*float64(st.Last.Looks):
		return true
	}
	night := now.Hour() >= nightFrom && now.Hour() < nightUntil
	return night && st.New > 0 && now.Sub(time.UnixMilli(st.Last.ReceivedAt)) > 12*time.Hour
}
