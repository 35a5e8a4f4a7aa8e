package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"

	"witnessmark/core/bif"
	"witnessmark/core/cause"
)

// askedNet is a network with the variables that the answer names. layers says that it was written as causes and findings.
type askedNet struct {
	*cause.Network
	asked  []string
	layers bool
}

// layersFile is a network of causes and findings as JSON. Tables may stand beside them.
type layersFile struct {
	ID     string `json:"id"`
	Causes []struct {
		ID    string  `json:"id"`
		Prior float64 `json:"prior"`
	} `json:"causes"`
	Tables []struct {
		ID      string      `json:"id"`
		States  []string    `json:"states"`
		Parents []string    `json:"parents"`
		Rows    [][]float64 `json:"rows"`
	} `json:"tables"`
	Findings []struct {
		ID    string  `json:"id"`
		Leak  float64 `json:"leak"`
		Links []struct {
			Cause string  `json:"cause"`
			State string  `json:"state"`
			Q     float64 `json:"q"`
		} `json:"links"`
	} `json:"findings"`
}

var layersShape = shape{
	"":                   {"id", "causes", "tables", "findings"},
	"causes[]":           {"id!", "prior!"},
	"tables[]":           {"id!", "states!", "parents", "rows!"},
	"findings[]":         {"id!", "leak!", "links!"},
	"findings[].links[]": {"cause!", "state", "q!"},
}

// parseNet reads a network: JSON when it begins with a brace, else BIF.
func parseNet(text []byte) (*askedNet, error) {
	if trimmed := bytes.TrimSpace(text); len(trimmed) > 0 && trimmed[0] == '{' {
		return parseLayers(text)
	}
	doc, err := bif.Parse(text)
	if err != nil {
		return nil, err
	}
	net, err := doc.Network()
	if err != nil {
		return nil, err
	}
	return &askedNet{net, net.Variables(), false}, nil
}

func parseLayers(text []byte) (*askedNet, error) {
	var f layersFile
	if err := decodeStrict(text, layersShape, &f); err != nil {
		return nil, err
	}
	var b cause.Builder
	var asked []string
	for _, c := range f.Causes {
		b.AddCause(c.ID, c.Prior)
		asked = append(asked, c.ID)
	}
	for _, t := range f.Tables {
		b.AddTable(cause.Table{ID: t.ID, States: t.States, Parents: t.Parents, Rows: t.Rows})
		asked = append(asked, t.ID)
	}
	for _, x := range f.Findings {
		links := make([]cause.Link, len(x.Links))
		for i, l := range x.Links {
			links[i] = cause.Link{Cause: l.Cause, State: l.State, Q: l.Q}
		}
		b.AddFinding(x.ID, x.Leak, links)
	}
	net, err := b.Build()
	if err != nil {
		return nil, err
	}
	return &askedNet{net, asked, true}, nil
}

// evidence reads what was seen: {"variable": "state"} or {"variable": {"state": likelihood}}; for causes and findings {"positive": [...],
// "negative": [...], "soft": {"finding": {"present": likelihood, "absent": likelihood}}}.
func (n *askedNet) evidence(text []byte) (cause.Evidence, error) {
	if n.layers {
		return layersEvidence(text)
	}
	raw := map[string]json.RawMessage{}
	if err := decodeStrict(text, shape{}, &raw); err != nil {
		return nil, err
	}
	e := cause.Evidence{}
	for _, v := range slices.Sorted(maps.Keys(raw)) {
		var s cause.Seen
		if json.Unmarshal(raw[v], &s.State) != nil || s.State == "" {
			s.State = ""
			if err := json.Unmarshal(raw[v], &s.Likelihood); err != nil || s.Likelihood == nil {
				return nil, fmt.Errorf("%q: expected a state, or an object of likelihoods by state", v)
			}
		}
		e[v] = s
	}
	return e, nil
}

func layersEvidence(text []byte) (cause.Evidence, error) {
	var f struct {
		Positive []string                      `json:"positive"`
		Negative []string                      `json:"negative"`
		Soft     map[string]map[string]float64 `json:"soft"`
	}
	if err := decodeStrict(text, shape{"": {"positive", "negative", "soft"}}, &f); err != nil {
		return nil, err
	}
	e := cause.Evidence{}
	var wrong []error
	add := func(id string, s cause.Seen) {
		if old, twice := e[id]; twice {
			wrong = append(wrong, fmt.Errorf("impossible evidence: %q is given twice, as %s and as %s", id, old, s))
		}
		e[id] = s
	}
	for _, id := range f.Positive {
		add(id, cause.Is(cause.Present))
	}
	for _, id := range f.Negative {
		add(id, cause.Is(cause.Absent))
	}
	for _, id := range slices.Sorted(maps.Keys(f.Soft)) {
		add(id, cause.Seen{Likelihood: f.Soft[id]})
	}
	return e, errors.Join(wrong...)
}
