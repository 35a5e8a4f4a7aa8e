package round

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"unicode/utf8"

	"witnessmark/core/facet"
	"witnessmark/core/point"
	"witnessmark/core/tyre"
)

// Fault is one thing that a reading may not say: the field it stands in (at, state, code, skipped, note or a value's
// name), and what was expected.
type Fault struct{ Field, Text string }

// maxText bounds the free texts of a reading, in characters.
const maxText = 500

// Check lists what is wrong with a reading for its point on a car with these facets. It does not judge.
func Check(p *point.Point, r Reading, s facet.Set) []Fault {
	var out []Fault
	add := func(field, format string, args ...any) { out = append(out, Fault{field, fmt.Sprintf(format, args...)}) }
	if why := p.Positions.Lacks(r.At, s); why != "" {
		add("at", "position %q: %s", r.At, why)
	}
	if utf8.RuneCountInString(r.Skipped) > maxText {
		add("skipped", "the reason is longer than %d characters", maxText)
	}
	if utf8.RuneCountInString(r.Note) > maxText {
		add("note", "the note is longer than %d characters", maxText)
	}
	if r.Skipped != "" {
		if r.State != "" || r.Code != "" || len(r.Values) > 0 {
			add("skipped", "a point that was skipped has no reading; expected one or the other")
		}
		return out
	}
	if r.Empty() {
		add(mainField(p), "%s", Expected(p))
		return out
	}
	out = append(out, checkState(p, r)...)
	out = append(out, checkCode(p, r)...)
	return append(out, checkValues(p, r)...)
}

// Expected says in words what a reading of the point looks like.
func Expected(p *point.Point) string {
	switch p.Kind {
	case point.State:
		return "expected a state: " + strings.Join(stateIDs(p), ", ")
	case point.Level:
		return "expected a state (" + strings.Join(stateIDs(p), ", ") + ") or a fraction of the band, 0 at MIN and 1 at MAX"
	case point.Code:
		return "expected a code"
	}
	return "expected a value: " + strings.Join(valueNames(p), ", ")
}

func mainField(p *point.Point) string {
	switch p.Kind {
	case point.State, point.Level:
		return "state"
	case point.Code:
		return "code"
	}
	return p.Values[0].Name
}

func checkState(p *point.Point, r Reading) []Fault {
	stately := p.Kind == point.State || p.Kind == point.Level
	switch {
	case r.State == "" && p.Kind == point.State:
		return []Fault{{"state", Expected(p)}}
	case r.State == "":
		return nil
	case !stately:
		return []Fault{{"state", "it takes no state; " + Expected(p)}}
	case p.StateByID(r.State) == nil:
		return []Fault{{"state", fmt.Sprintf("state %q is not one of %s", r.State, strings.Join(stateIDs(p), ", "))}}
	}
	return nil
}

func checkCode(p *point.Point, r Reading) []Fault {
	switch {
	case r.Code == "" && p.Kind == point.Code:
		return []Fault{{"code", Expected(p)}}
	case r.Code == "":
		return nil
	case p.Kind != point.Code:
		return []Fault{{"code", "it takes no code; " + Expected(p)}}
	case p.Pattern != nil && !p.Pattern.MatchString(r.Code):
		return []Fault{{"code", notCode(p, r.Code)}}
	}
	return nil
}

// notCode says why a code can't be one of the point's: for a tyre's date in the words of the date itself.
func notCode(p *point.Point, code string) string {
	if p.Derive == "tyre-age" {
		if _, err := tyre.ParseDate(code); err != nil {
			return err.Error()
		}
	}
	return fmt.Sprintf("code %q; expected one that matches %s", code, p.Pattern)
}

func checkValues(p *point.Point, r Reading) []Fault {
	var out []Fault
	names := make([]string, 0, len(r.Values))
	for name := range r.Values {
		names = append(names, name)
	}
	sort.Strings(names)
	main := p.Kind != point.Measure
	for _, name := range names {
		v, lo, hi, ok := bounds(p, name)
		if !ok {
			out = append(out, Fault{name, fmt.Sprintf("it takes no %s; %s", name, Expected(p))})
			continue
		}
		main = main || v == nil || !v.Companion
		x := r.Values[name]
		if math.IsNaN(x) || x < lo || x > hi {
			out = append(out, Fault{name, fmt.Sprintf("%s is %g; expected %g to %g", name, x, lo, hi)})
		}
	}
	if !main && len(out) == 0 && r.State == "" && r.Code == "" {
		out = append(out, Fault{p.Values[0].Name, Expected(p)})
	}
	if p.Kind == point.Level && r.State == "" && len(r.Values) > 0 {
		if _, ok := r.Values["fraction"]; !ok {
			out = append(out, Fault{"state", Expected(p)})
		}
	}
	return out
}

// bounds gives what may be typed under a value name. A level always takes a fraction; the marks may be missed by two bands.
func bounds(p *point.Point, name string) (v *point.Value, lo, hi float64, ok bool) {
	if v = p.ValueByName(name); v != nil {
		return v, v.Min, v.Max, true
	}
	if p.Kind == point.Level && name == "fraction" {
		return nil, -2, 3, true
	}
	return nil, 0, 0, false
}

func stateIDs(p *point.Point) []string {
	ids := make([]string, len(p.States))
	for i, s := range p.States {
		ids[i] = s.ID
	}
	return ids
}

func valueNames(p *point.Point) []string {
	names := make([]string, len(p.Values))
	for i, v := range p.Values {
		names[i] = v.Name
	}
	if p.Kind == point.Level && !slices.Contains(names, "fraction") {
		names = append(names, "fraction")
	}
	return names
}
