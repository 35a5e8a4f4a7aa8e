// Package oil is the arithmetic of engine oil: viscosity at a temperature, viscosity index, grades, and what an
// engine uses.
package oil

import (
	"fmt"
	"math"
)

const kelvin = 273.15

// Line is the straight line log10(log10(v + 0.7)) = A - B*log10(T), v in mm2/s and T in kelvin.
type Line struct{ A, B float64 }

// Temperatures to which a line may be drawn out, in degC. Beyond them the oil is no longer a plain liquid.
const (
	coldest = -40
	hottest = 180
)

// LineThrough gives the line through the viscosities in mm2/s at 40 and 100 degC, both above 2.
// Source: ASTM D341, the simple form of the Walther equation, from memory; its constant 0.7 holds above 2 mm2/s.
func LineThrough(v40, v100 float64) (Line, error) {
	if err := check(v40, v100); err != nil {
		return Line{}, err
	}
	if v100 < 2 {
		return Line{}, fmt.Errorf("%v mm2/s at 100 °C is below 2, where the simple form of the equation does not hold", v100)
	}
	y40, y100 := math.Log10(math.Log10(v40+0.7)), math.Log10(math.Log10(v100+0.7))
	x40, x100 := math.Log10(40+kelvin), math.Log10(100+kelvin)
	b := (y40 - y100) / (x100 - x40)
	return Line{A: y40 + b*x40, B: b}, nil
}

// At gives the kinematic viscosity in mm2/s at a temperature from -40 to 180 degC; it is an error where the result
// falls below 2 mm2/s. Accuracy: a few percent between 0 and 120 degC; far below 0 degC wax and polymers make a
// multigrade oil thicker than the line says, so it never stands in for a cranking test.
func (l Line) At(degC float64) (float64, error) {
	if !(degC >= coldest && degC <= hottest) {
		return 0, fmt.Errorf("%v °C is outside what the line may be drawn out to; expected %d to %d °C", degC, coldest, hottest)
	}
	v := math.Pow(10, math.Pow(10, l.A-l.B*math.Log10(degC+kelvin))) - 0.7
	if !(v >= 2) {
		return 0, fmt.Errorf("at %v °C the oil is thinner than 2 mm2/s, where the simple form of the equation does not hold", degC)
	}
	return v, nil
}

// Viscosity gives the kinematic viscosity in mm2/s at a temperature in degC from those at 40 and 100 degC: see
// LineThrough and Line.At for source, domain and accuracy.
func Viscosity(v40, v100, degC float64) (float64, error) {
	l, err := LineThrough(v40, v100)
	if err != nil {
		return 0, err
	}
	return l.At(degC)
}
