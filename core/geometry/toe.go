// Package geometry is the arithmetic of wheel angles: toe in mm, degrees and metres of side slip, free play at the
// steering wheel, and what four wheels say of camber and thrust.
package geometry

import (
	"fmt"
	"math"
)

const perDegree = math.Pi / 180

// Diameters in mm at which toe is measured: from the smallest rim to the largest tyre.
const (
	leastDiameter = 200
	mostDiameter  = 1000
)

// ToeDegrees gives the angle in degrees of a toe in mm (toe-in above 0) measured at a diameter in mm (200 to 1000):
// asin(mm / diameter). Total toe gives the total angle, one wheel's toe gives that wheel's.
// Source: geometry. Accuracy: exact for one wheel; total toe taken as one angle is right within 0.01 %.
func ToeDegrees(mm, diameter float64) (float64, error) {
	if err := checkDiameter(diameter); err != nil {
		return 0, err
	}
	if !(math.Abs(mm) <= 50) {
		return 0, fmt.Errorf("a toe of %v mm cannot be right; expected -50 to 50 mm", mm)
	}
	return math.Asin(mm/diameter) / perDegree, nil
}

// ToeMM is the inverse of ToeDegrees: degrees (-10 to 10) at a diameter in mm.
func ToeMM(degrees, diameter float64) (float64, error) {
	if err := checkDiameter(diameter); err != nil {
		return 0, err
	}
	if !(math.Abs(degrees) <= 10) {
		return 0, fmt.Errorf("a toe of %v° cannot be right; expected -10 to 10°", degrees)
	}
	return diameter * math.Sin(degrees*perDegree), nil
}

// SideSlip gives the side slip in m per km that a toe in mm at a diameter in mm leads to: 1000 * mm / diameter. A plate
// shows less, because the axle gives way. Source: geometry; 49 CFR 570.7(d)(1) uses the same formula in ft per mile.
func SideSlip(mm, diameter float64) (float64, error) {
	if err := checkDiameter(diameter); err != nil {
		return 0, err
	}
	if !(math.Abs(mm) <= 50) {
		return 0, fmt.Errorf("a toe of %v mm cannot be right; expected -50 to 50 mm", mm)
	}
	return 1000 * mm / diameter, nil
}

// FeetPerMile turns a side slip in m per km into feet per mile, exactly: 1 m/km is 5.28 ft/mi.
func FeetPerMile(mPerKM float64) float64 { return 5.28 * mPerKM }

// Split takes an angle in degrees apart into whole degrees and minutes of the rest, both with the angle's sign.
func Split(degrees float64) (whole, minutes float64) {
	whole = math.Trunc(degrees)
	minutes = (degrees - whole) * 60
	return whole, minutes
}

func checkDiameter(mm float64) error {
	if !(mm >= leastDiameter && mm <= mostDiameter) {
		return fmt.Errorf("toe is not measured at a diameter of %v mm; expected %d to %d mm", mm, leastDiameter, mostDiameter)
	}
	return nil
}
