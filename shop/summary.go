package shop

import (
	"context"
	"slices"
	"time"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
)

// Summary is closed-out work ready for the invoice, as docs/formats/summary.md describes it. Amounts and quantities are plain decimals.
// Only what was agreed and done is in its lines and totals.
type Summary struct {
	Format   string          `json:"format"`
	Estimate SummaryEstimate `json:"estimate"`
	Decision SummaryDecision `json:"decision"`
	CloseOut SummaryClose    `json:"close_out"`
	Workshop []string        `json:"workshop"`
	Car      []string        `json:"car"`
	Owner    string          `json:"owner"`
	// Currency is the code of ISO 4217. TaxIncluded is true when the lines' amounts hold their tax.
	Currency    string           `json:"currency"`
	TaxIncluded bool             `json:"tax_included"`
	Items       []SummaryItem    `json:"items"`
	Lines       []SummaryLine    `json:"lines"`
	Fitted      []SummaryFitted  `json:"fitted"`
	NotDone     []SummaryNotDone `json:"not_done"`
	Taxes       []SummaryTax     `json:"taxes"`
	Net         string           `json:"net"`
	Gross       string           `json:"gross"`
	Rounding    string           `json:"rounding"`
	ToPay       string           `json:"to_pay"`
}

// SummaryFormat names the format and its version.
const SummaryFormat = "witnessmark-summary/1"

// SummaryEstimate says which estimate was agreed, with the digest of what was shown.
type SummaryEstimate struct {
	Number  string `json:"number"`
	Version int    `json:"version"`
	Digest  string `json:"digest"`
}

// SummaryDecision says who agreed, how and when: At is the server's time, SaidOn when a spoken answer was given.
type SummaryDecision struct {
	ID     string `json:"id"`
	How    string `json:"how"`
	Name   string `json:"name"`
	At     string `json:"at"`
	SaidOn string `json:"said_on,omitempty"`
}

// SummaryClose says when the work was closed out. Km is rounded to a whole kilometre.
type SummaryClose struct {
	ID   string `json:"id"`
	On   string `json:"on"`
	Km   int64  `json:"km"`
	By   string `json:"by,omitempty"`
	Note string `json:"note,omitempty"`
}

// SummaryItem is a done item with the time taken.
type SummaryItem struct {
	ID      string `json:"id"`
	Name    string `json:"name"`
	Minutes int    `json:"minutes"`
}

// SummaryLine is a line to charge. Item is empty for what several items share.
type SummaryLine struct {
	ID       string `json:"id"`
	Item     string `json:"item,omitempty"`
	Shared   string `json:"shared,omitempty"`
	Kind     string `json:"kind"`
	Name     string `json:"name"`
	Number   string `json:"number,omitempty"`
	Quantity string `json:"quantity"`
	Unit     string `json:"unit"`
	Price    string `json:"price"`
	Discount string `json:"discount,omitempty"`
	Tax      string `json:"tax"`
	Amount   string `json:"amount"`
}

// SummaryFitted is a part as it was fitted. Line is empty for what was fitted beyond the agreed lines, and is not charged.
type SummaryFitted struct {
	Item     string `json:"item"`
	Line     string `json:"line,omitempty"`
	Name     string `json:"name"`
	Number   string `json:"number,omitempty"`
	Quantity string `json:"quantity"`
	Unit     string `json:"unit,omitempty"`
	Batch    string `json:"batch,omitempty"`
}

// SummaryNotDone is an agreed item that was not done, and is not charged.
type SummaryNotDone struct {
	Item string `json:"item"`
	Name string `json:"name"`
	Why  string `json:"why"`
}

// SummaryTax is one rate's tax on its base.
type SummaryTax struct {
	ID     string `json:"id"`
	Name   string `json:"name"`
	Rate   string `json:"rate"`
	Base   string `json:"base"`
	Amount string `json:"amount"`
}

// Summary sums closed-out work up; ErrNotFound while it is open.
func (s *Shop) Summary(ctx context.Context, decisionID string) (*Summary, error) {
	o, err := s.WorkOrder(ctx, decisionID)
	if err != nil {
		return nil, err
	}
	if o.Close == nil {
		return nil, ErrNotFound
	}
	return summaryOf(o, s.sheetOf(o))
}

