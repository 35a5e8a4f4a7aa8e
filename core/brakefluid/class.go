// Package brakefluid knows the classes of brake fluid, their boiling points dry and wet, what a measured boiling point
// or water share says, and which classes may be topped up with which.
package brakefluid

import (
	"fmt"
	"strings"
)

// Class is a class of brake fluid. The zero value is no class.
type Class uint8

// The classes of FMVSS 116 and of ISO 4925. DOT 5 is silicone; mineral oil is in the list to be refused.
const (
	Unknown Class = iota
	DOT3
	DOT4
	DOT5
	DOT51
	ISO3
	ISO4
	ISO51
	ISO6
	ISO7
	Mineral
	numClasses
)

// Limits are a class's least boiling points in degC, dry (as packed) and wet (after taking up water in the standard's
// humidity test), and its kinematic viscosity in mm2/s: the most at -40 degC and the least at 100 degC.
type Limits struct {
	Dry, Wet   float64
	Cold, Warm float64
	Source     string
}

const (
	fmvss = "49 CFR 571.116 (FMVSS 116) S5.1.1, S5.1.2"
	iso   = "ISO 4925:2020 Table 1, from memory"
)

type class struct {
	name   string
	base   base
	limits Limits
}

type base uint8

const (
	glycol base = iota
	silicone
	mineral
)

// The viscosities of DOT 5 and 5.1 are from memory; those of DOT 3 and 4 were read in data sheets that quote S5.1.3.
var classes = [numClasses]class{
	DOT3:    {"DOT 3", glycol, Limits{205, 140, 1500, 1.5, fmvss}},
	DOT4:    {"DOT 4", glycol, Limits{230, 155, 1800, 1.5, fmvss}},
	DOT5:    {"DOT 5", silicone, Limits{260, 180, 900, 1.5, fmvss}},
	DOT51:   {"DOT 5.1", glycol, Limits{260, 180, 900, 1.5, fmvss}},
	ISO3:    {"ISO 4925 class 3", glycol, Limits{205, 140, 1500, 1.5, iso}},
	ISO4:    {"ISO 4925 class 4", glycol, Limits{230, 155, 1500, 1.5, iso}},
	ISO51:   {"ISO 4925 class 5-1", glycol, Limits{260, 180, 900, 1.5, iso}},
	ISO6:    {"ISO 4925 class 6", glycol, Limits{250, 165, 750, 1.5, iso}},
	ISO7:    {"ISO 4925 class 7", glycol, Limits{260, 180, 750, 1.5, iso}},
	Mineral: {"mineral oil", mineral, Limits{}},
}

// Classes are all classes with limits, in the order in which they are offered.
func Classes() []Class { return []Class{DOT3, DOT4, DOT51, DOT5, ISO3, ISO4, ISO51, ISO6, ISO7} }

// String gives the name that Parse reads back: "DOT 4", "ISO 4925 class 6".
func (c Class) String() string {
	if c == Unknown || c >= numClasses {
		return "unknown class"
	}
	return classes[c].name
}

// Limits gives the class's limits; false for mineral oil and for no class, which have none here.
func (c Class) Limits() (Limits, bool) {
	if c == Unknown || c >= Mineral {
		return Limits{}, false
	}
	return classes[c].limits, true
}

// Silicone says whether the class does not take up water (DOT 5).
func (c Class) Silicone() bool { return c == DOT5 }

// Parse reads what stands on a cap or a bottle: DOT 4, dot4, "5.1", ISO 6, class 5-1, "ISO 4925 class 7". A bare
// number is a DOT class, for that is what caps say; 6 and 7 exist in the ISO standard alone.
func Parse(s string) (Class, error) {
	text := strings.ToLower(strings.TrimSpace(s))
	isISO := strings.Contains(text, "iso") || strings.Contains(text, "class")
	for _, word := range []string{"iso", "4925", "class", "dot", "fmvss"} {
		// "4925" before the digits are looked at, so that it is not read as class 4.
		text = strings.ReplaceAll(text, word, " ")
	}
	digits := strings.Trim(strings.NewReplacer(" ", "", "-", ".", ":", "", "_", "").Replace(text), ".")
	for _, c := range []struct {
		text string
		dot  Class
		iso  Class
	}{{"3", DOT3, ISO3}, {"4", DOT4, ISO4}, {"5.1", DOT51, ISO51}, {"5", DOT5, Unknown}, {"6", ISO6, ISO6}, {"7", ISO7, ISO7}} {
		found := c.dot
		if isISO {
			found = c.iso
		}
		if digits == c.text && found != Unknown {
			return found, nil
		}
	}
	if digits == "mineral" || digits == "mineraloil" {
		return Mineral, nil
	}
	return Unknown, fmt.Errorf("%q is not a class of brake fluid; expected DOT 3, DOT 4, DOT 5.1, DOT 5, or ISO class 3, 4, 5-1, 6 or 7", s)
}
