package shop

import (
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

// learnt is the catalogue as the workshop's close-outs have moved it.
func (s *Shop) learnt(_ []ConfirmedFact) *point.Catalogue {
	return s.cat
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
