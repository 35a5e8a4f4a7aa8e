// Package coolant knows aqueous glycol: freezing point and density by share, what a hydrometer or refractometer
// reading means, and how much concentrate a system takes.
//
// Shares are percent, by volume or by mass, of pure glycol. A car's concentrate is about 93 to 96 % glycol; the
// difference of a percent or two lies within the spread that is given.
package coolant

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"witnessmark/core/curve"
)

// Glycol is the kind of glycol in a coolant. The zero value is ethylene glycol.
type Glycol uint8

// The glycols.
const (
	Ethylene Glycol = iota
	Propylene
)

// String gives "ethylene" or "propylene".
func (g Glycol) String() string {
	if g == Propylene {
		return "propylene"
	}
	return "ethylene"
}

// Parse reads "ethylene" or "propylene", also with "glycol" behind it and as EG, MEG, PG or MPG.
func Parse(s string) (Glycol, error) {
	switch strings.TrimSpace(strings.TrimSuffix(strings.ToLower(strings.TrimSpace(s)), "glycol")) {
	case "ethylene", "eg", "meg":
		return Ethylene, nil
	case "propylene", "pg", "mpg":
		return Propylene, nil
	}
	return Ethylene, fmt.Errorf("%q is not a glycol; expected ethylene or propylene", s)
}

// ErrPastOptimum is wrapped by errors about shares and targets beyond the strongest mixture of the handbook's table.
// More concentrate does not help there: protection turns back beyond about two thirds.
var ErrPastOptimum = errors.New("past the optimum")

// Freeze is a freezing point with what published tables disagree by.
type Freeze struct {
	DegC      float64
	PlusMinus float64 // half the width within which the published tables lie, in degrees
	Source    string
}

// Sources of the tables.
const (
	sourceTable  = "ASHRAE Handbook Fundamentals 2001, ch. 21, freezing points of aqueous glycol"
	sourceStrong = "engine operation manual, Table 2 (basis of its percent not stated)"
)

// set holds a glycol's tables.
type set struct {
	volume curve.Curve // percent by volume -> degC
	mass   curve.Curve // percent by mass -> degC
	toMass curve.Curve // percent by volume -> percent by mass
	second curve.Curve // percent by mass -> degC, the second reference
	poly   [6]float64  // the second reference's polynomial
	pivot  float64     // share in percent around which it is written
}

var sets = [2]set{build(ethyleneRows, iirEthylene, polyEthylene, 30.8462), build(propyleneRows, iirPropylene, polyPropylene, 30.7031)}

func build(rows [][3]float64, second curve.Curve, poly [6]float64, pivot float64) set {
	s := set{second: second, poly: poly, pivot: pivot}
	for _, r := range rows {
		s.mass = append(s.mass, curve.Point{X: r[0], Y: r[2]})
		s.volume = append(s.volume, curve.Point{X: r[1], Y: r[2]})
		s.toMass = append(s.toMass, curve.Point{X: r[1], Y: r[0]})
	}
	return s
}

func (g Glycol) set() *set {
	if g == Propylene {
		return &sets[1]
	}
	return &sets[0]
}

// IIRPolynomial gives the freezing point in degC by the second reference's polynomial, for 0 to 60 % by mass.
// Source: Melinder, Properties of Secondary Working Fluids, IIR (2010). NaN outside.
func IIRPolynomial(g Glycol, mass float64) float64 {
	if !(mass >= 0 && mass <= 60) {
		return math.NaN()
	}
	s := g.set()
	x, sum := (mass-s.pivot)/100, 0.0
	for i := len(s.poly) - 1; i >= 0; i-- {
		sum = sum*x + s.poly[i]
	}
	return sum - 273.15
}
