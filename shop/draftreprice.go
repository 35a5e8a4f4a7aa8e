package shop

import (
	"cmp"
	"context"
	"slices"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
)

// Repriced is a line whose price is another by now.
type Repriced struct {
	// Line is as it would be; Block is the name of its item or preparation.
	Line  estimate.Line
	Block string
	// Was is the price so far, WasOpen true where there was none.
	Was     money.Amount
	WasOpen bool
}

// Reprice compares an estimate with the price list and the hour's rate of today. current is false when the workshop charges in
// another currency by now, or its prices hold tax that they did not hold or the other way round, so that nothing can be compared.
func (s *Shop) Reprice(ctx context.Context, number string) (now Kept[EstimateDraft], list []Repriced, current bool, err error) {
	if now, err = s.Draft(ctx, number); err != nil {
		return now, nil, false, err
	}
	car, err := s.Car(ctx, now.CarID)
	if err != nil {
		return now, nil, false, err
	}
	terms, set, err := s.Terms(ctx)
	if err != nil {
		return now, nil, false, err
	}
	e := now.Said.Estimate
	if !set || !samePricing(terms.Estimate, e.Terms) {
		return now, nil, false, nil
	}
	prices, err := s.Prices(ctx)
	if err != nil {
		return now, nil, false, err
	}
	d := s.drafting(car, terms, prices)
	for l := range estimate.Lines(&e) {
		if n, ok := d.repriced(*l); ok {
			_, _, block := FindLine(&e, l.ID)
			list = append(list, Repriced{Line: n, Block: block, Was: l.Price, WasOpen: l.Open})
		}
	}
	return now, list, true, nil
}

// repriced gives a line at today's price; false when it costs the same or nothing is known of it.
func (d *drafting) repriced(l estimate.Line) (estimate.Line, bool) {
	n := l
	switch {
	case withoutUnknown(l.Name) != l.Name: // it waits for more than a price
		return l, false
	case l.Kind == estimate.Labour && l.Unit == "h" && !l.Open:
		n.Price = d.terms.HourRate
	case l.Part != "":
		p, ok := d.price(l.Part)
		if !ok || p.Unit != l.Unit {
			return l, false
		}
		n.Price, n.Open, n.Number = p.Price, false, cmp.Or(p.Number, l.Number)
	}
	return n, n.Price != l.Price || n.Open != l.Open
}

// TodaysPrices takes today's prices for some lines, as Reprice gave them.
type TodaysPrices struct {
	// Lines are their ids, New what Reprice gave.
	Lines []string
	New   []Repriced
}

func (c TodaysPrices) apply(e *estimate.Estimate, _ string) (string, error) {
	taken := 0
	for _, r := range c.New {
		if !slices.Contains(c.Lines, r.Line.ID) {
			continue
		}
		l, _, _ := FindLine(e, r.Line.ID)
		if l == nil {
			return "", ErrConflict
		}
		l.Price, l.Open, l.Number = r.Line.Price, r.Line.Open, r.Line.Number
		taken++
	}
	if taken == 0 {
		return "", Invalid{{Field: "line", Text: "Tick the lines that shall take the new price."}}
	}
	return "prices of today taken", nil
}
