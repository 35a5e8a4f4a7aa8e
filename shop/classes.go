package shop

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"sync"

	"witnessmark/core/outlook"
)

// ErrBusy says that learning, or scoring, is under way already.
var ErrBusy = errors.New("it is under way already")

// LearnState says how far learning is.
type LearnState struct {
	Running bool
	// What is what runs: "learning" or "scoring"; empty when nothing does.
	What string
	// Done of Total cars are read.
	Done, Total int
	// Last is what was learned last; nil for nothing yet.
	Last *ClassesFact
	// Stale is true when another version of the catalogue was learned from, so that it does not count.
	Stale bool
	// New is how many readings have arrived since.
	New int
	// LastError is why the last run ended early; empty when it did not.
	LastError string
}

// study is the state of learning. One run at a time.
type study struct {
	mu          sync.Mutex
	running     bool
	what        string
	done, total int
	failed      string

	// What was learned last, decoded.
	learned *ClassesFact
	classes outlook.Classes

	scores *Scores
	wake   chan struct{} // something was learned that is not scored yet
}

// begin takes the one place that there is, or reports that it is taken.
func (st *study) begin(what string, total int) bool {
	st.mu.Lock()
	defer st.mu.Unlock()
	if st.running {
		return false
	}
	st.running, st.what, st.done, st.total = true, what, 0, total
	return true
}

func (st *study) end(err error) {
	st.mu.Lock()
	defer st.mu.Unlock()
	st.running, st.what, st.failed = false, "", ""
	if err != nil {
		st.failed = err.Error()
	}
}

func (st *study) step(done int) {
	st.mu.Lock()
	defer st.mu.Unlock()
	st.done = done
}

// learnedNow wakes who waits for something to score; nobody need.
func (st *study) learnedNow() {
	select {
	case st.wake <- struct{}{}:
	default:
	}
}

// LearnState says how far learning is, and what there is to learn.
func (s *Shop) LearnState(ctx context.Context) (LearnState, error) {
	_, learned, err := s.lastClasses(ctx)
	if err != nil {
		return LearnState{}, err
	}
	s.study.mu.Lock()
	st := LearnState{Running: s.study.running, What: s.study.what, Done: s.study.done, Total: s.study.total, Last: learned, LastError: s.study.failed}
	s.study.mu.Unlock()
	st.Stale = learned != nil && learned.Catalogue != s.cat.Version
	through := int64(0)
	if learned != nil {
		through = learned.Through
	}
	err = s.store.View(ctx, func(r Reader) (err error) {
		st.New, err = r.ReadingsSince(ctx, through)
		return err
	})
	return st, err
}

// Classes gives the laws as the workshop's history has moved them, and what they were learned from. Both are nil while nothing
// was learned from the catalogue that is in use: then its laws count alone.
func (s *Shop) Classes(ctx context.Context) (outlook.Classes, *ClassesFact, error) {
	classes, learned, err := s.lastClasses(ctx)
	if err != nil || learned == nil || learned.Catalogue != s.cat.Version {
		return nil, nil, err
	}
	return classes, learned, nil
}

// lastClasses gives what was learned last, whatever the catalogue was.
func (s *Shop) lastClasses(ctx context.Context) (outlook.Classes, *ClassesFact, error) {
	var f ClassesFact
	err := s.store.View(ctx, func(r Reader) (err error) {
		f, err = r.Classes(ctx)
		return err
	})
	if errors.Is(err, ErrNotFound) {
		return nil, nil, nil
	}
	if err != nil {
		return nil, nil, err
	}
	s.study.mu.Lock()
	defer s.study.mu.Unlock()
	if s.study.learned == nil || s.study.learned.ID != f.ID {
		classes, err := decodeClasses(f.Fitted)
		if err != nil {
			return nil, nil, fmt.Errorf("what was learned (%s): %w", f.ID, err)
		}
		s.study.learned, s.study.classes = &f, classes
	}
	return s.study.classes, s.study.learned, nil
}

// decodeClasses reads a fact's list.
func decodeClasses(text json.RawMessage) (outlook.Classes, error) {
	var list []outlook.Fitted
	if err := json.Unmarshal(text, &list); err != nil {
		return nil, err
	}
	out := make(outlook.Classes, len(list))
	for _, f := range list {
		out[f.Key] = f
	}
	return out, nil
}
