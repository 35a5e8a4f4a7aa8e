// Package bif reads and writes the open interchange format of Bayesian networks (BIF 0.15): networks as text with a block for each variable
// and one for each conditional table.
//
// Source: the BIF 0.15 grammar (F. Cozman, "Interchange Format for Bayesian Networks", from memory) and the published networks that are
// written in it.
package bif

import (
	"slices"
	"strconv"
	"strings"

	"witnessmark/core/cause"
)

// Document is a network as it stands in a file. Parse gives only documents that Network accepts.
type Document struct {
	Name       string
	Properties []string // text after the word property, without the semicolon
	Variables  []Variable
	Tables     []Table // in the order of the file
}

// Variable is a variable with its states.
type Variable struct {
	Name       string
	States     []string
	Properties []string
}

// Table is a conditional table: one row for each combination of the parents' states, the last parent changing fastest, and in it one
// probability for each state of the variable.
type Table struct {
	Variable   string
	Parents    []string
	Rows       [][]float64
	Properties []string
}

// Network builds the network; its variables keep the order of the file.
func (d *Document) Network() (*cause.Network, error) {
	var b cause.Builder
	for _, v := range d.Variables {
		for _, t := range d.Tables {
			if t.Variable == v.Name {
				b.AddTable(cause.Table{ID: v.Name, States: v.States, Parents: t.Parents, Rows: t.Rows})
			}
		}
	}
	return b.Build()
}

// Bytes writes the document in one fixed form: Parse reads it back, and writing that again gives the same bytes. Names in the document
// must be what Parse can give: valid UTF-8 without quotation marks and line ends.
func (d *Document) Bytes() []byte {
	var w strings.Builder
	w.WriteString("network " + name(d.Name) + " {\n")
	properties(&w, d.Properties)
	w.WriteString("}\n")
	states := map[string][]string{}
	for _, v := range d.Variables {
		states[v.Name] = v.States
		w.WriteString("variable " + name(v.Name) + " {\n  type discrete [ " + strconv.Itoa(len(v.States)) + " ] { " + names(v.States) + " };\n")
		properties(&w, v.Properties)
		w.WriteString("}\n")
	}
	for _, t := range d.Tables {
		w.WriteString("probability ( " + name(t.Variable))
		if len(t.Parents) > 0 {
			w.WriteString(" | " + names(t.Parents))
		}
		w.WriteString(" ) {\n")
		writeRows(&w, t, states)
		properties(&w, t.Properties)
		w.WriteString("}\n")
	}
	return []byte(w.String())
}

func writeRows(w *strings.Builder, t Table, states map[string][]string) {
	at := make([]int, len(t.Parents))
	for _, row := range t.Rows {
		if len(t.Parents) == 0 {
			w.WriteString("  table ")
		} else {
			given := make([]string, len(at))
			for i, s := range at {
				given[i] = states[t.Parents[i]][s]
			}
			w.WriteString("  (" + names(given) + ") ")
		}
		for i, p := range row {
			if i > 0 {
				w.WriteString(", ")
			}
			w.WriteString(strconv.FormatFloat(p, 'g', -1, 64))
		}
		w.WriteString(";\n")
		for i := len(at) - 1; i >= 0; i-- {
			if at[i]++; at[i] < len(states[t.Parents[i]]) {
				break
			}
			at[i] = 0
		}
	}
}

func properties(w *strings.Builder, list []string) {
	for _, p := range list {
		w.WriteString("  property " + p + ";\n")
	}
}

// reserved words mean something where a name could stand.
var reserved = []string{"network", "variable", "probability", "property", "type", "discrete", "table", "default"}

// name is a name as it must be written: in quotes when it would not be read as one bare word.
func name(s string) string {
	if s == "" || strings.IndexFunc(s, ends) >= 0 || commentIn(s) >= 0 || slices.Contains(reserved, s) {
		return `"` + s + `"`
	}
	return s
}

func names(list []string) string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = name(s)
	}
	return strings.Join(out, ", ")
}

// FromNetwork gives the document of a network. Noisy-OR gates become full tables; err says which would have more than maxRows rows.
func FromNetwork(title string, n *cause.Network) (*Document, error) {
	d := &Document{Name: title}
	for _, id := range n.Variables() {
		states, _ := n.States(id)
		parents, _ := n.Parents(id)
		rows, err := n.Rows(id, maxRows)
		if err != nil {
			return nil, err
		}
		d.Variables = append(d.Variables, Variable{Name: id, States: states})
		d.Tables = append(d.Tables, Table{Variable: id, Parents: parents, Rows: rows})
	}
	return d, nil
}

// maxRows bounds a table.
const maxRows = 1 << 20
