package shop

import (
	"context"
	"strconv"
	"strings"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
)

// TermsInput is what a form says of the terms, as typed. Bad entries are named by the fields' names in the form.
type TermsInput struct {
	ID, By                     string
	Currency, Address          string
	Taxes                      []TaxInput
	LabourTax, PartsTax        string
	Included, PerLine          bool
	Round, HourRate            string
	SundriesRate, SundriesMost string
	ValidDays, RemindDays      string
	VisitMinutes, VisitCost    string
}

// TaxInput is one tax as typed. One of which nothing is typed is none.
type TaxInput struct{ ID, Name, Rate string }

// Empty reports whether nothing is typed.
func (t TaxInput) Empty() bool { return t.ID == "" && t.Name == "" && t.Rate == "" }

// TermsAsTyped gives terms as a form shows them and reads them back. A bare suggestion has its amounts left open.
func TermsAsTyped(t Terms) TermsInput {
	c := t.Estimate.Currency
	amount := func(a money.Amount) string {
		if a == 0 && c.Code == "" {
			return ""
		}
		return money.Plain(c, a)
	}
	in := TermsInput{Currency: c.Code, Address: strings.Join(t.Address, "\n"), LabourTax: t.LabourTax, PartsTax: t.PartsTax,
		Included: t.Estimate.Included, PerLine: t.Estimate.PerLine, Round: amount(t.Estimate.Round), HourRate: amount(t.HourRate),
		SundriesRate: t.SundriesRate.Percent(), SundriesMost: amount(t.SundriesMost), ValidDays: strconv.Itoa(t.ValidDays),
		RemindDays: strconv.Itoa(t.RemindDays), VisitMinutes: strconv.Itoa(t.VisitMinutes), VisitCost: amount(t.VisitCost)}
	for _, x := range t.Estimate.Taxes {
		rate := x.Rate.Percent()
		if c.Code == "" {
			rate = "" // the suggestion knows none
		}
		in.Taxes = append(in.Taxes, TaxInput{x.ID, x.Name, rate})
	}
	return in
}

// SaveTypedTerms reads what was typed and keeps it as the terms that count. It is Invalid when an entry can't be used, and then nothing
// is stored.
func (s *Shop) SaveTypedTerms(ctx context.Context, in TermsInput) error {
	t, bad := in.read()
	if len(bad) > 0 {
		return bad
	}
	return s.SaveTerms(ctx, in.ID, in.By, t)
}

// read turns what was typed into terms. What can be read is checked as well, so that all that is wrong is told at once.
func (in TermsInput) read() (Terms, Invalid) {
	var bad Invalid
	unread := map[string]bool{}
	refuse := func(field, text string) {
		unread[field] = true
		bad = append(bad, FieldError{Field: field, Text: text})
	}
	c, known := money.Known(strings.ToUpper(strings.TrimSpace(in.Currency)))
	if !known {
		refuse("currency", "Choose the currency that you charge in.")
	}
	amount := func(field, typed string) (a money.Amount) {
		if strings.TrimSpace(typed) == "" {
			return 0
		}
		if !known {
			unread[field] = true // how many decimals it may have is not known
			return 0
		}
		a, err := money.Parse(c, typed)
		if err != nil {
			refuse(field, asSentence(err))
		}
		return a
	}
	rate := func(field, typed string) money.Rate {
		if strings.TrimSpace(typed) == "" && field == "sundries-rate" {
			return 0
		}
		r, err := money.ParsePercent(strings.ReplaceAll(typed, "\u00a0", " "))
		if err != nil {
			refuse(field, asSentence(err))
		}
		return r
	}
	whole := func(field, typed string) int {
		n, err := strconv.Atoi(strings.TrimSpace(typed))
		if err != nil {
			refuse(field, "Enter a whole number.")
		}
		return n
	}
	t := Terms{LabourTax: strings.TrimSpace(in.LabourTax), PartsTax: strings.TrimSpace(in.PartsTax),
		Estimate: estimate.Terms{Currency: c, Included: in.Included, PerLine: in.PerLine, Round: amount("round", in.Round)},
		HourRate: amount("hour-rate", in.HourRate), SundriesRate: rate("sundries-rate", in.SundriesRate), SundriesMost: amount("sundries-most", in.SundriesMost),
		ValidDays: whole("valid-days", in.ValidDays), RemindDays: whole("remind-days", in.RemindDays),
		VisitMinutes: whole("visit-minutes", in.VisitMinutes), VisitCost: amount("visit-cost", in.VisitCost)}
	for i, x := range in.Taxes {
		t.Estimate.Taxes = append(t.Estimate.Taxes, estimate.Tax{ID: strings.TrimSpace(x.ID), Name: squeeze(x.Name), Rate: rate("tax-rate-"+strconv.Itoa(i), x.Rate)})
	}
	for _, row := range strings.Split(in.Address, "\n") {
		if row = squeeze(row); row != "" {
			t.Address = append(t.Address, row)
		}
	}
	for _, p := range t.problems() {
		if !unread[p.Field] {
			bad = append(bad, p)
		}
	}
	return t, bad
}

// asSentence writes an error as a sentence of its own.
func asSentence(err error) string {
	text := err.Error()
	return strings.ToUpper(text[:1]) + text[1:] + "."
}
