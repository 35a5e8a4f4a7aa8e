package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"witnessmark/core/renew"
)

// renewCase is a case as read: a life, the cost of a planned renewal and of a failure.
type renewCase struct {
	life   renew.Dist
	cp, cf float64
}

// lifeKeys are the two figures of each kind of life, in the order in which part takes them.
var lifeKeys = map[string][2]string{"weibull": {"shape", "scale"}, "lognormal": {"sigma", "median"}}

// parseRenewCase reads {"dist": "weibull"|"lognormal", "shape", "scale" | "sigma", "median", "cp", "cf"} or a mixture,
// {"dist": "weibull_mixture"|"lognormal_mixture", "weights": [...], "components": [{...}], "cp", "cf"}. Figures are numbers
// or decimal strings; "id" may name the case. An unknown, missing or repeated key is an error.
func parseRenewCase(text []byte) (renewCase, error) {
	o, err := readObject(text)
	if err != nil {
		return renewCase{}, err
	}
	var c renewCase
	var dist, id string
	if err := errors.Join(o.text("dist", &dist), o.optionalText("id", &id)); err != nil {
		return c, err
	}
	kind, mixed := strings.CutSuffix(dist, "_mixture")
	if _, known := lifeKeys[kind]; !known {
		return c, fmt.Errorf("dist: %q; expected weibull, lognormal, weibull_mixture or lognormal_mixture", dist)
	}
	if mixed {
		c.life, err = mixture(kind, o)
	} else {
		c.life, err = part(kind, o)
	}
	if err = errors.Join(err, o.number("cp", &c.cp), o.number("cf", &c.cf), o.rest()); err != nil {
		return c, err
	}
	return c, c.life.Check()
}

func part(kind string, o *object) (renew.Dist, error) {
	var a, b float64
	keys := lifeKeys[kind]
	if err := errors.Join(o.number(keys[0], &a), o.number(keys[1], &b)); err != nil {
		return nil, err
	}
	if kind == "lognormal" {
		return renew.Lognormal{Sigma: a, Median: b}, nil
	}
	return renew.Weibull{Shape: a, Scale: b}, nil
}

func mixture(kind string, o *object) (renew.Dist, error) {
	var weights, components []json.RawMessage
	if err := errors.Join(o.list("weights", &weights), o.list("components", &components)); err != nil {
		return nil, err
	}
	m := renew.Mixture{Weights: make([]float64, len(weights))}
	for i, raw := range weights {
		var err error
		if m.Weights[i], err = decimal(raw); err != nil {
			return nil, fmt.Errorf("weights[%d]: %w", i, err)
		}
	}
	for i, raw := range components {
		c, err := readObject(raw)
		if err == nil {
			var d renew.Dist
			d, err = part(kind, c)
			m.Parts = append(m.Parts, d)
			err = errors.Join(err, c.rest())
		}
		if err != nil {
			return nil, fmt.Errorf("components[%d]: %w", i, err)
		}
	}
	return m, nil
}

// object is a JSON object whose keys are taken one after the other; what is left is unknown. Unlike the decoder into a
// struct it minds upper and lower case and keys that stand twice.
type object struct {
	left  map[string]json.RawMessage
	order []string // keys that were asked for
}

func readObject(text []byte) (*object, error) {
	dec := json.NewDecoder(bytes.NewReader(text))
	tok, err := dec.Token()
	if err != nil {
		return nil, noJSON(err)
	}
	if tok != json.Delim('{') {
		return nil, errors.New("expected a JSON object")
	}
	o := &object{left: map[string]json.RawMessage{}}
	for dec.More() {
		tok, err := dec.Token()
		if err != nil {
			return nil, noJSON(err)
		}
		key, _ := tok.(string) // the decoder lets nothing else stand here
		if _, twice := o.left[key]; twice {
			return nil, fmt.Errorf("the key %q stands twice", key)
		}
		var v json.RawMessage
		if err := dec.Decode(&v); err != nil {
			return nil, noJSON(err)
		}
		o.left[key] = v
	}
	if _, err := dec.Token(); err != nil {
		return nil, noJSON(err)
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return nil, errors.New("there is something after the end of the object")
	}
	return o, nil
}

func noJSON(err error) error {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return errors.New("the JSON ends too early")
	}
	return fmt.Errorf("this is no JSON: %w", err)
}

func (o *object) take(key, expected string) (json.RawMessage, error) {
	o.order = append(o.order, key)
	v, ok := o.left[key]
	if !ok {
		return nil, fmt.Errorf("%s: it is missing; expected %s", key, expected)
	}
	delete(o.left, key)
	return v, nil
}

func (o *object) number(key string, into *float64) error {
	raw, err := o.take(key, "a number")
	if err != nil {
		return err
	}
	if *into, err = decimal(raw); err != nil {
		return fmt.Errorf("%s: %w", key, err)
	}
	return nil
}

func (o *object) text(key string, into *string) error {
	raw, err := o.take(key, "a word")
	if err != nil {
		return err
	}
	if raw[0] != '"' || json.Unmarshal(raw, into) != nil {
		return fmt.Errorf("%s: expected a text", key)
	}
	return nil
}

func (o *object) optionalText(key string, into *string) error {
	if _, there := o.left[key]; !there {
		return nil
	}
	return o.text(key, into)
}

func (o *object) list(key string, into *[]json.RawMessage) error {
	raw, err := o.take(key, "a list")
	if err != nil {
		return err
	}
	if raw[0] != '[' || json.Unmarshal(raw, into) != nil {
		return fmt.Errorf("%s: expected a list", key)
	}
	return nil
}

// rest gives an error naming a key that nobody asked for.
func (o *object) rest() error {
	unknown := make([]string, 0, len(o.left))
	for k := range o.left {
		unknown = append(unknown, k)
	}
	if len(unknown) == 0 {
		return nil
	}
	slices.Sort(unknown)
	return fmt.Errorf("unknown key %q; expected %s", unknown[0], strings.Join(o.order, ", "))
}

// decimal reads a JSON number, plain or within quotes.
func decimal(raw json.RawMessage) (float64, error) {
	text := string(raw)
	if raw[0] == '"' {
		if err := json.Unmarshal(raw, &text); err != nil {
			return 0, errors.New("expected a number")
		}
	}
	var v float64
	if text == "null" || json.Unmarshal([]byte(text), &v) != nil {
		return 0, fmt.Errorf("expected a number, not %s", shorten(string(raw)))
	}
	return v, nil
}

// shorten keeps a message readable whatever was typed.
func shorten(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return s
}
