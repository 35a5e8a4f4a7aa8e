// Package unit holds the units of workshop readings: their names, exact
// conversion between them, reading of quantities as they are typed, and writing
// in metric or US customary form.
//
// Factors are exact by definition: the inch is 25.4 mm, the pound-force
// 4.4482216152605 N, the mile 1.609344 km, the US liquid gallon 231 cubic inches
// (NIST Special Publication 811, appendix B; from memory).
package unit

import "strings"

// Unit is one unit of measure. The zero value is no unit.
type Unit uint8

// The units. The first block is canonical: readings are kept in these, and their
// names appear in value names such as wheel_mm.
const (
	None     Unit = iota
	MM            // millimetre
	DegC          // degree Celsius
	Percent       // percent
	V             // volt
	A             // ampere
	Bar           // bar, gauge
	KM            // kilometre, of distance run
	Months        // calendar months
	Fraction      // share of one
	L             // litre
	Cycles        // count of events
	PerM          // light absorption per metre
	Lambda        // air ratio
	S             // second
	N             // newton
	KPa           // kilopascal
	Minutes       // minute of angle
	Degrees       // degree of angle
	RPM           // revolutions per minute
	PPM           // parts per million
	MM2PerS       // kinematic viscosity, mm2/s (centistokes)

	Inch   // 25.4 mm
	In32   // 1/32 inch
	CM     // centimetre
	Metre  // metre, of length
	DegF   // degree Fahrenheit
	MilliV // millivolt
	MilliA // milliampere
	PSI    // pound-force per square inch, gauge
	Mile   // international mile, of distance run
	Years  // twelve months
	ML     // millilitre
	Quart  // US liquid quart
	Gallon // US liquid gallon
	PoundF // pound-force
	KiloN  // kilonewton
	MegaPa // megapascal
	numUnits
)

// dimension says which units may be converted into each other. Distance run and
// length are kept apart on purpose: an odometer is never meant in millimetres.
type dimension uint8

const (
	noDimension dimension = iota
	length
	distance
	temperature
	share
	voltage
	current
	pressure
	duration
	volume
	count
	absorption
	airRatio
	seconds
	force
	angle
	rotation
	viscosity
)

// def describes a unit. The value in the dimension's base unit is
// (v - off) * mul / div: a ratio of two numbers that are exact in binary as far
// as that is possible, so that both ways round to the nearest.
type def struct {
	name string // in value names and canonical text
	show string // as written for people
	dim  dimension
	mul  float64
	div  float64
	off  float64
}

var defs = [numUnits]def{
	MM:       {"mm", " mm", length, 1, 1, 0},
	Inch:     {"in", " in", length, 25.4, 1, 0},
	In32:     {"32nds", "/32 in", length, 25.4, 32, 0},
	CM:       {"cm", " cm", length, 10, 1, 0},
	Metre:    {"m", " m", length, 1000, 1, 0},
	KM:       {"km", " km", distance, 1, 1, 0},
	Mile:     {"mi", " mi", distance, 1.609344, 1, 0},
	DegC:     {"degC", " °C", temperature, 1, 1, 0},
	DegF:     {"degF", " °F", temperature, 5, 9, 32},
	Percent:  {"percent", " %", share, 1, 100, 0},
	Fraction: {"fraction", "", share, 1, 1, 0},
	PPM:      {"ppm", " ppm", share, 1, 1e6, 0},
	V:        {"V", " V", voltage, 1, 1, 0},
	MilliV:   {"mV", " mV", voltage, 1, 1000, 0},
	A:        {"A", " A", current, 1, 1, 0},
	MilliA:   {"mA", " mA", current, 1, 1000, 0},
	KPa:      {"kPa", " kPa", pressure, 1, 1, 0},
	Bar:      {"bar", " bar", pressure, 100, 1, 0},
	MegaPa:   {"MPa", " MPa", pressure, 1000, 1, 0},
	PSI:      {"psi", " psi", pressure, 4.4482216152605, 0.64516, 0},
	Months:   {"months", " months", duration, 1, 1, 0},
	Years:    {"years", " years", duration, 12, 1, 0},
	L:        {"L", " L", volume, 1, 1, 0},
	ML:       {"mL", " mL", volume, 1, 1000, 0},
	Quart:    {"qt", " qt", volume, 0.946352946, 1, 0},
	Gallon:   {"gal", " gal", volume, 3.785411784, 1, 0},
	Cycles:   {"cycles", " cycles", count, 1, 1, 0},
	PerM:     {"per_m", " per m", absorption, 1, 1, 0},
	Lambda:   {"lambda", " lambda", airRatio, 1, 1, 0},
	S:        {"s", " s", seconds, 1, 1, 0},
	N:        {"N", " N", force, 1, 1, 0},
	KiloN:    {"kN", " kN", force, 1000, 1, 0},
	PoundF:   {"lbf", " lbf", force, 4.4482216152605, 1, 0},
	Degrees:  {"degrees", "°", angle, 1, 1, 0},
	Minutes:  {"minutes", "'", angle, 1, 60, 0},
	RPM:      {"rpm", " rpm", rotation, 1, 1, 0},
	MM2PerS:  {"mm2_s", " mm²/s", viscosity, 1, 1, 0},
}

// String gives the unit's name as used in value names: "mm", "degC", "per_m".
func (u Unit) String() string {
	if u >= numUnits {
		return ""
	}
	return defs[u].name
}

// Symbol gives the unit as written for people: "°C", "/32 in", "psi".
func (u Unit) Symbol() string {
	if u >= numUnits {
		return ""
	}
	return strings.TrimSpace(defs[u].show)
}

// Compatible says whether values of the two units can be converted into each other.
func Compatible(a, b Unit) bool {
	return a < numUnits && b < numUnits && a != None && defs[a].dim == defs[b].dim
}

// ByName finds a unit by its name, exactly as String gives it.
func ByName(name string) (Unit, bool) {
	if name == "" {
		return None, false
	}
	for u := range numUnits {
		if defs[u].name == name {
			return u, true
		}
	}
	return None, false
}

// ValueUnit gives the unit of a value's name: the whole name or what follows an
// underscore, as in mm, wheel_mm, rated_A, smoke_per_m. Only the canonical units,
// in which readings are kept, name values.
func ValueUnit(name string) (Unit, bool) {
	for {
		if u, ok := ByName(name); ok && u <= MM2PerS {
			return u, true
		}
		i := strings.IndexByte(name, '_')
		if i < 0 {
			return None, false
		}
		name = name[i+1:]
	}
}
