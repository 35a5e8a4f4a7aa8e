package facet

import (
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"
)

// When is a condition on facets. The zero value holds for every car.
type When struct {
	// All must hold; they are sorted by facet.
	All []Test
	// Any is satisfied by one; empty means no such demand.
	Any []When
	// Not must not hold.
	Not *When
}

// Test asks one facet for one of several words, or for a number in a range.
type Test struct {
	Facet string
	Is    []string
	Range *Range
}

// Zero reports whether the condition holds for every car.
func (w When) Zero() bool { return len(w.All) == 0 && len(w.Any) == 0 && w.Not == nil }

// Holds reports whether the condition holds, and if not, why in a few words ("fan-drive is electric").
func (w When) Holds(s Set) (bool, string) {
	for _, t := range w.All {
		if !t.holds(s) {
			return false, t.Facet + " is " + shown(s[t.Facet].Value)
		}
	}
	if len(w.Any) > 0 {
		var whys []string
		for _, a := range w.Any {
			ok, why := a.Holds(s)
			if ok {
				whys = nil
				break
			}
			if !slices.Contains(whys, why) {
				whys = append(whys, why)
			}
		}
		if len(whys) > 0 {
			return false, strings.Join(whys, ", ")
		}
	}
	if w.Not != nil {
		if ok, _ := w.Not.Holds(s); ok {
			return false, w.Not.state(s)
		}
	}
	return true, ""
}

// Firm reports whether a condition that does not hold fails because of something that was said of the car, rather
// than because of a default.
func (w When) Firm(s Set) bool {
	for _, id := range w.Facets() {
		if s[id].Given {
			return true
		}
	}
	return false
}

// Facets lists the ids of all facets that the condition asks for, sorted, each once.
func (w When) Facets() []string {
	seen := map[string]bool{}
	w.collect(seen)
	ids := make([]string, 0, len(seen))
	for id := range seen {
		ids = append(ids, id)
	}
	sort.Strings(ids)
	return ids
}

// Walk calls f for every test in the condition, for checks against the definitions.
func (w When) Walk(f func(Test) error) error {
	for _, t := range w.All {
		if err := f(t); err != nil {
			return err
		}
	}
	for _, a := range w.Any {
		if err := a.Walk(f); err != nil {
			return err
		}
	}
	if w.Not != nil {
		return w.Not.Walk(f)
	}
	return nil
}

// String writes the condition for a person.
func (w When) String() string {
	var parts []string
	for _, t := range w.All {
		parts = append(parts, t.String())
	}
	if len(w.Any) > 0 {
		var alt []string
		for _, a := range w.Any {
			alt = append(alt, a.String())
		}
		parts = append(parts, strings.Join(alt, " or "))
	}
	if w.Not != nil {
		parts = append(parts, "not ("+w.Not.String()+")")
	}
	return strings.Join(parts, " and ")
}

// String writes the test for a person.
func (t Test) String() string {
	if t.Range != nil {
		return t.Facet + " " + t.Range.String()
	}
	return t.Facet + " is " + strings.Join(t.Is, " or ")
}

func (t Test) holds(s Set) bool {
	v := s[t.Facet].Value
	if t.Range != nil {
		n, err := strconv.Atoi(v)
		return err == nil && t.Range.Contains(n)
	}
	return slices.Contains(t.Is, v)
}

func (w When) collect(seen map[string]bool) {
	for _, t := range w.All {
		seen[t.Facet] = true
	}
	for _, a := range w.Any {
		a.collect(seen)
	}
	if w.Not != nil {
		w.Not.collect(seen)
	}
}

func (w When) state(s Set) string {
	var parts []string
	for _, id := range w.Facets() {
		parts = append(parts, fmt.Sprintf("%s is %s", id, shown(s[id].Value)))
	}
	return strings.Join(parts, ", ")
}

func shown(v string) string {
	if v == "" {
		return "not known"
	}
	return v
}
