// Package cause reasons from what was seen to what may be behind it: a discrete Bayesian network whose nodes are full
// conditional tables or noisy-OR gates with a leak, mixed as the matter needs, answered exactly.
//
// Sources: J. Pearl, Probabilistic Reasoning in Intelligent Systems (1988), for networks, noisy-OR (4.3.2) and virtual evidence
// (2.2.2); M. Henrion, "Practical issues in constructing a Bayes' belief network" (1988), for the leak; S. Lauritzen &
// D. Spiegelhalter, J. Royal Statist. Soc. B 50 (1988) 157, for the tree of cliques; D. Heckerman, "A tractable inference
// algorithm for diagnosing multiple diseases" (1989), for two layers of causes and findings.
package cause

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// The states of a cause and of a finding, in this order. A table may have any states.
const (
	Absent  = "absent"
	Present = "present"
)

// MaxRowError is how far the probabilities of a row may sum from 1. Within it they are taken as they stand, because published
// tables are rounded.
const MaxRowError = 1e-3

// Link says that a parent, in one of its states, produces the finding with probability Q when nothing else does. State is
// Present when empty.
type Link struct {
	Cause string
	State string
	Q     float64
}

// Table is a node with a full conditional table. Rows has one row for each combination of the parents' states, the last parent
// changing fastest, and in each row one probability for each of the node's own states.
type Table struct {
	ID      string
	States  []string
	Parents []string
	Rows    [][]float64
}

// Network is a checked network. It never changes, so any number of goroutines may ask it.
type Network struct {
	nodes []node
	index map[string]int
	order []int // parents before children
}

// node is a table when rows is there, else a noisy-OR of its parents.
type node struct {
	id       string
	states   []string
	parents  []int
	children []int
	rows     []float64   // flat, own state fastest
	leak     float64     // noisy-OR
	q        [][]float64 // noisy-OR: by parent, by that parent's state
}

func (n *node) noisy() bool { return n.rows == nil }

// Builder collects nodes in any order. Its zero value is ready.
type Builder struct {
	tables   []Table
	findings []finding
	ids      []string // in the order in which they came
}

type finding struct {
	id    string
	leak  float64
	links []Link
}

// AddCause adds a node without parents that is present with probability prior.
func (b *Builder) AddCause(id string, prior float64) {
	b.AddTable(Table{ID: id, States: []string{Absent, Present}, Rows: [][]float64{{1 - prior, prior}}})
}

// AddFinding adds a noisy-OR: P(absent) = (1-leak) * product of (1-Q) over the links whose cause is in the link's state. The leak
// is the probability that the finding shows although no listed cause produces it. Two links from one cause in one state act
// as two independent ways. Source: Pearl 1988, 4.3.2; Henrion 1988 for the leak.
func (b *Builder) AddFinding(id string, leak float64, links []Link) {
	b.findings = append(b.findings, finding{id, leak, slices.Clone(links)})
	b.ids = append(b.ids, id)
}

// AddTable adds a node with a full table.
func (b *Builder) AddTable(t Table) {
	t.States, t.Parents, t.Rows = slices.Clone(t.States), slices.Clone(t.Parents), slices.Clone(t.Rows)
	b.tables = append(b.tables, t)
	b.ids = append(b.ids, t.ID)
}

// Build checks everything and gives the network, or one error that lists all that is wrong: names missing or given twice,
// unknown parents, probabilities outside 0..1, rows of the wrong length or sum, circles.
func (b *Builder) Build() (*Network, error) {
	n := &Network{index: make(map[string]int, len(b.ids)), nodes: make([]node, len(b.ids))}
	var wrong []error
	for i, id := range b.ids {
		if id == "" {
			wrong = append(wrong, errors.New("a node has no name"))
		}
		if _, twice := n.index[id]; twice {
			wrong = append(wrong, fmt.Errorf("%q is there twice", id))
		}
		n.index[id] = i
		n.nodes[i].id = id
	}
	if len(wrong) > 0 {
		return nil, errors.Join(wrong...)
	}
	for _, t := range b.tables {
		n.nodes[n.index[t.ID]].states = t.States
		wrong = append(wrong, checkStates(t.ID, t.States)...)
	}
	for _, f := range b.findings {
		n.nodes[n.index[f.id]].states = []string{Absent, Present}
	}
	for _, t := range b.tables {
		wrong = append(wrong, n.setTable(t)...)
	}
	for _, f := range b.findings {
		wrong = append(wrong, n.setFinding(f)...)
	}
	if len(wrong) > 0 {
		return nil, errors.Join(wrong...)
	}
	if err := n.sort(); err != nil {
		return nil, err
	}
	return n, nil
}

func checkStates(id string, states []string) (wrong []error) {
	if len(states) < 1 {
		wrong = append(wrong, fmt.Errorf("%q has no states", id))
	}
	for i, s := range states {
		if s == "" || slices.Contains(states[:i], s) {
			wrong = append(wrong, fmt.Errorf("%q: state %q is empty or there twice", id, s))
		}
	}
	return wrong
}

// probability says whether p is one.
func probability(p float64) bool { return p >= 0 && p <= 1 }

