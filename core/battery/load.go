package battery

import (
	"fmt"

	"witnessmark/core/curve"
)

// loadCurve is the least voltage after 15 s under half the rated cold cranking current, by battery temperature in
// degC. Source: load-test table of vehicle service manuals (BCI practice).
var loadCurve = curve.Curve{
	{X: -18, Y: 8.5}, {X: -12, Y: 8.7}, {X: -7, Y: 8.9}, {X: -1, Y: 9.1}, {X: 4, Y: 9.3}, {X: 10, Y: 9.4}, {X: 16, Y: 9.5}, {X: 20, Y: 9.6},
}

// LoadMinimum gives the least voltage in V of a 12 V flooded battery after 15 s under half its rated cold cranking
// current, at a battery temperature in degC from -18 up; from 20 on it stays at 9.6. The battery is charged, its
// surface charge taken off. Source: see loadCurve; a line between its rows. Accuracy: the rows' 0.1 V.
func LoadMinimum(degC float64) (float64, error) {
	if !(degC >= -18 && degC <= 60) {
		return 0, fmt.Errorf("the load-test table does not reach %v °C; expected -18 to 60 °C", degC)
	}
	return loadCurve.Clamped(degC), nil
}

// LoadCurrent gives the current in A to draw in that test: half the rated cold cranking current (100 to 2000 A).
func LoadCurrent(rated float64) (float64, error) {
	if err := checkAmps(rated); err != nil {
		return 0, err
	}
	return rated / 2, nil
}

func checkAmps(a float64) error {
	if !(a >= 20 && a <= 2000) {
		return fmt.Errorf("%v A is no cranking current; expected 20 to 2000 A", a)
	}
	return nil
}
