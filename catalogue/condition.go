package catalogue

import (
	"fmt"
	"sort"

	"go.yaml.in/yaml/v4"

	"witnessmark/core/facet"
)

// UnmarshalYAML reads a condition: a mapping from facet to a word, a list of words or a range, with any: and not:.
func (w *rawWhen) UnmarshalYAML(n *yaml.Node) error {
	c, err := condition(n)
	w.When, w.Line = c, n.Line
	return err
}

func condition(n *yaml.Node) (facet.When, error) {
	var w facet.When
	if n.Kind != yaml.MappingNode {
		return w, fmt.Errorf("line %d: expected a condition such as {fan-drive: engine}", n.Line)
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, val := n.Content[i], n.Content[i+1]
		var err error
		switch key.Value {
		case "any":
			w.Any, err = alternatives(val)
		case "not":
			var not facet.When
			not, err = condition(val)
			w.Not = &not
		default:
			var t facet.Test
			t, err = test(key.Value, val)
			w.All = append(w.All, t)
		}
		if err != nil {
			return w, err
		}
	}
	sort.Slice(w.All, func(i, j int) bool { return w.All[i].Facet < w.All[j].Facet })
	return w, nil
}

func alternatives(n *yaml.Node) ([]facet.When, error) {
	if n.Kind != yaml.SequenceNode || len(n.Content) == 0 {
		return nil, fmt.Errorf("line %d: expected a list of conditions after \"any\"", n.Line)
	}
	out := make([]facet.When, 0, len(n.Content))
	for _, c := range n.Content {
		w, err := condition(c)
		if err != nil {
			return nil, err
		}
		out = append(out, w)
	}
	return out, nil
}

func test(id string, n *yaml.Node) (facet.Test, error) {
	t := facet.Test{Facet: id}
	switch n.Kind {
	case yaml.ScalarNode:
		t.Is = []string{n.Value}
	case yaml.SequenceNode:
		for _, c := range n.Content {
			if c.Kind != yaml.ScalarNode {
				return t, fmt.Errorf("line %d: expected a word in the list for %s", c.Line, id)
			}
			t.Is = append(t.Is, c.Value)
		}
	case yaml.MappingNode:
		var r struct {
			From *int `yaml:"from"`
			To   *int `yaml:"to"`
		}
		if err := n.Decode(&r); err != nil || (r.From == nil && r.To == nil) {
			return t, fmt.Errorf("line %d: expected {from: N} or {to: N} for %s", n.Line, id)
		}
		t.Range = &facet.Range{From: r.From, To: r.To}
	}
	if len(t.Is) == 0 && t.Range == nil {
		return t, fmt.Errorf("line %d: expected a word, a list or a range for %s", n.Line, id)
	}
	return t, nil
}