func summaryOf(o *WorkOrder, sheet *WorkSheet) (*Summary, error) {
	e, c := o.Draft.Said.Estimate, o.Close
	totals, err := DoneTotals(o)
	if err != nil {
		return nil, err
	}
	cur := e.Terms.Currency
	plain := func(a money.Amount) string { return money.Plain(cur, a) }
	out := &Summary{Format: SummaryFormat, Estimate: SummaryEstimate{e.Number, e.Version, o.Decision.Said.Digest}, Workshop: e.Workshop, Car: e.Car, Owner: e.Owner,
		Decision: SummaryDecision{ID: o.Decision.ID, How: o.Decision.Said.How, Name: o.Decision.Said.Name, SaidOn: o.Decision.Said.SaidOn,
			At: time.UnixMilli(o.Decision.ReceivedAt).UTC().Format(time.RFC3339)},
		CloseOut: SummaryClose{ID: c.ID, On: c.Said.On, Km: int64(c.Said.Km + 0.5), By: c.By, Note: c.Said.Note},
		Currency: cur.Code, TaxIncluded: e.Terms.Included, Items: []SummaryItem{}, Lines: []SummaryLine{}, Fitted: []SummaryFitted{}, NotDone: []SummaryNotDone{},
		Taxes: []SummaryTax{}, Net: plain(totals.Net), Gross: plain(totals.Gross), Rounding: plain(totals.Rounding), ToPay: plain(totals.ToPay)}
	lines := func(list []estimate.Line, item, shared string) {
		for i := range list {
			l := &list[i]
			line := SummaryLine{ID: l.ID, Item: item, Shared: shared, Kind: l.Kind, Name: l.Name, Number: l.Number, Quantity: l.Milli.String(), Unit: l.Unit,
				Price: plain(l.Price), Tax: l.Tax, Amount: plain(totals.Lines[l.ID].Amount)}
			if d := estimate.Discount(e, l); d != 0 {
				line.Discount = d.Percent()
			}
			out.Lines = append(out.Lines, line)
		}
	}
	for _, it := range o.Items {
		out.item(o, it, lines)
	}
	for i := range out.Fitted {
		out.Fitted[i].Unit = sheet.unitOf(out.Fitted[i].Line, out.Fitted[i].Name)
	}
	for i, sh := range totals.Shared {
		if sh.On {
			lines(e.Shared[i].Lines, "", sh.Setup)
		}
	}
	for _, t := range totals.Taxes {
		out.Taxes = append(out.Taxes, SummaryTax{t.Tax.ID, t.Tax.Name, t.Tax.Rate.Percent(), plain(t.Base), plain(t.Amount)})
	}
	return out, nil
}

// item adds an agreed item: with its lines and parts when it was done, with the reason when not.
func (out *Summary) item(o *WorkOrder, it estimate.Item, lines func(list []estimate.Line, item, shared string)) {
	d := doneOf(o.Close, it.ID)
	if d == nil {
		return
	}
	if !d.Done {
		out.NotDone = append(out.NotDone, SummaryNotDone{it.ID, it.Name, d.WhyNot})
		return
	}
	out.Items = append(out.Items, SummaryItem{it.ID, it.Name, d.Minutes})
	lines(it.Lines, it.ID, "")
	for _, f := range d.Fitted {
		out.Fitted = append(out.Fitted, SummaryFitted{Item: it.ID, Line: f.Line, Name: f.Name, Number: f.Number, Quantity: f.Milli.String(), Batch: f.Batch})
	}
}

// doneOf finds how an item ended; nil when the close-out does not speak of it.
func doneOf(c *Kept[CloseOut], item string) *ItemDone {
	if c == nil {
		return nil
	}
	if i := slices.IndexFunc(c.Said.Items, func(d ItemDone) bool { return d.Item == item }); i >= 0 {
		return &c.Said.Items[i]
	}
	return nil
}

// DoneAnswers are answers that accept exactly what was agreed and done: what is charged. A shared preparation stays while any of its
// items was done.
func DoneAnswers(o *WorkOrder) []estimate.Answer {
	out := []estimate.Answer{}
	for _, it := range o.Draft.Said.Estimate.Items {
		a := estimate.Answer{Item: it.ID, Answer: estimate.Decline}
		if d := doneOf(o.Close, it.ID); d != nil && d.Done && o.Item(it.ID) != nil {
			a.Answer = estimate.Accept
		}
		out = append(out, a)
	}
	return out
}

// DoneTotals adds up what was agreed and done.
func DoneTotals(o *WorkOrder) (estimate.Totals, error) {
	return estimate.Total(o.Draft.Said.Estimate, DoneAnswers(o))
}
