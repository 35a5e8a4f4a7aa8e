// Package sums is the register of the workshop's sums by name: what each one asks for, in which units, what it answers,
// from which source, and with which caution. The command line, the pages and the cards all read this register; the
// arithmetic is in the packages beside it.
package sums

import (
	"fmt"
	"slices"
	"strings"
)

// Sum is one named sum.
type Sum struct {
	Name    string // as typed: coolant-mix
	Title   string // as read: Coolant mix
	Keys    []Key
	OneOf   []string // keys of which exactly one is given; empty: none
	AnyOf   []string // keys of which at least one is given; empty: none
	Outputs []Output
	Source  string // document and section, or common practice
	Caution string // where the work can hurt, and what goes before the sum
	Example string // arguments that give an answer
	run     func(*input) (Result, error)
}

// Output is one field of the answer.
type Output struct {
	Name  string // with its unit: freeze_degC
	Title string
}

// Field is one value of an answer: a float64, int, bool, string, []int or []string.
type Field struct {
	Name  string
	Value any
}

// Result is a sum's answer, fields in the order of the sum's outputs.
type Result struct {
	Fields []Field
	Source string
	Notes  []string // what the reader must know beside the numbers
}

// Value gives a field's value, nil where the answer has none of that name.
func (r Result) Value(name string) any {
	for _, f := range r.Fields {
		if f.Name == name {
			return f.Value
		}
	}
	return nil
}

// Map gives the fields by name, with source and, where there are any, notes, for whoever writes JSON.
func (r Result) Map() map[string]any {
	m := map[string]any{"source": r.Source}
	for _, f := range r.Fields {
		m[f.Name] = f.Value
	}
	if len(r.Notes) > 0 {
		m["notes"] = r.Notes
	}
	return m
}

func (r *Result) add(name string, value any) { r.Fields = append(r.Fields, Field{name, value}) }

func (r *Result) note(format string, args ...any) {
	r.Notes = append(r.Notes, fmt.Sprintf(format, args...))
}

// Error says which value of which sum is wrong and what is expected.
type Error struct {
	Sum, Key string // Key is empty where no one key is to blame
	Value    string // as typed
	Problem  string
}

// Error gives one sentence that names the key.
func (e *Error) Error() string {
	switch {
	case e.Key == "":
		return e.Sum + ": " + e.Problem
	case e.Value == "":
		return e.Sum + ": " + e.Key + ": " + e.Problem
	}
	return e.Sum + ": " + e.Key + "=" + e.Value + ": " + e.Problem
}

var all = slices.Concat(fluidSums, brakeFluidSums, oilSums, batterySums, tyreSums, angleSums, brakeSums, vinSums)

// All gives every sum, by subject. The slice is the caller's own.
func All() []Sum { return slices.Clone(all) }

// Find gives the sum of a name.
func Find(name string) (Sum, bool) {
	for _, s := range all {
		if s.Name == name {
			return s, true
		}
	}
	return Sum{}, false
}

// Run answers the sum from arguments as typed. The error is an *Error. An empty value counts as not given, so that a
// form may send all its fields.
func (s Sum) Run(args map[string]string) (Result, error) {
	in, err := s.read(args)
	if err != nil {
		return Result{}, err
	}
	r, err := s.run(in)
	if err != nil {
		if _, ok := err.(*Error); !ok {
			err = &Error{Sum: s.Name, Problem: err.Error()}
		}
		return Result{}, err
	}
	if r.Source == "" {
		r.Source = s.Source
	}
	return r, nil
}

func (s Sum) key(name string) *Key {
	for i := range s.Keys {
		if s.Keys[i].Name == name {
			return &s.Keys[i]
		}
	}
	return nil
}

// read turns what was typed into values, in the order of the keys, so that the same mistake gives the same message.
func (s Sum) read(args map[string]string) (*input, error) {
	names := make([]string, 0, len(args))
	for name := range args {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		if s.key(name) == nil {
			return nil, &Error{s.Name, name, "", "there is no such key; expected " + s.keyNames()}
		}
	}
	in := &input{sum: s.Name, typed: map[string]string{}, nums: map[string]float64{}, lists: map[string][]float64{}}
	for i := range s.Keys {
		k := &s.Keys[i]
		text := strings.TrimSpace(args[k.Name])
		if text == "" {
			text = k.Default
		}
		if text == "" {
			if !k.Optional {
				return nil, &Error{s.Name, k.Name, "", "this is missing; expected " + k.Expected()}
			}
			continue
		}
		if err := in.take(k, text); err != nil {
			return nil, &Error{s.Name, k.Name, text, err.Error() + "; expected " + k.Expected()}
		}
	}
	return in, s.checkSets(in)
}

func (s Sum) checkSets(in *input) error {
	given := func(names []string) (n int) {
		for _, name := range names {
			if in.has(name) {
				n++
			}
		}
		return n
	}
	if n := given(s.OneOf); len(s.OneOf) > 0 && n != 1 {
		return &Error{Sum: s.Name, Problem: fmt.Sprintf("%d of %s are given; expected exactly one of them", n, strings.Join(s.OneOf, ", "))}
	}
	if len(s.AnyOf) > 0 && given(s.AnyOf) == 0 {
		return &Error{Sum: s.Name, Problem: "none of " + strings.Join(s.AnyOf, ", ") + " is given; expected at least one of them"}
	}
	return nil
}

func (s Sum) keyNames() string {
	names := make([]string, len(s.Keys))
	for i, k := range s.Keys {
		names[i] = k.Name
	}
	return strings.Join(names, ", ")
}
