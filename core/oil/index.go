package oil

import (
	"fmt"
	"math"
)

// Index gives the viscosity index from the kinematic viscosities in mm2/s at 40 and 100 degC, unrounded. Below 100 it
// is procedure A, (L-U)/(L-H)*100, from 100 on procedure B, (10^N - 1)/0.00715 + 100 with N = (log H - log U)/log Y.
// Domain: 2 mm2/s and more at 100 degC, and more at 40 than at 100. Thin oils of very low index give numbers below 0.
// Source: ASTM D2270 (ISO 2909). Accuracy: the table's three to four digits, about 0.1.
func Index(v40, v100 float64) (float64, error) {
	if err := check(v40, v100); err != nil {
		return 0, err
	}
	if v100 < 2 {
		return 0, fmt.Errorf("%v mm2/s at 100 °C is below 2; the viscosity index is not defined there", v100)
	}
	l, h := basis(v100)
	if v40 > h {
		return (l - v40) / (l - h) * 100, nil
	}
	n := math.Log(h/v40) / math.Log(v100)
	return (math.Pow(10, n)-1)/0.00715 + 100, nil
}

// Rounded is an index as it is reported: a whole number, halves to the even one (ASTM E29, as D2270 asks).
func Rounded(index float64) int { return int(math.RoundToEven(index)) }

// check refuses what is no pair of viscosities.
func check(v40, v100 float64) error {
	switch {
	case !(v40 > 0) || !(v100 > 0) || math.IsInf(v40, 1):
		return fmt.Errorf("%v mm2/s at 40 °C and %v at 100 °C: a viscosity is above 0", v40, v100)
	case v40 <= v100:
		return fmt.Errorf("%v mm2/s at 40 °C is not thicker than %v at 100 °C; are the two exchanged?", v40, v100)
	}
	return nil
}
