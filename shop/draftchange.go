package shop

import (
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
)

// LineChange adds a line to an item or a shared preparation, changes one, or takes one out. Texts are as typed.
type LineChange struct {
	// Block is the id of the item, or "setup/" and the id of the preparation; of an existing line it may be empty.
	Block string
	// Line is the id of an existing line; empty adds one.
	Line                                                     string
	Kind, Name, Number, Quantity, Unit, Price, Tax, Discount string
	Remove                                                   bool
}

// ItemChange adds an item of the adviser's own, changes an item's words, or takes an item out.
type ItemChange struct {
	// Item is the id of an existing item; empty adds one.
	Item            string
	Name, Why, Wait string
	Remove          bool
}

// HeadChange changes what holds for the whole estimate. Texts are as typed.
type HeadChange struct{ Discount, Note, ValidUntil, VisitOn string }

// Units that lines are counted in.
var lineUnits = []string{"h", "piece", "set", "L", "kg", "m"}

// LineUnits lists the units that a line can be counted in.
func LineUnits() []string { return slices.Clone(lineUnits) }

// setupBlock names a shared preparation as a block of lines.
const setupBlock = "setup/"

// SetupBlock names a shared preparation as a LineChange does.
func SetupBlock(setup string) string { return setupBlock + setup }

// linesOf gives the lines of a block with its name; nil when there is no such block.
func linesOf(e *estimate.Estimate, block string) (*[]estimate.Line, string) {
	if setup, ok := strings.CutPrefix(block, setupBlock); ok {
		if i := slices.IndexFunc(e.Shared, func(s estimate.Shared) bool { return s.Setup == setup }); i >= 0 {
			return &e.Shared[i].Lines, e.Shared[i].Name
		}
		return nil, ""
	}
	if i := slices.IndexFunc(e.Items, func(it estimate.Item) bool { return it.ID == block }); i >= 0 {
		return &e.Items[i].Lines, e.Items[i].Name
	}
	return nil, ""
}

// FindLine gives a line of an estimate with its block and the block's name; nil when there is none.
func FindLine(e *estimate.Estimate, id string) (l *estimate.Line, block, name string) {
	for i := range e.Items {
		for k := range e.Items[i].Lines {
			if e.Items[i].Lines[k].ID == id {
				return &e.Items[i].Lines[k], e.Items[i].ID, e.Items[i].Name
			}
		}
	}
	for i := range e.Shared {
		for k := range e.Shared[i].Lines {
			if e.Shared[i].Lines[k].ID == id {
				return &e.Shared[i].Lines[k], SetupBlock(e.Shared[i].Setup), e.Shared[i].Name
			}
		}
	}
	return nil, "", ""
}

func (c LineChange) apply(e *estimate.Estimate, id string) (string, error) {
	block := c.Block
	var old *estimate.Line
	if c.Line != "" {
		if old, block, _ = FindLine(e, c.Line); old == nil {
			return "", ErrNotFound
		}
	}
	lines, _ := linesOf(e, block)
	if lines == nil {
		return "", ErrNotFound
	}
	if c.Remove && old == nil {
		return "", ErrNotFound
	}
	if c.Remove {
		name := old.Name
		*lines = slices.DeleteFunc(*lines, func(l estimate.Line) bool { return l.ID == c.Line })
		dropEmpty(e)
		return "line taken out: " + name, nil
	}
	l := estimate.Line{ID: id, Kind: c.Kind}
	if old != nil {
		l = *old
	}
	if bad := c.typed(e, &l); len(bad) > 0 {
		return "", bad
	}
	if old != nil {
		*old = l
		return "line changed: " + l.Name, nil
	}
	*lines = append(*lines, l)
	return "line added: " + l.Name, nil
}

// typed reads what was typed into a line.
func (c LineChange) typed(e *estimate.Estimate, l *estimate.Line) (bad Invalid) {
	note := func(field, text string) { bad = append(bad, FieldError{Field: field, Text: text}) }
	if c.Line == "" && !slices.Contains([]string{estimate.Labour, estimate.Part, estimate.Fluid, estimate.Sundries}, c.Kind) {
		note("kind", "Choose what kind of line it is.")
	}
	l.Name, l.Number = squeeze(c.Name), squeeze(c.Number)
	if bad := nameProblem(l.Name); bad != "" {
		note("name", bad)
	}
	if utf8.RuneCountInString(l.Number) > 60 {
		note("number", "This is longer than 60 characters.")
	}
	q, err := money.ParseMilli(c.Quantity)
	if err != nil || q <= 0 || q > estimate.MaxMilli {
		note("quantity", "Enter how much, such as 1 or 0.5; more than 0, no more than 100 000, at most three decimals.")
	}
	if !slices.Contains(lineUnits, c.Unit) {
		note("unit", "Choose a unit.")
	}
	l.Milli, l.Unit = q, c.Unit
	c.typedPrice(e, l, note)
	if !slices.ContainsFunc(e.Terms.Taxes, func(t estimate.Tax) bool { return t.ID == c.Tax }) {
		note("tax", "Choose one of the taxes.")
	}
	l.Tax = c.Tax
	l.Discount = typedDiscount(c.Discount, note)
	return bad
}

