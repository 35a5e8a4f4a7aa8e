package tyre

import (
	"fmt"
	"math"
)

const kelvin = 273.15

// SeaLevelBar is the standard atmosphere in bar (exact by definition, 101 325 Pa).
const SeaLevelBar = 1.01325

// AtmosphereBar gives the air's pressure in bar at an altitude in metres from -500 to 11 000, by the standard
// atmosphere: 1.01325 * (1 - h/44330.8)^5.25588. Weather moves it by about 3 %. Source: ISO 2533, from memory.
func AtmosphereBar(metres float64) (float64, error) {
	if !(metres >= -500 && metres <= 11000) {
		return 0, fmt.Errorf("an altitude of %v m has no road; expected -500 to 11 000 m", metres)
	}
	return SeaLevelBar * math.Pow(1-metres/44330.8, 5.25588), nil
}

// Air is what a gauge's reading depends on: the tyre's temperature in degC (-60 to 120) and the altitude in metres.
type Air struct{ DegC, Metres float64 }

// PressureAt gives the gauge pressure in bar that a tyre set to bar in one air shows in another, at constant volume:
// (p + a1) * T2/T1 - a2 with absolute temperatures and the air's own pressure at both altitudes.
// Source: ideal gas law. Accuracy: 0.02 bar for dry air between -30 and 80 degC; the tyre gives way a little.
func PressureAt(bar float64, set, now Air) (float64, error) {
	if !(bar >= 0 && bar <= 10) {
		return 0, fmt.Errorf("%v bar is no tyre pressure of a car; expected 0 to 10 bar", bar)
	}
	for _, a := range [2]Air{set, now} {
		if !(a.DegC >= -60 && a.DegC <= 120) {
			return 0, fmt.Errorf("%v °C cannot be a tyre's temperature; expected -60 to 120 °C", a.DegC)
		}
	}
	a1, err := AtmosphereBar(set.Metres)
	if err != nil {
		return 0, err
	}
	a2, err := AtmosphereBar(now.Metres)
	if err != nil {
		return 0, err
	}
	return (bar+a1)*(now.DegC+kelvin)/(set.DegC+kelvin) - a2, nil
}
