package estimate

import (
	"fmt"

	"witnessmark/core/money"
)

// Totals is what an estimate comes to. The lines' amounts add up to Net where tax is added and to Gross where it is included;
// Net + taxes = Gross, and Gross + Rounding = ToPay, always.
type Totals struct {
	Items  []ItemTotal
	Shared []SharedTotal
	// Lines are by the line's id, those that don't count too.
	Lines      map[string]LineTotal
	Net, Gross money.Amount
	Taxes      []TaxTotal
	// Rounding is what rounding the total adds or takes away.
	Rounding, ToPay money.Amount
	// Open is how many lines that count have no price yet.
	Open int
}

// LineTotal is a line's amount as it is shown, and the tax on it or in it.
type LineTotal struct{ Amount, Tax money.Amount }

// ItemTotal is an item's own lines, without what it shares.
type ItemTotal struct {
	ID string
	// Amount is as the lines show it, Gross with tax.
	Amount, Gross money.Amount
	// Hours is its labour.
	Hours money.Milli
	// On is true when it counts.
	On bool
}

// SharedTotal is what a shared preparation comes to.
type SharedTotal struct {
	Setup         string
	Amount, Gross money.Amount
	Hours         money.Milli
	On            bool
}

// TaxTotal is one rate's tax on its base. The base is without tax.
type TaxTotal struct {
	Tax          Tax
	Base, Amount money.Amount
}

// Total adds an estimate up. With answers only what is accepted counts; nil is everything. A shared preparation counts once while any
// of its items does. Amounts are rounded half away from zero, tax by line or by rate as the terms say; where it is by rate, each line
// carries the share that the running sum gives it, so that lines add up.
func Total(e Estimate, answers []Answer) (Totals, error) {
	a := adding{e: e, t: Totals{Lines: map[string]LineTotal{}}, sums: make([]rateSum, len(e.Terms.Taxes))}
	on := accepted(e, answers)
	for i := range e.Items {
		it := &e.Items[i]
		b, err := a.block(it.Lines, on[it.ID])
		if err != nil {
			return Totals{}, fmt.Errorf("%s: %w", it.Name, err)
		}
		a.t.Items = append(a.t.Items, ItemTotal{ID: it.ID, Amount: b.amount, Gross: b.gross, Hours: b.hours, On: on[it.ID]})
	}
	for i := range e.Shared {
		s := &e.Shared[i]
		needed := false
		for _, id := range s.Items {
			needed = needed || on[id]
		}
		b, err := a.block(s.Lines, needed)
		if err != nil {
			return Totals{}, fmt.Errorf("%s: %w", s.Name, err)
		}
		a.t.Shared = append(a.t.Shared, SharedTotal{Setup: s.Setup, Amount: b.amount, Gross: b.gross, Hours: b.hours, On: needed})
	}
	return a.finish()
}

func accepted(e Estimate, answers []Answer) map[string]bool {
	on := map[string]bool{}
	for _, it := range e.Items {
		on[it.ID] = answers == nil
	}
	for _, a := range answers {
		on[a.Item] = a.Answer == Accept
	}
	return on
}

// rateSum is what was shown under one rate so far, and the tax that stands on it.
type rateSum struct{ shown, tax money.Amount }

type adding struct {
	e    Estimate
	t    Totals
	sums []rateSum
}

type block struct {
	amount, gross money.Amount
	hours         money.Milli
}

// block adds up the lines of an item or a preparation. Lines that don't count get their amount too, so that it can be shown.
func (a *adding) block(lines []Line, on bool) (b block, err error) {
	for i := range lines {
		l := &lines[i]
		lt, err := a.line(l, on)
		if err != nil {
			return b, fmt.Errorf("%s: %w", l.Name, err)
		}
		a.t.Lines[l.ID] = lt
		if l.Kind == Labour && l.Unit == "h" {
			b.hours += l.Milli
		}
		gross := lt.Amount
		if !a.e.Terms.Included {
			gross += lt.Tax
		}
		if b.amount, err = money.Add(b.amount, lt.Amount); err != nil {
			return b, err
		}
		if b.gross, err = money.Add(b.gross, gross); err != nil {
			return b, err
		}
		if on && l.Open {
			a.t.Open++
		}
	}
	return b, nil
}

func (a *adding) line(l *Line, on bool) (lt LineTotal, err error) {
	if lt.Amount, err = Shown(a.e, l); err != nil {
		return lt, err
	}
	k := a.rate(l.Tax)
	if k < 0 {
		return lt, fmt.Errorf("there is no tax %q", l.Tax)
	}
	if a.e.Terms.PerLine || !on {
		lt.Tax, err = a.tax(lt.Amount, k)
		if err != nil || !on {
			return lt, err
		}
	}
	s := &a.sums[k]
	if s.shown, err = money.Add(s.shown, lt.Amount); err != nil {
		return lt, err
	}
	if !a.e.Terms.PerLine {
		sum, err := a.tax(s.shown, k)
		if err != nil {
			return lt, err
		}
		lt.Tax = sum - s.tax
	}
	s.tax, err = money.Add(s.tax, lt.Tax)
	return lt, err
}

// Shown is a line's amount: price x quantity less its discount. An open line shows nothing.
func Shown(e Estimate, l *Line) (money.Amount, error) {
	if l.Open {
		return 0, nil
	}
	full, err := money.Times(l.Price, l.Milli)
	if err != nil {
		return 0, err
	}
	off, err := money.Share(full, Discount(e, l))
	return full - off, err
}

// Discount is what is taken off a line: its own, else that on everything.
func Discount(e Estimate, l *Line) money.Rate {
	if l.Discount != 0 {
		return l.Discount
	}
	return e.Discount
}

func (a *adding) rate(id string) int {
	for i, t := range a.e.Terms.Taxes {
		if t.ID == id {
			return i
		}
	}
	return -1
}

func (a *adding) tax(shown money.Amount, k int) (money.Amount, error) {
	rate := a.e.Terms.Taxes[k].Rate
	if a.e.Terms.Included {
		return money.Within(shown, rate)
	}
	return money.Share(shown, rate)
}

// finish adds up the rates and rounds the total.
func (a *adding) finish() (Totals, error) {
	t := &a.t
	var shown, tax money.Amount
	for k, s := range a.sums {
		var err error
		if shown, err = money.Add(shown, s.shown); err != nil {
			return Totals{}, err
		}
		if tax, err = money.Add(tax, s.tax); err != nil {
			return Totals{}, err
		}
		if s.shown != 0 || s.tax != 0 {
			base := s.shown
			if a.e.Terms.Included {
				base -= s.tax
			}
			t.Taxes = append(t.Taxes, TaxTotal{Tax: a.e.Terms.Taxes[k], Base: base, Amount: s.tax})
		}
	}
	t.Net, t.Gross = shown, shown+tax
	if a.e.Terms.Included {
		t.Net, t.Gross = shown-tax, shown
	}
	var err error
	if t.ToPay, err = money.ToStep(t.Gross, a.e.Terms.Round); err != nil {
		return Totals{}, err
	}
	t.Rounding = t.ToPay - t.Gross
	return *t, nil
}
