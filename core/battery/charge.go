// Package battery is the arithmetic of 12 V starter batteries: charge from the voltage or the acid at rest, the least
// voltage in a load test, and a measured cranking current against the one that is printed on the case.
package battery

import (
	"fmt"
	"strings"

	"witnessmark/core/curve"
)

// Type is how the acid is held. The zero value is flooded.
type Type uint8

// The types.
const (
	Flooded Type = iota
	AGM          // glass mat
	Gel
)

// String gives "flooded", "agm" or "gel".
func (t Type) String() string {
	switch t {
	case AGM:
		return "agm"
	case Gel:
		return "gel"
	}
	return "flooded"
}

// ParseType reads the type's name.
func ParseType(s string) (Type, error) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "flooded", "wet":
		return Flooded, nil
	case "agm":
		return AGM, nil
	case "gel":
		return Gel, nil
	}
	return Flooded, fmt.Errorf("%q is not a battery type; expected flooded, agm or gel", s)
}

// Rest voltage in V at 80 degF (26.7 degC) to charge in percent.
var restCurves = [...]curve.Curve{
	// Source: BCI state-of-charge table, 12 V flooded.
	Flooded: {{X: 11.89, Y: 0}, {X: 12.06, Y: 25}, {X: 12.24, Y: 50}, {X: 12.45, Y: 75}, {X: 12.65, Y: 100}},
	// Common practice; no published table was at hand. Glass mat and gel rest higher.
	AGM: {{X: 11.8, Y: 0}, {X: 12.1, Y: 25}, {X: 12.35, Y: 50}, {X: 12.6, Y: 75}, {X: 12.85, Y: 100}},
	Gel: {{X: 11.8, Y: 0}, {X: 12, Y: 25}, {X: 12.35, Y: 50}, {X: 12.65, Y: 75}, {X: 12.85, Y: 100}},
}

// Specific gravity at 80 degF to charge in percent, and charge to the acid's freezing point in degC, both flooded.
// Source: BCI state-of-charge table.
var (
	gravityCurve = curve.Curve{{X: 1.12, Y: 0}, {X: 1.155, Y: 25}, {X: 1.19, Y: 50}, {X: 1.225, Y: 75}, {X: 1.265, Y: 100}}
	acidCurve    = curve.Curve{{X: 0, Y: -23.3}, {X: 25, Y: -26.7}, {X: 50, Y: -36.7}, {X: 75, Y: -48.3}, {X: 100, Y: -59.4}}
)

// The BCI table's temperature and its corrections per degree away from it: added above, taken off below. The printed
// steps are 0.024 V and 0.004 of specific gravity per 10 degF.
const (
	TableDegC        = (80 - 32) / 1.8
	voltsPerDegree   = 0.024 / (10 / 1.8)
	gravityPerDegree = 0.004 / (10 / 1.8)
)

// Charge is a state of charge in percent. Outside says that the reading lies beyond the table's ends: above, a surface
// charge is likely; below, a defect.
type Charge struct {
	Percent float64
	Outside bool
}

// FromVoltage gives the charge from the rest voltage (8 to 15 V) at a battery temperature in degC (-40 to 60).
// Source: BCI table and temperature compensation for flooded batteries; glass mat and gel by common practice, with the
// same compensation. Accuracy: 10 % of charge, after four to six hours of rest. In the cold the printed compensation is
// doubtful: it is the acid's change of density times six, and rest voltage itself changes less.
func FromVoltage(t Type, volts, degC float64) (Charge, error) {
	if int(t) >= len(restCurves) {
		return Charge{}, fmt.Errorf("battery type %d is not known", t)
	}
	if !(volts >= 8 && volts <= 15) {
		return Charge{}, fmt.Errorf("%v V is no rest voltage of a 12 V battery; expected 8 to 15 V", volts)
	}
	if err := checkDegC(degC); err != nil {
		return Charge{}, err
	}
	return in(restCurves[t], Compensated(volts, degC)), nil
}

// Compensated brings a rest voltage in V, measured at a battery temperature in degC, to the temperature of the table.
// Source and doubt: see FromVoltage.
func Compensated(volts, degC float64) float64 { return volts + voltsPerDegree*(degC-TableDegC) }

// FromGravity gives the charge of a flooded battery from the acid's specific gravity (1.0 to 1.4) at a temperature in
// degC. Source: BCI table and temperature compensation. Accuracy: 10 % of charge.
func FromGravity(gravity, degC float64) (Charge, error) {
	if !(gravity >= 1 && gravity <= 1.4) {
		return Charge{}, fmt.Errorf("%v is no specific gravity of battery acid; expected 1.0 to 1.4", gravity)
	}
	if err := checkDegC(degC); err != nil {
		return Charge{}, err
	}
	return in(gravityCurve, gravity+gravityPerDegree*(degC-TableDegC)), nil
}

// VoltageFor gives the rest voltage in V that belongs to a charge in percent (0 to 100) at a temperature in degC: the
// inverse of FromVoltage.
func VoltageFor(t Type, percent, degC float64) (float64, error) {
	if int(t) >= len(restCurves) {
		return 0, fmt.Errorf("battery type %d is not known", t)
	}
	if err := checkDegC(degC); err != nil {
		return 0, err
	}
	v, ok := restCurves[t].Find(percent)
	if !ok {
		return 0, fmt.Errorf("a charge of %v %% does not exist; expected 0 to 100 %%", percent)
	}
	return v - voltsPerDegree*(degC-TableDegC), nil
}

// FreezesAt gives the temperature in degC at which the acid of a flooded battery freezes at a charge in percent (0 to
// 100). Source: BCI state-of-charge table.
func FreezesAt(percent float64) (float64, error) {
	t, ok := acidCurve.At(percent)
	if !ok {
		return 0, fmt.Errorf("a charge of %v %% does not exist; expected 0 to 100 %%", percent)
	}
	return t, nil
}

func in(c curve.Curve, x float64) Charge {
	return Charge{c.Clamped(x), x < c[0].X || x > c[len(c)-1].X}
}

func checkDegC(degC float64) error {
	if !(degC >= -40 && degC <= 60) {
		return fmt.Errorf("%v °C cannot be a battery's temperature; expected -40 to 60 °C", degC)
	}
	return nil
}
