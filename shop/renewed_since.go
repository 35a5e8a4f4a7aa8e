package shop

import (
	"slices"

	"witnessmark/core/point"
)

// RenewedSince finds the renewal that makes a place's last look a thing of the past: what the point is about was renewed on the
// day of that look or later, and nobody has looked since. A renewal of the day of the look came after it, because the look is what
// asked for it.
func (s *Shop) RenewedSince(p *CarPage, it *ItemHistory) (RenewalFact, bool) {
	if len(it.Looks) == 0 || len(p.Renewals) == 0 {
		return RenewalFact{}, false
	}
	last := it.Looks[len(it.Looks)-1]
	about := s.renewedBy(it.Point)
	for _, r := range slices.Backward(p.Renewals) {
		if r.On < last.On || !slices.Contains(about, r.Item) || !renewalReaches(r.At, it.At) {
			continue
		}
		if r.On > last.On || r.ReceivedAt > last.Reading.ReceivedAt || r.ReceivedAt == last.Reading.ReceivedAt && !p.baseline(last.Reading.RoundID) {
			return r, true
		}
	}
	return RenewalFact{}, false
}

// baseline reports whether a round holds first readings after work: they come after the renewals that arrived with them.
func (p *CarPage) baseline(roundID string) bool {
	return slices.ContainsFunc(p.Rounds, func(r RoundFact) bool { return r.ID == roundID && r.Baseline() })
}

// renewedBy lists the items whose renewal starts a point anew: its own clock's, its laws', and for what only jobs renew theirs.
func (s *Shop) renewedBy(p *point.Point) []string {
	var out []string
	if p.Renewal != nil {
		out = append(out, p.Renewal.Item)
	}
	for _, l := range s.cat.Laws {
		if l.Point == p.ID && l.Item != "" {
			out = append(out, l.Item)
		}
	}
	if len(out) > 0 {
		return out
	}
	for _, id := range p.Jobs {
		if j := s.cat.Jobs[id]; j != nil {
			out = append(out, j.Renews...)
		}
	}
	return out
}

// renewalReaches reports whether a renewal at one position reaches another: the whole car every one, an axle its corners, a corner its places.
func renewalReaches(renewed, at string) bool {
	base, _ := point.SplitAt(at)
	return renewed == "" || renewed == at || renewed == base || renewed == point.Axle(base)
}
