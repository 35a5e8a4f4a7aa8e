package sums

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// unitOf are the units that the names of outputs carry, by whole name or by ending.
var unitOf = map[string]string{
	"degC": "°C", "percent": "%", "L": "L", "V": "V", "A": "A", "kg": "kg", "km": "km", "kmh": "km/h", "mm": "mm", "in": "in",
	"bar": "bar", "kPa": "kPa", "psi": "psi", "degrees": "°", "minutes": "′", "mm2_s": "mm²/s", "1000km": "L per 1000 km",
	"litres": "L", "32nds": "/32 in", "slip_m_per_km": "m/km", "slip_ft_per_mile": "ft per mile", "rolling_mm": "mm",
}

// Unit gives the unit of an output as written for people; empty where it has none. A list of years has none either.
func (o Output) Unit() string {
	if u, ok := unitOf[o.Name]; ok {
		return u
	}
	if strings.HasSuffix(o.Name, "_mm2_s") {
		return unitOf["mm2_s"]
	}
	if i := strings.LastIndexByte(o.Name, '_'); i >= 0 {
		return unitOf[o.Name[i+1:]]
	}
	return ""
}

// Output gives the declared output of a name.
func (s Sum) Output(name string) Output {
	for _, o := range s.Outputs {
		if o.Name == name {
			return o
		}
	}
	return Output{Name: name, Title: name}
}

// Text writes a field's value for people, without its unit.
func Text(v any) string {
	switch v := v.(type) {
	case float64:
		return strings.Replace(strconv.FormatFloat(v, 'f', -1, 64), "-", "−", 1)
	case bool:
		if v {
			return "yes"
		}
		return "no"
	case []int:
		words := make([]string, len(v))
		for i, n := range v {
			words[i] = strconv.Itoa(n)
		}
		return listed(words)
	case []string:
		return listed(v)
	}
	return fmt.Sprint(v)
}

func listed(words []string) string {
	if len(words) == 0 {
		return "none"
	}
	return strings.Join(words, ", ")
}

// WithUnit writes an output's value with its unit; a share is told in percent too.
func (o Output) WithUnit(v any) string {
	text, u := Text(v), o.Unit()
	if share, ok := v.(float64); ok && strings.HasSuffix(o.Name, "_share") {
		return text + " (" + Text(math.Round(share*1e4)/100) + " %)"
	}
	if strings.HasPrefix(o.Name, "uncertainty") {
		text = "± " + text
	}
	switch u {
	case "":
		return text
	case "°", "′", "/32 in":
		return text + u
	}
	return text + " " + u
}

// Argument is a key with its value as typed.
type Argument struct{ Key, Value string }

// Arguments gives the sum's example, in its order. Quotes hold spaces of a value together.
func (s Sum) Arguments() []Argument {
	var out []Argument
	quoted := false
	for _, word := range strings.FieldsFunc(s.Example, func(r rune) bool {
		if r == '"' {
			quoted = !quoted
		}
		return r == ' ' && !quoted
	}) {
		key, value, _ := strings.Cut(strings.ReplaceAll(word, `"`, ""), "=")
		out = append(out, Argument{key, value})
	}
	return out
}

// Given gives the numbers that were typed, and those of keys that take several, each in its key's first unit and with
// defaults in, for a drawing of what was asked. Arguments that Run refuses to read give nil.
func (s Sum) Given(args map[string]string) (numbers map[string]float64, lists map[string][]float64) {
	in, err := s.read(args)
	if err != nil {
		return nil, nil
	}
	return in.nums, in.lists
}
