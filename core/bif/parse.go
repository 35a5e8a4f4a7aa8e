package bif

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"witnessmark/core/cause"
)

// Parse reads a document. Errors are *Error with the line. A table of a variable with parents that is written as one list is read in the order
// of the grammar (the variable's own state changing slowest) or, when only that gives rows with the sum 1, with it changing fastest.
func Parse(text []byte) (*Document, error) {
	p := &parser{scanner: scanner{rest: string(text), line: 1}, doc: &Document{}, byName: map[string]int{}}
	if err := p.file(); err != nil {
		return nil, err
	}
	for _, r := range p.raw {
		if err := p.table(r); err != nil {
			return nil, err
		}
	}
	for _, v := range p.doc.Variables {
		if !slices.ContainsFunc(p.doc.Tables, func(t Table) bool { return t.Variable == v.Name }) {
			return nil, wrong(p.line, "there is no probability block for %q", v.Name)
		}
	}
	if _, err := p.doc.Network(); err != nil {
		return nil, wrong(p.line, "the network is not sound: %v", err)
	}
	return p.doc, nil
}

// raw is a probability block as read, before its names are known.
type raw struct {
	line    int
	table   Table
	entries []entry
}

// entry is one line of a block: given states, or a whole table, or the default row.
type entry struct {
	line   int
	what   string // "", "table" or "default"
	given  []string
	values []float64
}

type parser struct {
	scanner
	doc    *Document
	byName map[string]int
	raw    []raw
}

func describe(t token) string {
	if t.kind == end {
		return "the end of the text"
	}
	return strconv.Quote(t.text)
}

// expect takes a mark or a word that must stand here.
func (p *parser) expect(texts ...string) error {
	for _, text := range texts {
		t, err := p.next()
		if err != nil {
			return err
		}
		if t.kind == quoted || t.kind == end || t.text != text {
			return wrong(t.line, "%s, expected %q", describe(t), text)
		}
	}
	return nil
}

// name takes a name, bare or in quotes.
func (p *parser) name(what string) (token, error) {
	t, err := p.next()
	if err == nil && t.kind != word && t.kind != quoted {
		err = wrong(t.line, "%s, expected %s", describe(t), what)
	}
	return t, err
}

// list takes names with commas between them up to the closing mark.
func (p *parser) list(what, closing string) ([]string, error) {
	var out []string
	for {
		t, err := p.name(what)
		if err != nil {
			return nil, err
		}
		out = append(out, t.text)
		sep, err := p.next()
		if err != nil {
			return nil, err
		}
		if sep.kind == mark && sep.text == closing {
			return out, nil
		}
		if sep.kind != mark || sep.text != "," {
			return nil, wrong(sep.line, "%s, expected \",\" or %q", describe(sep), closing)
		}
	}
}

func (p *parser) file() error {
	if err := p.expect("network"); err != nil {
		return err
	}
	t, err := p.name("the name of the network")
	if err != nil {
		return err
	}
	p.doc.Name = t.text
	if err := p.expect("{"); err != nil {
		return err
	}
	if p.doc.Properties, err = p.block(nil); err != nil {
		return err
	}
	for {
		t, err := p.next()
		switch {
		case err != nil:
			return err
		case t.kind == end:
			return nil
		case t.kind == word && t.text == "variable":
			err = p.variable()
		case t.kind == word && t.text == "probability":
			err = p.probability(t.line)
		default:
			err = wrong(t.line, "%s, expected \"variable\" or \"probability\"", describe(t))
		}
		if err != nil {
			return err
		}
	}
}

// block reads what stands in braces up to the closing one: properties, and what other takes.
func (p *parser) block(other func(token) error) (properties []string, err error) {
	for {
		t, err := p.next()
		switch {
		case err != nil:
			return nil, err
		case t.kind == mark && t.text == "}":
			return properties, nil
		case t.kind == word && t.text == "property":
			text, err := p.property()
			if err != nil {
				return nil, err
			}
			properties = append(properties, text)
		case other != nil && t.kind != end:
			if err := other(t); err != nil {
				return nil, err
			}
		default:
			return nil, wrong(t.line, "%s, expected \"property\" or \"}\"", describe(t))
		}
	}
}