func (n *Network) setTable(t Table) (wrong []error) {
	nd := &n.nodes[n.index[t.ID]]
	rows := 1
	for _, p := range t.Parents {
		i, ok := n.index[p]
		if !ok || slices.Contains(nd.parents, i) {
			return append(wrong, fmt.Errorf("%q: parent %q is unknown or there twice", t.ID, p))
		}
		nd.parents = append(nd.parents, i)
		if rows *= len(n.nodes[i].states); rows > maxCells {
			return append(wrong, fmt.Errorf("%q: its table is too large", t.ID))
		}
	}
	if len(t.Rows) != rows {
		return append(wrong, fmt.Errorf("%q: %d rows, expected %d", t.ID, len(t.Rows), rows))
	}
	nd.rows = make([]float64, 0, rows*len(t.States))
	for r, row := range t.Rows {
		sum := 0.0
		for _, p := range row {
			if !probability(p) {
				return append(wrong, fmt.Errorf("%q, row %d: %v is no probability", t.ID, r+1, p))
			}
			sum += p
		}
		if len(row) != len(t.States) || math.Abs(sum-1) > MaxRowError {
			return append(wrong, fmt.Errorf("%q, row %d: %d probabilities with the sum %.6g, expected %d with the sum 1", t.ID, r+1, len(row), sum, len(t.States)))
		}
		nd.rows = append(nd.rows, row...)
	}
	return wrong
}

func (n *Network) setFinding(f finding) (wrong []error) {
	nd := &n.nodes[n.index[f.id]]
	nd.leak = f.leak
	if !probability(f.leak) {
		wrong = append(wrong, fmt.Errorf("%q: leak %v is no probability", f.id, f.leak))
	}
	for _, l := range f.links {
		i, ok := n.index[l.Cause]
		if !ok {
			wrong = append(wrong, fmt.Errorf("%q: cause %q is unknown", f.id, l.Cause))
			continue
		}
		state := l.State
		if state == "" {
			state = Present
		}
		s := slices.Index(n.nodes[i].states, state)
		if s < 0 || !probability(l.Q) {
			wrong = append(wrong, fmt.Errorf("%q: link from %q: no state %q there, or %v is no probability", f.id, l.Cause, state, l.Q))
			continue
		}
		at := slices.Index(nd.parents, i)
		if at < 0 {
			at = len(nd.parents)
			nd.parents = append(nd.parents, i)
			nd.q = append(nd.q, make([]float64, len(n.nodes[i].states)))
		}
		nd.q[at][s] = either(nd.q[at][s], l.Q)
	}
	return wrong
}

// either is the probability that one of two independent things happens, never above 1.
func either(p, q float64) float64 { return p + (1-p)*q }

// sort puts parents before children and refuses circles.
func (n *Network) sort() error {
	waits := make([]int, len(n.nodes))
	for i := range n.nodes {
		waits[i] = len(n.nodes[i].parents)
		for _, p := range n.nodes[i].parents {
			n.nodes[p].children = append(n.nodes[p].children, i)
		}
	}
	for i, w := range waits {
		if w == 0 {
			n.order = append(n.order, i)
		}
	}
	for k := 0; k < len(n.order); k++ {
		for _, c := range n.nodes[n.order[k]].children {
			if waits[c]--; waits[c] == 0 {
				n.order = append(n.order, c)
			}
		}
	}
	for i, w := range waits {
		if w > 0 {
			return fmt.Errorf("%q is in a circle or behind one: a node can't be its own cause", n.nodes[i].id)
		}
	}
	return nil
}

// Variables lists the names of all nodes in the order in which they were added.
func (n *Network) Variables() []string {
	out := make([]string, len(n.nodes))
	for i := range n.nodes {
		out[i] = n.nodes[i].id
	}
	return out
}

// States lists the states of a node; ok is false when there is no such node.
func (n *Network) States(id string) (states []string, ok bool) {
	i, ok := n.index[id]
	if !ok {
		return nil, false
	}
	return slices.Clone(n.nodes[i].states), true
}

// Parents lists the names of a node's parents; ok is false when there is no such node.
func (n *Network) Parents(id string) (parents []string, ok bool) {
	i, ok := n.index[id]
	if !ok {
		return nil, false
	}
	for _, p := range n.nodes[i].parents {
		parents = append(parents, n.nodes[p].id)
	}
	return parents, true
}

// Rows is the full conditional table of a node, the last parent changing fastest; a noisy-OR is written out. Errors: an unknown
// name, or more than most rows.
func (n *Network) Rows(id string, most int) ([][]float64, error) {
	i, ok := n.index[id]
	if !ok {
		return nil, fmt.Errorf("there is no variable %q", id)
	}
	nd, rows := &n.nodes[i], 1
	for _, p := range nd.parents {
		if rows *= len(n.nodes[p].states); rows > most {
			return nil, fmt.Errorf("the table of %q has more than %d rows", id, most)
		}
	}
	out := make([][]float64, rows)
	for r := range out {
		if !nd.noisy() {
			out[r] = slices.Clone(nd.rows[r*len(nd.states) : (r+1)*len(nd.states)])
			continue
		}
		on, rest := nd.leak, r
		for x := len(nd.parents) - 1; x >= 0; x-- {
			k := len(nd.q[x])
			on = either(on, nd.q[x][rest%k])
			rest /= k
		}
		out[r] = []float64{1 - on, on}
	}
	return out, nil
}
