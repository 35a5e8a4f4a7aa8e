package loss

import (
	"fmt"
	"strings"
)

// Leak is the class of a leak by what can be seen. The zero value is no leak.
type Leak uint8

// The classes. Source: US Army TM 9-2320-283-10, p. 2-33.
const (
	Dry      Leak = iota
	ClassI        // wet or discoloured, no drops form
	ClassII       // drops form and hang
	ClassIII      // drops form and fall
)

// String gives "dry" or the class as I, II or III.
func (l Leak) String() string {
	return [...]string{"dry", "class I", "class II", "class III"}[min(l, ClassIII)]
}

// LeakOf gives the class from what is seen: wet at all, drops hanging, drops falling.
func LeakOf(wet, hanging, falling bool) Leak {
	switch {
	case falling:
		return ClassIII
	case hanging:
		return ClassII
	case wet:
		return ClassI
	}
	return Dry
}

// ParseLeak reads a class: "I", "class 2", "III", "dry".
func ParseLeak(s string) (Leak, error) {
	switch strings.TrimSpace(strings.TrimPrefix(strings.ToLower(strings.TrimSpace(s)), "class")) {
	case "dry":
		return Dry, nil
	case "i", "1":
		return ClassI, nil
	case "ii", "2":
		return ClassII, nil
	case "iii", "3":
		return ClassIII, nil
	}
	return Dry, fmt.Errorf("%q is not a class of leak; expected dry, I, II or III", s)
}

// MayRun says whether a machine with the leak may go on working with its level looked at more often: classes I and II,
// but never fuel. Brake fluid is treated like fuel, by common practice. A rule of one operator of vehicles, not a law.
// Source: US Army TM 5-3895-383-24, para 1-10.
func (l Leak) MayRun(fuelOrBrakeFluid bool) bool {
	return l == Dry || l <= ClassII && !fuelOrBrakeFluid
}