// typedPrice reads a price; without one the line is open.
func (c LineChange) typedPrice(e *estimate.Estimate, l *estimate.Line, note func(field, text string)) {
	if strings.TrimSpace(c.Price) == "" {
		l.Price, l.Open = 0, true
		return
	}
	price, err := money.Parse(e.Terms.Currency, c.Price)
	switch {
	case err != nil:
		note("price", upperFirst(err.Error())+".")
	case price < 0:
		note("price", "A price can't be below 0. Take something off with a discount.")
	}
	l.Price, l.Open, l.Name = price, false, withoutUnknown(l.Name)
}

// typedDiscount reads a discount in percent; an empty one is none.
func typedDiscount(text string, note func(field, text string)) money.Rate {
	if strings.TrimSpace(text) == "" {
		return 0
	}
	r, err := money.ParsePercent(text)
	if err != nil || r < 0 || r > 1_000_000 {
		note("discount", "Enter a discount from 0 to 100, in percent.")
	}
	return r
}

func nameProblem(name string) string {
	switch {
	case name == "":
		return "Enter a name; it stands on paper."
	case utf8.RuneCountInString(name) > 160:
		return "This is longer than 160 characters."
	}
	return ""
}

// dropEmpty takes out preparations that no item needs any more, or that have no line left.
func dropEmpty(e *estimate.Estimate) {
	for i := range e.Shared {
		e.Shared[i].Items = slices.DeleteFunc(e.Shared[i].Items, func(id string) bool {
			return !slices.ContainsFunc(e.Items, func(it estimate.Item) bool { return it.ID == id })
		})
	}
	e.Shared = slices.DeleteFunc(e.Shared, func(s estimate.Shared) bool { return len(s.Items) == 0 || len(s.Lines) == 0 })
	if len(e.Shared) == 0 {
		e.Shared = nil
	}
}

func (c ItemChange) apply(e *estimate.Estimate, id string) (string, error) {
	at := slices.IndexFunc(e.Items, func(it estimate.Item) bool { return it.ID == c.Item })
	if c.Item != "" && at < 0 || c.Item == "" && c.Remove {
		return "", ErrNotFound
	}
	if c.Remove {
		name := e.Items[at].Name
		e.Items = slices.Delete(e.Items, at, at+1)
		dropEmpty(e)
		return "item taken out: " + name, nil
	}
	it := estimate.Item{ID: id}
	if at >= 0 {
		it = e.Items[at]
	}
	it.Name, it.Why, it.Wait = squeeze(c.Name), squeeze(c.Why), squeeze(c.Wait)
	var bad Invalid
	if text := nameProblem(it.Name); text != "" {
		bad = append(bad, FieldError{Field: "name", Text: text})
	}
	for _, f := range [...][2]string{{"why", it.Why}, {"wait", it.Wait}} {
		if len(f[1]) > longest {
			bad = append(bad, FieldError{Field: f[0], Text: "This is too long: at most 480 characters."})
		}
	}
	if len(bad) > 0 {
		return "", bad
	}
	it.Warning = DeclineWarning(it)
	if at >= 0 {
		e.Items[at] = it
		return "item changed: " + it.Name, nil
	}
	e.Items = append(e.Items, it)
	return "item added: " + it.Name, nil
}

func (c HeadChange) apply(e *estimate.Estimate, _ string) (string, error) {
	var bad Invalid
	note := func(field, text string) { bad = append(bad, FieldError{Field: field, Text: text}) }
	e.Discount = typedDiscount(c.Discount, note)
	e.Note = squeeze(c.Note)
	if utf8.RuneCountInString(e.Note) > 1000 {
		note("note", "This is longer than 1000 characters.")
	}
	e.ValidUntil, e.VisitOn = strings.TrimSpace(c.ValidUntil), strings.TrimSpace(c.VisitOn)
	for _, f := range [...][2]string{{"valid-until", e.ValidUntil}, {"visit-on", e.VisitOn}} {
		if t, err := time.Parse(dayLayout, f[1]); err != nil || t.Year() < 1950 {
			note(f[0], "Enter a day such as 2026-12-01.")
		}
	}
	if len(bad) > 0 {
		return "", bad
	}
	return "head changed", nil
}
