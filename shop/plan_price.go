package shop

import (
	"context"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
)

// pricing prices doings as an estimate does: with parts, fluids, sundries and tax.
type pricing struct {
	d     *drafting
	terms estimate.Terms
}

// pricing gives what a car's doings are priced by; nil while the workshop has not said how it charges.
func (s *Shop) pricing(ctx context.Context, car CarVersion, t Terms, set bool) (*pricing, error) {
	if !set {
		return nil, nil
	}
	list, err := s.Prices(ctx)
	if err != nil {
		return nil, err
	}
	return &pricing{s.drafting(car, t, list), t.Estimate}, nil
}

// priced is what something costs the owner, in minor units.
type priced struct {
	toPay money.Amount
	// missing names the lines that have no price or amount yet; they are not in toPay.
	missing []string
}

// total prices items with what they share.
func (p *pricing) total(items []estimate.Item, shared []estimate.Shared) (x priced, err error) {
	e := estimate.Estimate{Terms: p.terms, Items: items, Shared: shared}
	t, err := estimate.Total(e, nil)
	if err != nil {
		return x, err
	}
	x.toPay = t.ToPay
	for l := range estimate.Lines(&e) {
		if l.Open {
			x.missing = appendOnce(x.missing, lowerName(l.Name))
		}
	}
	return x, nil
}

// visit prices all that is done at a visit.
func (p *pricing) visit(wants []Want) (priced, error) {
	items, shared, err := p.d.items(wants)
	if err != nil {
		return priced{}, err
	}
	return p.total(items, shared)
}

// alone prices one doing, and each of its preparations apart.
func (p *pricing) alone(w Want) (own priced, setups map[string]money.Amount, err error) {
	items, shared, err := p.d.items([]Want{w})
	if err != nil {
		return own, nil, err
	}
	if own, err = p.total(items, nil); err != nil {
		return own, nil, err
	}
	setups = map[string]money.Amount{}
	for _, u := range shared {
		// What is shared is counted while an item that needs it is there, so it stands with one that costs nothing.
		x, err := p.total([]estimate.Item{{ID: items[0].ID}}, []estimate.Shared{u})
		if err != nil {
			return own, nil, err
		}
		setups[u.Setup] = x.toPay
		own.missing = append(own.missing, x.missing...)
	}
	return own, setups, nil
}
