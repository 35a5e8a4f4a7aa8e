package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"witnessmark/core/sums"
)

// sumView is a sum as the list tells it.
type sumView struct {
	Name    string       `json:"name"`
	Title   string       `json:"title"`
	Keys    []sumKeyView `json:"keys"`
	OneOf   []string     `json:"one_of,omitempty"`
	AnyOf   []string     `json:"any_of,omitempty"`
	Outputs []sumOutView `json:"outputs"`
	Example string       `json:"example"`
	Source  string       `json:"source"`
	Caution string       `json:"caution"`
}

type sumKeyView struct {
	Name     string `json:"name"`
	Title    string `json:"title"`
	Expected string `json:"expected"`
	Optional bool   `json:"optional"`
	Default  string `json:"default,omitempty"`
}

type sumOutView struct {
	Name  string `json:"name"`
	Title string `json:"title"`
	Unit  string `json:"unit,omitempty"`
}

// describeSums gives all that the register says, for whoever writes a form or a script.
func describeSums() []sumView {
	var out []sumView
	for _, s := range sums.All() {
		v := sumView{Name: s.Name, Title: s.Title, OneOf: s.OneOf, AnyOf: s.AnyOf, Example: example(s), Source: s.Source, Caution: s.Caution}
		for _, k := range s.Keys {
			v.Keys = append(v.Keys, sumKeyView{k.Name, k.Title, k.Expected(), k.Optional, k.Default})
		}
		for _, o := range s.Outputs {
			v.Outputs = append(v.Outputs, sumOutView{o.Name, o.Title, o.Unit()})
		}
		out = append(out, v)
	}
	return out
}

// listSums writes every sum with its keys, units, answers, example and source.
func listSums(w io.Writer) error {
	for i, s := range sums.All() {
		if i > 0 {
			fmt.Fprintln(w)
		}
		fmt.Fprintf(w, "%s: %s\n", s.Name, s.Title)
		tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
		for _, k := range s.Keys {
			fmt.Fprintf(tw, "  %s=\t%s\t%s%s\n", k.Name, k.Title, k.Expected(), leftOut(s, k))
		}
		if err := tw.Flush(); err != nil {
			return err
		}
		if len(s.OneOf) > 0 {
			fmt.Fprintf(w, "  exactly one of %s\n", strings.Join(s.OneOf, ", "))
		}
		if len(s.AnyOf) > 0 {
			fmt.Fprintf(w, "  at least one of %s\n", strings.Join(s.AnyOf, ", "))
		}
		names := make([]string, len(s.Outputs))
		for j, o := range s.Outputs {
			names[j] = o.Name
		}
		fmt.Fprintf(w, "  answers: %s\n  example: %s\n  source:  %s\n", strings.Join(names, ", "), example(s), s.Source)
	}
	return nil
}

func leftOut(s sums.Sum, k sums.Key) string {
	switch {
	case slices.Contains(s.OneOf, k.Name) || slices.Contains(s.AnyOf, k.Name):
		return "" // said below the keys
	case k.Default != "":
		return "; if left out " + k.Default
	case k.Optional:
		return "; may be left out"
	case k.Bare:
		return "; without a unit in " + k.Units[0].Symbol()
	}
	return ""
}

// example writes a sum's example so that a shell takes it as it stands.
func example(s sums.Sum) string {
	line := "witnessmark sums " + s.Name
	for _, a := range s.Arguments() {
		if strings.ContainsAny(a.Value, " ;'()&|<>*") {
			line += fmt.Sprintf(` %s="%s"`, a.Key, a.Value)
			continue
		}
		line += " " + a.Key + "=" + a.Value
	}
	return line
}
