// Package facet knows what can be said of a car's equipment, and the conditions that a point, a position or a limit
// may put on it.
package facet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Definition says which values a facet may take and what is assumed until somebody says otherwise.
type Definition struct {
	ID, Name, Ask string
	// Values are the words allowed; empty for a number or a free text.
	Values []string
	// Number bounds a numeric facet; nil for words and text.
	Number *Range
	// Default is assumed when the facet is not given; empty means unknown.
	Default string
}

// Range is a closed range of whole numbers; a nil end is open.
type Range struct{ From, To *int }

// Contains reports whether n lies in the range.
func (r Range) Contains(n int) bool {
	return (r.From == nil || n >= *r.From) && (r.To == nil || n <= *r.To)
}

// String writes the range as "2012 or later", "1979 or earlier" or "1 to 2".
func (r Range) String() string {
	switch {
	case r.From != nil && r.To != nil:
		return fmt.Sprintf("%d to %d", *r.From, *r.To)
	case r.From != nil:
		return fmt.Sprintf("%d or later", *r.From)
	case r.To != nil:
		return fmt.Sprintf("%d or earlier", *r.To)
	}
	return "any number"
}

// Value is what is known of one facet of one car.
type Value struct {
	Value string
	// Given is false when the value is only the catalogue's default or a guess from another fact.
	Given bool
}

// Set holds a car's facets by id.
type Set map[string]Value

// Number gives a numeric facet's value.
func (s Set) Number(id string) (int, bool) {
	n, err := strconv.Atoi(s[id].Value)
	return n, err == nil
}

// Check refuses a value that the definition does not allow.
func (d Definition) Check(value string) error {
	switch {
	case d.Number != nil:
		n, err := strconv.Atoi(value)
		if err != nil {
			return fmt.Errorf("facet %s is %q; expected a whole number, %s", d.ID, value, d.Number)
		}
		if !d.Number.Contains(n) {
			return fmt.Errorf("facet %s is %d; expected %s", d.ID, n, d.Number)
		}
	case len(d.Values) > 0:
		if !slices.Contains(d.Values, value) {
			return fmt.Errorf("facet %s is %q; expected %s", d.ID, value, strings.Join(d.Values, ", "))
		}
	case len(value) > 80:
		return fmt.Errorf("facet %s is longer than 80 characters", d.ID)
	}
	return nil
}
