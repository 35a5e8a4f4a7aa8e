package shop

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/core/point"
)

// Bounds of a price list's file.
const (
	MostPrices     = 20_000  // lines
	MostPriceBytes = 1 << 20 // of the file
)

// priceColumns are the names in the first line of a price list's file, in the order in which it is written.
var priceColumns = []string{"number", "name", "part", "unit", "price", "tax", "for"}

// neededColumns can't be left out.
var neededColumns = []string{"number", "name", "unit", "price"}

// priceUnits are the units that prices can be of.
var priceUnits = []string{"piece", "set", "L", "kg", "m"}

// PriceFault is something in a price list's file that can't be used.
type PriceFault struct {
	// Line counts from 1; 0 is the file as a whole. Column is the name of the column, empty for the whole line.
	Line   int
	Column string
	// Text says what stands there and what was expected.
	Text string
}

// String writes a fault as it is shown.
func (f PriceFault) String() string {
	switch {
	case f.Line == 0:
		return f.Text
	case f.Column == "":
		return fmt.Sprintf("Line %d: %s", f.Line, f.Text)
	}
	return fmt.Sprintf("Line %d, %s: %s", f.Line, f.Column, f.Text)
}

// PriceRules is what a price list's file is read against.
type PriceRules struct {
	Currency money.Currency
	Taxes    []estimate.Tax
	// Parts are the catalogue's by id, Families the ids of its families.
	Parts    map[string]*point.PartKind
	Families []string
}

// PriceRules gives what a price list must keep to now; ErrNoTerms while the workshop has no terms.
func (s *Shop) PriceRules(ctx context.Context) (PriceRules, error) {
	t, set, err := s.Terms(ctx)
	if err != nil {
		return PriceRules{}, err
	}
	if !set {
		return PriceRules{}, ErrNoTerms
	}
	r := PriceRules{Currency: t.Estimate.Currency, Taxes: t.Estimate.Taxes, Parts: s.cat.Parts}
	for _, f := range s.cat.Families {
		r.Families = append(r.Families, f.ID)
	}
	return r, nil
}

// ReadPrices reads a price list's file (docs/formats/prices.md). With faults the list is empty: all of the file counts or nothing. Every
// line is read, so that all that is wrong is told at once. The error is that of the reader.
func ReadPrices(r io.Reader, rules PriceRules) (PriceList, []PriceFault, error) {
	data, err := io.ReadAll(io.LimitReader(r, MostPriceBytes+1))
	if err != nil {
		return PriceList{}, nil, err
	}
	if len(data) > MostPriceBytes {
		return PriceList{}, []PriceFault{{Text: fmt.Sprintf("The file is larger than %d kB.", MostPriceBytes>>10)}}, nil
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	p := priceReader{rules: rules, list: PriceList{Currency: rules.Currency.Code, Prices: []Price{}}, seen: map[priceKey]int{}}
	if line := badText(data); line > 0 {
		p.fault(line, "", "the text is not UTF-8, or has a character of no meaning; save the file as CSV in UTF-8")
	} else {
		p.read(data)
	}
	if len(p.faults) > 0 {
		return PriceList{}, p.faults, nil
	}
	return p.list, nil, nil
}

// badText gives the first line with bytes that are no text, 0 when there is none.
func badText(data []byte) int {
	for i, line := range bytes.Split(data, []byte("\n")) {
		if !utf8.Valid(line) || bytes.IndexByte(line, 0) >= 0 {
			return i + 1
		}
	}
	return 0
}

type priceReader struct {
	rules  PriceRules
	list   PriceList
	faults []PriceFault
	// comma is what parts the columns, decimal the sign before decimals that the file uses, empty until the first.
	comma   rune
	decimal string
	columns []string
	seen    map[priceKey]int
}

func (p *priceReader) fault(line int, column, format string, args ...any) {
	p.faults = append(p.faults, PriceFault{Line: line, Column: column, Text: fmt.Sprintf(format, args...)})
}

func (p *priceReader) read(data []byte) {
	head, _, _ := bytes.Cut(data, []byte("\n"))
	p.comma = ','
	switch {
	case bytes.IndexByte(head, ';') >= 0:
		p.comma = ';'
	case bytes.IndexByte(head, '\t') >= 0 && bytes.IndexByte(head, ',') < 0:
		p.comma = '\t'
	}
	c := csv.NewReader(bytes.NewReader(data))
	c.Comma, c.FieldsPerRecord = p.comma, -1
	lines := 0
	for {
		cells, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			p.fault(bad.StartLine, "", "the quotation marks don't fit together; a cell in quotes doubles those inside it")
			if p.columns == nil {
				return
			}
			continue
		}
		line, _ := c.FieldPos(0)
		for i := range cells {
			cells[i] = squeeze(cells[i])
		}
		if p.columns == nil {
			if !p.header(line, cells) {
				return
			}
			continue
		}
		if lines++; lines > MostPrices {
			p.fault(line, "", "more than %d prices", MostPrices)
			return
		}
		if slices.ContainsFunc(cells, func(c string) bool { return c != "" }) {
			p.line(line, cells)
		}
	}
	if p.columns == nil {
		p.fault(1, "", "the file is empty; expected the columns %s", strings.Join(priceColumns, ", "))
	}
}

