package estimate

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"witnessmark/core/money"
)

// Bounds of what an estimate may hold (the project's own).
const (
	MaxItems = 200
	MaxLines = 100 // of an item
	MaxText  = 2000
	// MaxMilli is the largest quantity of a line: 100 000 of its unit.
	MaxMilli money.Milli = 100_000_000
)

// Problem is one thing that is wrong, with its place.
type Problem struct{ Place, Text string }

// Problems are all that is wrong.
type Problems []Problem

// Error lists them.
func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i, x := range p {
		lines[i] = x.Place + ": " + x.Text
	}
	return strings.Join(lines, "; ")
}

// Check finds all that is wrong with an estimate: Problems, nil when nothing is. Open prices are no problem of it; Ready asks for them.
func Check(e Estimate) error {
	c := checking{e: e}
	c.terms(e.Terms)
	c.day("the day of the visit", e.VisitOn)
	c.day("valid until", e.ValidUntil)
	c.rate("discount", e.Discount)
	if e.Number == "" || e.Version < 1 {
		c.add("estimate", "it needs a number and a version from 1")
	}
	if len(e.Items) > MaxItems {
		c.add("estimate", fmt.Sprintf("%d items; at most %d", len(e.Items), MaxItems))
	}
	items := map[string]bool{}
	for i := range e.Items {
		c.item(i, items)
	}
	for i := range e.Shared {
		s := &e.Shared[i]
		place := fmt.Sprintf("shared preparation %d", i+1)
		if len(s.Items) == 0 {
			c.add(place, "no item needs it")
		}
		for _, id := range s.Items {
			if !items[id] {
				c.add(place, fmt.Sprintf("there is no item %q", id))
			}
		}
		c.lines(place, s.Lines)
	}
	if len(c.found) > 0 {
		return c.found
	}
	if _, err := Total(e, nil); err != nil {
		return Problems{{"total", err.Error()}}
	}
	return nil
}

// Ready says what keeps an estimate from being put before the owner on a day: what Check finds, nothing to ask, a price that is
// missing, a last day that has passed. nil is ready.
func Ready(e Estimate, today string) error {
	if err := Check(e); err != nil {
		return err
	}
	var c checking
	if len(e.Items) == 0 {
		c.add("estimate", "there is nothing to ask the owner")
	}
	for i := range e.Items {
		if len(e.Items[i].Lines) == 0 {
			c.add(fmt.Sprintf("item %d", i+1), e.Items[i].Name+" has no line")
		}
	}
	for l := range Lines(&e) {
		if l.Open {
			c.add(l.Name, "its price is missing")
		}
	}
	if e.ValidUntil < today {
		c.add("valid until", dayWords(e.ValidUntil)+" has passed")
	}
	if len(c.found) > 0 {
		return c.found
	}
	return nil
}

// dayWords writes a day for people; what is none stays as it is.
func dayWords(on string) string {
	d, err := time.Parse("2006-01-02", on)
	if err != nil {
		return on
	}
	return d.Format("2 January 2006")
}

// Lines goes through every line, items first, then what they share.
func Lines(e *Estimate) func(yield func(*Line) bool) {
	return func(yield func(*Line) bool) {
		for i := range e.Items {
			for k := range e.Items[i].Lines {
				if !yield(&e.Items[i].Lines[k]) {
					return
				}
			}
		}
		for i := range e.Shared {
			for k := range e.Shared[i].Lines {
				if !yield(&e.Shared[i].Lines[k]) {
					return
				}
			}
		}
	}
}

type checking struct {
	e     Estimate
	seen  map[string]bool
	found Problems
}

func (c *checking) add(place, text string) { c.found = append(c.found, Problem{place, text}) }

func (c *checking) terms(t Terms) {
	if known, ok := money.Known(t.Currency.Code); !ok || known != t.Currency {
		c.add("currency", fmt.Sprintf("%q with %d decimals is not known", t.Currency.Code, t.Currency.Exponent))
	}
	if t.Round < 0 {
		c.add("rounding", "it can't be below 0")
	}
	seen := map[string]bool{}
	for _, tax := range t.Taxes {
		if tax.ID == "" || seen[tax.ID] {
			c.add("taxes", fmt.Sprintf("the id %q is empty or stands twice", tax.ID))
		}
		seen[tax.ID] = true
		c.rate("tax "+tax.Name, tax.Rate)
	}
}

func (c *checking) rate(place string, r money.Rate) {
	if r < 0 || r > 1_000_000 {
		c.add(place, r.Percent()+"; expected 0 to 100 %")
	}
}

func (c *checking) day(place, on string) {
	if _, err := time.Parse("2006-01-02", on); err != nil {
		c.add(place, fmt.Sprintf("%q is no day; expected such as 2026-12-01", on))
	}
}

func (c *checking) item(i int, items map[string]bool) {
	it := &c.e.Items[i]
	place := fmt.Sprintf("item %d", i+1)
	if it.ID == "" || items[it.ID] {
		c.add(place, fmt.Sprintf("the id %q is empty or stands twice", it.ID))
	}
	items[it.ID] = true
	c.text(place, it.Name, true)
	for _, text := range []string{it.Why, it.Wait, it.Warning, it.Category} {
		c.text(place, text, false)
	}
	if it.Must && it.Warning == "" {
		c.add(place, "it must not be put off, and there are no words to warn with")
	}
	c.lines(place, it.Lines)
}

func (c *checking) text(place, text string, needed bool) {
	switch {
	case needed && strings.TrimSpace(text) == "":
		c.add(place, "it needs a name")
	case len(text) > MaxText:
		c.add(place, fmt.Sprintf("a text is longer than %d characters", MaxText))
	case !utf8.ValidString(text) || strings.ContainsRune(text, 0):
		c.add(place, "a text has characters that can't be stored")
	}
}

func (c *checking) lines(place string, lines []Line) {
	if c.seen == nil {
		c.seen = map[string]bool{}
	}
	if len(lines) > MaxLines {
		c.add(place, fmt.Sprintf("%d lines; at most %d", len(lines), MaxLines))
	}
	for i := range lines {
		l := &lines[i]
		at := fmt.Sprintf("%s, line %d", place, i+1)
		if l.ID == "" || c.seen[l.ID] {
			c.add(at, fmt.Sprintf("the id %q is empty or stands twice", l.ID))
		}
		c.seen[l.ID] = true
		c.text(at, l.Name, true)
		if !slices.Contains([]string{Labour, Part, Fluid, Sundries}, l.Kind) {
			c.add(at, fmt.Sprintf("kind %q; expected labour, part, fluid or sundries", l.Kind))
		}
		if l.Milli <= 0 || l.Milli > MaxMilli {
			c.add(at, fmt.Sprintf("quantity %s; expected more than 0 and at most %s", l.Milli, MaxMilli))
		}
		if l.Price < 0 || l.Price > money.Most {
			c.add(at, "the price is below 0 or too large")
		}
		c.rate(at+", discount", l.Discount)
		if !slices.ContainsFunc(c.e.Terms.Taxes, func(t Tax) bool { return t.ID == l.Tax }) {
			c.add(at, fmt.Sprintf("there is no tax %q", l.Tax))
		}
	}
}