func (p *parser) variable() error {
	t, err := p.name("the name of a variable")
	if err != nil {
		return err
	}
	if _, twice := p.byName[t.text]; twice {
		return wrong(t.line, "the variable %q is there twice", t.text)
	}
	v := Variable{Name: t.text}
	if err := p.expect("{"); err != nil {
		return err
	}
	v.Properties, err = p.block(func(x token) error {
		if x.kind != word || x.text != "type" || v.States != nil {
			return wrong(x.line, "%s, expected one \"type\", \"property\" or \"}\"", describe(x))
		}
		v.States, err = p.states(v.Name)
		return err
	})
	if err != nil {
		return err
	}
	if v.States == nil {
		return wrong(t.line, "the variable %q has no type", t.text)
	}
	p.byName[v.Name] = len(p.doc.Variables)
	p.doc.Variables = append(p.doc.Variables, v)
	return nil
}

func (p *parser) states(of string) ([]string, error) {
	if err := p.expect("discrete", "["); err != nil {
		return nil, err
	}
	count, err := p.name("a number of states")
	if err != nil {
		return nil, err
	}
	if err := p.expect("]", "{"); err != nil {
		return nil, err
	}
	states, err := p.list("a state", "}")
	if err != nil {
		return nil, err
	}
	if n, err := strconv.Atoi(count.text); err != nil || n != len(states) {
		return nil, wrong(count.line, "%q states announced, %d listed for %q", count.text, len(states), of)
	}
	for i, s := range states {
		if slices.Contains(states[:i], s) {
			return nil, wrong(count.line, "%q has the state %q twice", of, s)
		}
	}
	return states, p.expect(";")
}

func (p *parser) probability(line int) error {
	r := raw{line: line}
	if err := p.expect("("); err != nil {
		return err
	}
	t, err := p.name("the name of a variable")
	if err != nil {
		return err
	}
	r.table.Variable = t.text
	bar, err := p.next()
	switch {
	case err != nil:
		return err
	case bar.kind == mark && bar.text == "|":
		if r.table.Parents, err = p.list("a parent", ")"); err != nil {
			return err
		}
	case bar.kind != mark || bar.text != ")":
		return wrong(bar.line, "%s, expected \"|\" or \")\"", describe(bar))
	}
	if err := p.expect("{"); err != nil {
		return err
	}
	r.table.Properties, err = p.block(func(t token) error {
		e, err := p.entry(t)
		r.entries = append(r.entries, e)
		return err
	})
	p.raw = append(p.raw, r)
	return err
}

func (p *parser) entry(t token) (entry, error) {
	e := entry{line: t.line}
	var err error
	switch {
	case t.kind == mark && t.text == "(":
		if e.given, err = p.list("a state", ")"); err != nil {
			return e, err
		}
	case t.kind == word && (t.text == "table" || t.text == "default"):
		e.what = t.text
	default:
		return e, wrong(t.line, "%s, expected \"table\", \"default\", \"(\", \"property\" or \"}\"", describe(t))
	}
	for comma := true; ; {
		t, err := p.next()
		switch {
		case err != nil:
			return e, err
		case t.kind == mark && t.text == ";" && !(comma && len(e.values) > 0):
			return e, nil
		case t.kind == mark && t.text == "," && !comma:
			comma = true
			continue
		}
		x, bad := strconv.ParseFloat(t.text, 64)
		if t.kind != word || bad != nil || !(x >= 0 && x <= 1) || strings.ContainsAny(t.text, "xX_") {
			return e, wrong(t.line, "%s, expected a probability or \";\"", describe(t))
		}
		e.values, comma = append(e.values, math.Abs(x)), false // no minus before a zero
	}
}

// sums says whether a row's sum is 1 within what the network takes.
func sums(row []float64) bool {
	s := 0.0
	for _, x := range row {
		s += x
	}
	return math.Abs(s-1) <= cause.MaxRowError
}
