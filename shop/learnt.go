package shop

import (
	"context"
	"sync"

	"witnessmark/core/diagnose"
	"witnessmark/core/point"
)

// closed keeps the confirmed causes that stand, as of the newest order of arrival among them.
type closed struct {
	mu   sync.Mutex
	ok   bool
	seq  int64
	list []ConfirmedFact
}

// get gives the list as of a seq.
func (c *closed) get(seq int64) ([]ConfirmedFact, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.list, c.ok && c.seq == seq
}

func (c *closed) put(seq int64, list []ConfirmedFact) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if !c.ok || seq > c.seq { // somebody else may have read later facts meanwhile
		c.ok, c.seq, c.list = true, seq, list
	}
}

// counts turns close-outs into what the core learns from: each round that was closed out is one car, each confirmed cause of the catalogue
// counts once a round, and of the signs that were looked for there it says whether they were.
func counts(list []ConfirmedFact) diagnose.Counts {
	out := diagnose.Counts{Confirmed: map[string]int{}, Links: map[diagnose.Link]diagnose.Count{}}
	rounds := map[string]bool{}
	signs := map[[3]string]bool{}
	causes := map[[2]string]bool{}
	for _, f := range list {
		rounds[f.RoundID] = true
		if f.Cause == CauseElse {
			continue
		}
		if key := [2]string{f.RoundID, f.Cause}; !causes[key] {
			causes[key] = true
			out.Confirmed[f.Cause]++
		}
		for sign, there := range f.Seen {
			key := [3]string{f.RoundID, f.Cause, sign}
			if signs[key] {
				continue // the same cause behind another complaint of the round
			}
			signs[key] = true
			link := diagnose.Link{Cause: f.Cause, Sign: sign}
			n := out.Links[link]
			n.Of++
			if there {
				n.Seen++
			}
			out.Links[link] = n
		}
	}
	out.Cars = len(rounds)
	return out
}

// learnt is the catalogue as close-outs have moved it.
func (s *Shop) learnt(list []ConfirmedFact) *point.Catalogue {
	if len(list) == 0 {
		return s.cat
	}
	cat, _ := diagnose.Learn(s.cat, counts(list), diagnose.DefaultWeights)
	return cat
}

// LearnedCauses is what the workshop's close-outs have taught about causes.
type LearnedCauses struct {
	// Closed are the close-outs that count, the newest first.
	Closed []ClosedOut
	// Changes are the figures that they moved, by cause; those of causes that were confirmed.
	Changes []CauseChange
	// Cars is how many rounds were closed out; Lowered how many other causes became a little less likely by it.
	Cars, Lowered int
	Weights       diagnose.Weights
}

// ClosedOut is one confirmed cause with its car and round. Complaint and Cause are nil when the catalogue does not know them.
type ClosedOut struct {
	Fact      ConfirmedFact
	Car       CarVersion
	Round     RoundFact
	Complaint *point.Complaint
	Cause     *point.Cause
}

// CauseChange is one figure against the catalogue's: of a cause, or of how often it shows a sign; Sign is nil for the former.
type CauseChange struct {
	Cause    *point.Cause
	Sign     *point.Sign
	From, To float64
	diagnose.Count
}

// LearnedCauses says what the close-outs that stand have moved against the catalogue.
func (s *Shop) LearnedCauses(ctx context.Context) (*LearnedCauses, error) {
	list, err := s.confirmed(ctx)
	if err != nil {
		return nil, err
	}
	out := &LearnedCauses{Weights: diagnose.DefaultWeights}
	err = s.store.View(ctx, func(r Reader) error {
		for i := len(list) - 1; i >= 0; i-- {
			f := list[i]
			c := ClosedOut{Fact: f, Complaint: s.cat.Complaint(f.Complaint), Cause: s.cat.Cause(f.Cause)}
			if c.Car, err = r.Car(ctx, f.CarID); err != nil {
				return err
			}
			if c.Round, err = r.Round(ctx, f.RoundID); err != nil {
				return err
			}
			out.Closed = append(out.Closed, c)
		}
		return nil
	})
	if err != nil || len(list) == 0 {
		return out, err
	}
	n := counts(list)
	out.Cars = n.Cars
	_, changed := diagnose.Learn(s.cat, n, out.Weights)
	for _, c := range changed {
		if n.Confirmed[c.Cause] == 0 {
			out.Lowered++
			continue
		}
		out.Changes = append(out.Changes, CauseChange{s.cat.Cause(c.Cause), s.cat.Sign(c.Sign), c.From, c.To, c.Count})
	}
	return out, nil
}

// MatchWords proposes signs that an owner's words may mean, the best first.
func (s *Shop) MatchWords(words string) []diagnose.Told { return diagnose.Match(s.cat, words) }

// Tellable lists the signs that owners tell of, by id.
func (s *Shop) Tellable() []*point.Sign {
	var out []*point.Sign
	for _, sign := range s.cat.Signs {
		if len(sign.Told) > 0 {
			out = append(out, sign)
		}
	}
	return out
}
