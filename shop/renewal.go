package shop

import (
	"context"
	"slices"
	"strings"

	"witnessmark/core/facet"
	"witnessmark/core/point"
)

// RenewalInput says that an item was renewed, as typed. At is where on the car: a corner, an axle, a counted part; empty is the
// whole car.
type RenewalInput struct{ ID, CarID, Item, At, On, Km, Note, By string }

// AddRenewal stores that an item was renewed, at this workshop or elsewhere.
func (s *Shop) AddRenewal(ctx context.Context, in RenewalInput) error {
	var bad Invalid
	f := RenewalFact{ID: in.ID, CarID: in.CarID, Item: in.Item, At: strings.TrimSpace(in.At), On: strings.TrimSpace(in.On), Km: -1, Note: squeeze(in.Note),
		By: squeeze(in.By), ReceivedAt: ms(s.now())}
	c, err := s.Car(ctx, in.CarID)
	if err != nil {
		return err
	}
	if !slices.ContainsFunc(s.Items(), func(i Item) bool { return i.ID == in.Item }) {
		bad = append(bad, FieldError{Field: "item", Text: "Choose what was renewed."})
	} else if f.At != "" {
		bad = s.checkPlace(f, s.FacetsOf(c), bad)
	}
	bad = s.checkDay(f.On, "on", bad)
	if strings.TrimSpace(in.Km) != "" {
		km, err := parseNumber(in.Km, "km", system(c), 0, 0)
		if err != nil {
			bad = append(bad, FieldError{Field: "km", Text: upperFirst(err.Error()) + "."})
		}
		f.Km = km
	}
	if len(bad) > 0 {
		return bad
	}
	return s.put(ctx, Fact{Renewal: &f})
}

// WithdrawRenewal takes back that an item was renewed: it was entered by mistake. The renewal stays on record and counts nowhere. One that
// is taken back already stays so; ErrNotFound when the car has no such renewal.
func (s *Shop) WithdrawRenewal(ctx context.Context, id, carID, renewal, by string) error {
	return s.store.Update(ctx, func(w Writer) error {
		gone, err := w.Withdrawals(ctx, carID)
		if err != nil || slices.ContainsFunc(gone, func(f WithdrawalFact) bool { return f.What == OfRenewal && f.FactID == renewal }) {
			return err
		}
		_, err = w.Put(ctx, Fact{Withdrawal: &WithdrawalFact{ID: id, CarID: carID, What: OfRenewal, FactID: renewal, By: squeeze(by), ReceivedAt: ms(s.now())}})
		return err
	})
}

// checkPlace refuses a place that the item does not have on the car.
func (s *Shop) checkPlace(f RenewalFact, facets facet.Set, bad Invalid) Invalid {
	places := s.PlacesOf(f.Item, facets)
	switch {
	case slices.Contains(places, f.At):
		return bad
	case len(places) == 0:
		return append(bad, FieldError{Field: "at", Text: itemName(f.Item) + " has no place of its own on this car: leave the place empty."})
	}
	var words []string
	for _, at := range places {
		words = append(words, point.Where(at))
	}
	return append(bad, FieldError{Field: "at", Text: "Choose a place that this car has: " + strings.Join(words, ", ") + "; or none for the whole car."})
}

// PlacesOf lists the places of a car at which an item can be renewed: the axles and corners, or counted parts, of the points
// whose work renews it. It is empty for what the car has only once.
func (s *Shop) PlacesOf(item string, facets facet.Set) []string {
	have := map[string]bool{}
	for _, p := range s.cat.Points {
		if p.Positions.Single() || !s.renewedAt(p, item) {
			continue
		}
		if ok, _ := p.Applies.Holds(facets); !ok {
			continue
		}
		for _, base := range p.Positions.Bases(facets) {
			have[base] = true
			have[point.Axle(base)] = true
		}
	}
	var out []string
	for _, list := range [][]string{point.Axles, point.Corners, {"spare", "1", "2", "3", "4", "5", "6", "7", "8", "9"}} {
		for _, at := range list {
			if have[at] {
				out = append(out, at)
			}
		}
	}
	return out
}

// renewedAt reports whether work at a point renews an item.
func (s *Shop) renewedAt(p *point.Point, item string) bool {
	if p.Renewal != nil && p.Renewal.Item == item {
		return true
	}
	renews := func(jobs []string) bool {
		return slices.ContainsFunc(jobs, func(id string) bool {
			j := s.cat.Jobs[id]
			return j != nil && slices.Contains(j.Renews, item)
		})
	}
	return renews(p.Jobs) || slices.ContainsFunc(p.States, func(st point.StateOf) bool { return renews(st.Jobs) }) ||
		slices.ContainsFunc(p.Limits, func(l point.Limit) bool { return renews(l.Jobs) })
}
