package geometry

import (
	"fmt"
	"math"
)

// Wheels are four readings of one angle in degrees: toe of each wheel (toe-in above 0) or camber (top outwards above 0).
type Wheels struct{ FL, FR, RL, RR float64 }

// Bounds of common practice in degrees: thrust angle and side difference of camber on one axle.
const (
	MostThrust      = 0.25
	MostCrossCamber = 0.5
)

// Toe is what four toe readings say together, in degrees. Thrust and Offset are above 0 to the right.
type Toe struct {
	Front, Rear float64 // total toe of the axle
	Thrust      float64 // where the rear axle steers, against the car's middle line: (RL - RR) / 2
	// FrontLeft and FrontRight are the front wheels' toe against the thrust line, which the car follows straight ahead.
	FrontLeft, FrontRight float64
	// Offset is how far the front wheels must turn to follow the thrust line, from where they were measured.
	Offset float64
}

// ToeOf puts four toe readings together. Domain: -5 to 5 degrees each. Source: geometry.
func ToeOf(w Wheels) (Toe, error) {
	if err := w.check(5); err != nil {
		return Toe{}, err
	}
	t := Toe{Front: w.FL + w.FR, Rear: w.RL + w.RR, Thrust: (w.RL - w.RR) / 2}
	// A left wheel's toe-in turns it to the right, a right wheel's to the left.
	t.FrontLeft, t.FrontRight = w.FL-t.Thrust, w.FR+t.Thrust
	t.Offset = t.Thrust - (w.FL-w.FR)/2
	return t, nil
}

// CrossCamber gives the side difference of camber, left less right, in degrees, front and rear. Domain: -10 to 10
// degrees each. A difference above MostCrossCamber may pull the car to the side with more camber. Source: geometry.
func CrossCamber(w Wheels) (front, rear float64, err error) {
	if err := w.check(10); err != nil {
		return 0, 0, err
	}
	return w.FL - w.FR, w.RL - w.RR, nil
}

func (w Wheels) check(most float64) error {
	for _, v := range [4]float64{w.FL, w.FR, w.RL, w.RR} {
		if !(math.Abs(v) <= most) {
			return fmt.Errorf("a wheel angle of %v° cannot be right; expected %v to %v°", v, -most, most)
		}
	}
	return nil
}