// header reads the names of the columns.
func (p *priceReader) header(line int, cells []string) bool {
	before := len(p.faults)
	p.columns = []string{}
	for i, name := range cells {
		name = strings.ToLower(name)
		switch {
		case !slices.Contains(priceColumns, name):
			p.fault(line, "", "column %d is called %q; expected names out of %s", i+1, cells[i], strings.Join(priceColumns, ", "))
		case slices.Contains(p.columns, name):
			p.fault(line, name, "the column stands there twice")
		}
		p.columns = append(p.columns, name)
	}
	for _, name := range neededColumns {
		if !slices.Contains(p.columns, name) {
			p.fault(line, name, "the column is missing; the first line names the columns")
		}
	}
	return len(p.faults) == before
}

// line reads one price.
func (p *priceReader) line(line int, cells []string) {
	if len(cells) != len(p.columns) {
		p.fault(line, "", "%d columns; expected %d as in the first line", len(cells), len(p.columns))
		return
	}
	cell := map[string]string{}
	for i, name := range p.columns {
		cell[name] = cells[i]
	}
	price := Price{Number: cell["number"], Name: cell["name"], Part: cell["part"], Unit: cell["unit"], Tax: cell["tax"], For: cell["for"]}
	before := len(p.faults)
	price.Price = p.amount(line, cell["price"])
	for _, bad := range slices.Concat(price.problems(), p.rules.problems(&price)) {
		p.fault(line, bad.Column, "%s", bad.Text)
	}
	if first, twice := p.seen[price.key()]; twice {
		p.fault(line, "number", "line %d has %q for the same part and cars already", first, price.Number)
	}
	p.seen[price.key()] = line
	if len(p.faults) == before {
		p.list.Prices = append(p.list.Prices, price)
	}
}

// amount reads a price exactly. A file keeps to one sign before its decimals, and where commas part the columns it is the point.
func (p *priceReader) amount(line int, text string) money.Amount {
	sign := ""
	if i := strings.LastIndexAny(text, ".,"); i >= 0 {
		sign = text[i : i+1]
	}
	switch {
	case text == "":
		p.fault(line, "price", "it is empty; expected an amount such as %s", money.Plain(p.rules.Currency, 1250))
		return 0
	case sign == "," && p.comma == ',':
		p.fault(line, "price", "%q has a comma; where commas part the columns, decimals stand behind a point", text)
		return 0
	case sign != "" && p.decimal != "" && sign != p.decimal:
		p.fault(line, "price", "%q; earlier lines have decimals behind %q", text, p.decimal)
		return 0
	}
	a, err := money.Parse(p.rules.Currency, text)
	if err != nil {
		p.fault(line, "price", "%v", err)
		return 0
	}
	if sign != "" {
		p.decimal = sign
	}
	return a
}

