package shop

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"
)

// SummaryColumns are the columns of a summary as CSV. Each row uses those that its kind has.
var SummaryColumns = []string{"row", "id", "item", "name", "number", "quantity", "unit", "price", "discount", "tax", "amount", "batch", "minutes", "note"}

// WriteCSV writes a summary as CSV (RFC 4180), one row a thing, its kind in the first column. Texts that a spreadsheet would take for a
// formula get an apostrophe before them.
func (m *Summary) WriteCSV(w io.Writer) error {
	c := csv.NewWriter(w)
	c.UseCRLF = true
	place := map[string]int{}
	for i, name := range SummaryColumns {
		place[name] = i
	}
	var err error
	row := func(kind string, pairs ...string) {
		out := make([]string, len(SummaryColumns))
		out[0] = kind
		for i := 0; i+1 < len(pairs); i += 2 {
			out[place[pairs[i]]] = cell(pairs[i], pairs[i+1])
		}
		if e := c.Write(out); err == nil {
			err = e
		}
	}
	if e := c.Write(SummaryColumns); e != nil {
		return e
	}
	m.rows(row)
	c.Flush()
	if err == nil {
		err = c.Error()
	}
	return err
}

func (m *Summary) rows(row func(kind string, pairs ...string)) {
	row("format", "name", m.Format)
	row("estimate", "id", m.Estimate.Number, "number", strconv.Itoa(m.Estimate.Version), "note", m.Estimate.Digest)
	row("decision", "id", m.Decision.ID, "name", m.Decision.Name, "number", m.Decision.How, "note", strings.TrimSpace(m.Decision.At+" "+m.Decision.SaidOn))
	row("close-out", "id", m.CloseOut.ID, "name", m.CloseOut.By, "number", m.CloseOut.On, "quantity", strconv.FormatInt(m.CloseOut.Km, 10), "unit", "km", "note", m.CloseOut.Note)
	row("workshop", "name", strings.Join(m.Workshop, ", "))
	row("car", "name", strings.Join(m.Car, ", "))
	row("owner", "name", m.Owner)
	included := "added"
	if m.TaxIncluded {
		included = "included"
	}
	row("currency", "id", m.Currency, "note", "tax "+included)
	for _, it := range m.Items {
		row("item", "id", it.ID, "name", it.Name, "minutes", strconv.Itoa(it.Minutes))
	}
	for _, l := range m.Lines {
		item := l.Item
		if item == "" {
			item = "shared: " + l.Shared
		}
		row("line", "id", l.ID, "item", item, "name", l.Name, "number", l.Number, "quantity", l.Quantity, "unit", l.Unit, "price", l.Price, "discount", l.Discount, "tax", l.Tax,
			"amount", l.Amount, "note", l.Kind)
	}
	for _, f := range m.Fitted {
		row("fitted", "id", f.Line, "item", f.Item, "name", f.Name, "number", f.Number, "quantity", f.Quantity, "unit", f.Unit, "batch", f.Batch)
	}
	for _, n := range m.NotDone {
		row("not-done", "id", n.Item, "name", n.Name, "note", n.Why)
	}
	for _, t := range m.Taxes {
		row("tax", "id", t.ID, "name", t.Name, "tax", t.Rate, "price", t.Base, "amount", t.Amount)
	}
	row("net", "amount", m.Net)
	row("gross", "amount", m.Gross)
	row("rounding", "amount", m.Rounding)
	row("to-pay", "amount", m.ToPay)
}

// cell keeps a spreadsheet from taking a text for a formula: one that begins with = + - @ (after blanks) or a control character gets an
// apostrophe before it (OWASP, CSV Injection). Columns of numbers hold only what the program wrote, a minus too.
func cell(column, text string) string {
	switch column {
	case "quantity", "price", "amount", "minutes":
		return text
	}
	trimmed := strings.TrimLeft(text, " \u00a0\t\r\n")
	if text != "" && (text[0] == '\t' || text[0] == '\r' || text[0] == '\n') || trimmed != "" && strings.ContainsRune("=+-@＝＋－＠", []rune(trimmed)[0]) {
		return "'" + text
	}
	return text
}
