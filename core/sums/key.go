package sums

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"witnessmark/core/unit"
)

// Kind is what may be typed for a key.
type Kind uint8

// The kinds.
const (
	Quantity Kind = iota // a number with one of the key's units
	Number               // a number without a unit
	Mass                 // a number with kg, t or lb
	Speed                // a number with km/h or mph
	Choice               // one of the key's words
	Code                 // a text that stands on a part
	Date                 // a day, 2026-03-21
	List                 // several quantities, with semicolons or spaces between them
)

// Key is one thing that a sum asks for.
type Key struct {
	Name     string
	Title    string
	Kind     Kind
	Units    []unit.Unit // of a quantity; the sum reckons in the first
	Bare     bool        // a bare number is taken in the first unit, because no other can be meant
	Choices  []string
	Optional bool
	Default  string
	Example  string
}

// Expected says in words what may be typed.
func (k *Key) Expected() string {
	switch k.Kind {
	case Quantity, List:
		names := make([]string, len(k.Units))
		for i, u := range k.Units {
			if names[i] = u.Symbol(); names[i] == "" {
				names[i] = u.String()
			}
		}
		text := "a number in " + or(names)
		if k.Kind == List {
			text = "several numbers in " + or(names)
		}
		return text + ", such as " + k.Example
	case Mass:
		return "a mass in kg, t or lb, such as " + k.Example
	case Speed:
		return "a speed in km/h or mph, such as " + k.Example
	case Choice:
		return or(k.Choices)
	case Date:
		return "a day, such as " + k.Example
	case Number:
		return "a number without a unit, such as " + k.Example
	}
	return "a text, such as " + k.Example
}

func or(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// input is what was typed, read.
type input struct {
	sum   string
	typed map[string]string
	nums  map[string]float64
	lists map[string][]float64
	day   time.Time
}

func (in *input) has(key string) bool       { return in.typed[key] != "" }
func (in *input) num(key string) float64    { return in.nums[key] }
func (in *input) text(key string) string    { return in.typed[key] }
func (in *input) list(key string) []float64 { return in.lists[key] }

// fail blames a key for what its value led to.
func (in *input) fail(key string, err error) error {
	return &Error{in.sum, key, in.typed[key], err.Error()}
}

// take reads one value. Only the kinds that carry a unit may come without one, where the key says so.
func (in *input) take(k *Key, text string) (err error) {
	switch k.Kind {
	case Quantity:
		in.nums[k.Name], err = quantity(k, text)
	case List:
		in.lists[k.Name], err = list(k, text)
	case Number:
		in.nums[k.Name], err = number(text)
	case Mass:
		in.nums[k.Name], err = suffixed(text, masses)
	case Speed:
		in.nums[k.Name], err = suffixed(text, kmhPer)
	case Choice:
		if text = strings.ToLower(text); !slices.Contains(k.Choices, text) {
			err = errors.New("this is not one of the choices")
		}
	case Date:
		if in.day, err = time.Parse(time.DateOnly, text); err != nil {
			err = errors.New("this is no day of the calendar")
		}
	case Code:
		if len(text) > 64 {
			err = errors.New("this is too long")
		}
	}
	in.typed[k.Name] = text
	return err
}

func quantity(k *Key, text string) (float64, error) {
	if k.Bare {
		q, err := unit.ParseAs(text, k.Units[0])
		return q.Value, err
	}
	q, err := unit.Parse(text)
	if err != nil {
		return 0, err
	}
	q, err = q.In(k.Units[0])
	return q.Value, err
}

func list(k *Key, text string) ([]float64, error) {
	parts := strings.Fields(text)
	if strings.Contains(text, ";") {
		parts = strings.Split(text, ";")
	}
	if len(parts) > 64 {
		return nil, errors.New("these are too many")
	}
	out := make([]float64, 0, len(parts))
	for _, p := range parts {
		if strings.TrimSpace(p) == "" {
			continue
		}
		v, err := quantity(k, p)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, nil
}

// number reads a plain decimal; one comma is a decimal sign.
func number(text string) (float64, error) {
	v, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || strings.ContainsAny(text, "xXpP_") {
		return 0, errors.New("this is not a plain number")
	}
	return v, nil
}

type factor struct {
	name string
	mul  float64
}

// Longest first, so that "km/h" is not read as "h". The pound is 0.45359237 kg, the mile 1.609344 km, by definition.
var (
	masses = []factor{{"kg", 1}, {"lbs", 0.45359237}, {"lb", 0.45359237}, {"t", 1000}}
	kmhPer = []factor{{"km/h", 1}, {"kmh", 1}, {"kph", 1}, {"mph", 1.609344}}
)

func suffixed(text string, units []factor) (float64, error) {
	lower := strings.ToLower(text)
	for _, u := range units {
		if rest, ok := strings.CutSuffix(lower, u.name); ok {
			v, err := number(strings.TrimSpace(rest))
			return v * u.mul, err
		}
	}
	if _, err := number(lower); err == nil {
		return 0, errors.New("the unit is missing")
	}
	return 0, fmt.Errorf("the unit at the end is not known")
}

// round is how many decimals an answer is given with: more would pretend what the source does not hold.
func round(v float64, places int) float64 {
	p := math.Pow10(places)
	r := math.Round(v*p) / p
	if r == 0 || math.IsNaN(r) || math.IsInf(r, 0) {
		return 0 // no minus nought
	}
	return r
}