// problems finds what no list can hold.
func (p *Price) problems() (bad []PriceFault) {
	add := func(wrong bool, column, format string, args ...any) {
		if wrong {
			bad = append(bad, PriceFault{Column: column, Text: fmt.Sprintf(format, args...)})
		}
	}
	for _, c := range [...]struct {
		column, text string
		most         int
		needed       bool
	}{{"number", p.Number, 60, true}, {"name", p.Name, 120, true}, {"part", p.Part, 60, false}, {"tax", p.Tax, 20, false}, {"for", p.For, 60, false}} {
		add(c.needed && c.text == "", c.column, "it is empty")
		add(utf8.RuneCountInString(c.text) > c.most, c.column, "it is longer than %d characters", c.most)
		add(c.text != "" && strings.ContainsRune("=+-@", rune(c.text[0])), c.column, "%q begins with a sign that makes a spreadsheet compute; expected a letter or digit first", c.text)
		add(c.text != squeeze(c.text), c.column, "%q has needless spaces or signs that can't be seen", c.text)
	}
	add(!slices.Contains(priceUnits, p.Unit), "unit", "%q; expected one of %s", p.Unit, strings.Join(priceUnits, ", "))
	add(p.Price < 0, "price", "it is below 0")
	add(p.Price > mostRate, "price", "it is larger than any price here")
	own, plated := strings.CutPrefix(p.For, plateMark)
	add(plated && plainPlate(own) == "", "for", "the plate is missing behind %q", plateMark)
	return bad
}

// problems finds what does not fit the workshop's terms and catalogue.
func (r *PriceRules) problems(p *Price) (bad []PriceFault) {
	if p.Part != "" {
		part := r.Parts[p.Part]
		switch {
		case part == nil:
			bad = append(bad, PriceFault{Column: "part", Text: fmt.Sprintf("%q is no part of the catalogue; leave it empty for what is only typed into estimates", p.Part)})
		case part.Unit != p.Unit && slices.Contains(priceUnits, p.Unit):
			bad = append(bad, PriceFault{Column: "unit", Text: fmt.Sprintf("%q; the catalogue counts %s by %s", p.Unit, part.ID, part.Unit)})
		}
	}
	if p.Tax != "" && !slices.ContainsFunc(r.Taxes, func(t estimate.Tax) bool { return t.ID == p.Tax }) {
		bad = append(bad, PriceFault{Column: "tax", Text: fmt.Sprintf("%q is none of the workshop's taxes", p.Tax)})
	}
	if p.For != "" && !strings.HasPrefix(p.For, plateMark) && !slices.Contains(r.Families, p.For) {
		bad = append(bad, PriceFault{Column: "for", Text: fmt.Sprintf("%q is no family of the catalogue; for one car write %sAB-12 CD", p.For, plateMark)})
	}
	return bad
}

// WritePrices writes a list as a file that ReadPrices reads back unchanged.
func WritePrices(w io.Writer, c money.Currency, list *PriceList) error {
	out := csv.NewWriter(w)
	if err := out.Write(priceColumns); err != nil {
		return err
	}
	for _, p := range list.Prices {
		if err := out.Write([]string{p.Number, p.Name, p.Part, p.Unit, money.Plain(c, p.Price), p.Tax, p.For}); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// Digest is what proves that a list is the one that was shown: SHA-256 over its currency, its prices and the id of the list that it was
// held against, in hex.
func (l *PriceList) Digest(after string) (string, error) {
	data, err := json.Marshal(struct {
		After, Currency string
		Prices          []Price
	}{after, l.Currency, l.Prices})
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:]), nil
}
