package sheet

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"sort"
	"strconv"
)

// Word is a facet's value: a word, a number or true/false, kept as text.
type Word struct {
	Text  string
	fault string
}

// Spec is a figure, a word, or figures by position.
type Spec struct {
	Text    string
	Numbers map[string]float64
	fault   string
}

// Reading is one reading: known keys, and numbers under their value names.
type Reading struct {
	Point, At, State, Code, Skipped, Note string
	Values                                map[string]float64

	fault, faultAt string
}

// UnmarshalJSON takes a string, a whole number or a boolean ("yes", "no"). What it can't take it keeps as a fault, which
// Read reports with its place.
func (w *Word) UnmarshalJSON(b []byte) error {
	*w = Word{}
	var n float64
	switch {
	case isNull(b):
		w.fault = "expected a word or a whole number, not null"
	case json.Unmarshal(b, &w.Text) == nil:
	case string(b) == "true":
		w.Text = "yes"
	case string(b) == "false":
		w.Text = "no"
	case json.Unmarshal(b, &n) == nil && n == math.Trunc(n):
		w.Text = strconv.FormatFloat(n, 'f', -1, 64)
	default:
		w.fault = "expected a word or a whole number, not " + shorten(string(b))
	}
	return nil
}

// MarshalJSON writes the word as a string.
func (w Word) MarshalJSON() ([]byte, error) { return json.Marshal(w.Text) }

// UnmarshalJSON takes a number, a string or an object of numbers by position.
func (s *Spec) UnmarshalJSON(b []byte) error {
	*s = Spec{}
	var n float64
	switch {
	case isNull(b):
		s.fault = "expected a number, a word or numbers by position, not null"
	case json.Unmarshal(b, &n) == nil:
		s.Numbers = map[string]float64{"": n}
	case json.Unmarshal(b, &s.Text) == nil:
	default:
		var by map[string]*float64
		if err := json.Unmarshal(b, &by); err != nil || len(by) == 0 {
			s.fault = "expected a number, a word or numbers by position, not " + shorten(string(b))
			return nil
		}
		s.Numbers = make(map[string]float64, len(by))
		for _, at := range sortedKeys(by) {
			if by[at] == nil {
				s.fault = fmt.Sprintf("position %q: expected a number, not null", shorten(at))
				return nil
			}
			s.Numbers[at] = *by[at]
		}
	}
	return nil
}

// MarshalJSON writes the figure in the form in which it was read.
func (s Spec) MarshalJSON() ([]byte, error) {
	if n, whole := s.Numbers[""]; whole && len(s.Numbers) == 1 {
		return json.Marshal(n)
	}
	if len(s.Numbers) > 0 {
		return json.Marshal(s.Numbers)
	}
	return json.Marshal(s.Text)
}

// UnmarshalJSON takes the known keys as strings and every other key as a number; which names a point takes is checked
// against the catalogue.
func (r *Reading) UnmarshalJSON(b []byte) error {
	*r = Reading{}
	var raw map[string]json.RawMessage
	if err := json.Unmarshal(b, &raw); err != nil || raw == nil {
		r.fault = "expected an object, not " + shorten(string(b))
		return nil
	}
	keys := make([]string, 0, len(raw))
	for k := range raw {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	for _, k := range keys {
		if r.fault = r.field(k, raw[k]); r.fault != "" {
			r.faultAt = k
			return nil
		}
	}
	if r.Point == "" {
		r.fault, r.faultAt = "it is missing; expected the id of a point", "point"
	}
	return nil
}

// texts lists the keys of a reading that are texts.
func (r *Reading) texts() map[string]*string {
	return map[string]*string{"point": &r.Point, "at": &r.At, "state": &r.State, "code": &r.Code, "skipped": &r.Skipped, "note": &r.Note}
}

// field takes one key and says what is wrong with its value; empty when nothing is.
func (r *Reading) field(k string, b json.RawMessage) string {
	if t := r.texts()[k]; t != nil {
		if json.Unmarshal(b, t) != nil || isNull(b) {
			return "expected a text, not " + shorten(string(b))
		}
		if *t == "" && k != "at" && k != "note" {
			return "it is empty"
		}
		return ""
	}
	var n float64
	if json.Unmarshal(b, &n) != nil || isNull(b) {
		return "expected a number, not " + shorten(string(b))
	}
	if r.Values == nil {
		r.Values = map[string]float64{}
	}
	r.Values[k] = n
	return ""
}

// MarshalJSON writes the reading with the keys that it has, in order.
func (r Reading) MarshalJSON() ([]byte, error) {
	out := map[string]any{"point": r.Point}
	for k, t := range r.texts() {
		if *t != "" {
			out[k] = *t
		}
	}
	for k, v := range r.Values {
		out[k] = v
	}
	return json.Marshal(out)
}

func isNull(b []byte) bool { return bytes.Equal(bytes.TrimSpace(b), []byte("null")) }
