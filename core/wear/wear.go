// Package wear forecasts a measured quantity that runs down to a limit: a pad, a lining, a tread, a battery. It learns what is usual
// from all parts of one class and joins that with the readings of the part in hand.
//
// The model of one life, x being the distance (or days) since the part was fitted:
//
//	level(x)  = a - b*g(x) + path(x)       what is really there
//	a         ~ N(New, NewSD^2)            or the thickness that was known at fitting
//	ln b      = LogRate + unit + side + life, each normal with its own spread
//	path      has independent increments of variance (Path*b)^2 * XRef * dg
//	g         is the class's curve, straight where the data do not say otherwise
//	reading   = level + N(0, Gauge^2), rounded to the gauge's step
//
// Given ln b everything but the rounding is linear and normal, so a and the path are integrated out step by step along the readings;
// a rounded reading is an interval, taken in by matching moments. ln b is integrated by quadrature.
//
// Sources: Lu & Meeker, Technometrics 35 (1993) 161 (random coefficients, crossing of a limit); Meeker & Escobar, Statistical Methods for
// Reliability Data (1998), ch. 13; Lawless & Crowder, Lifetime Data Analysis 10 (2004) 213 (independent increments with a random
// effect per unit; here with the normal law in place of the gamma law); Minka, Proc. 17th UAI (2001) 362 (matching of moments).
package wear

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
)

// Reading is one measurement: X is the distance or the days since the part was fitted, Y the quantity, which falls towards its limit.
// (A quantity that grows towards its limit is handed over with both signs changed.)
type Reading struct{ X, Y float64 }

// Life is one part from its fitting on.
type Life struct {
	// Unit names the car and axle that the part sits on; lives of one unit share a part of their rate.
	Unit string
	// Side names a place within the unit, such as left; successive lives of one side share a further part. It may be empty.
	Side     string
	Readings []Reading
	// New is what was fitted, where NewKnown.
	New      float64
	NewKnown bool
	// NewSD is how far New may be off, where that is known; 0 takes the gauge's error. A wide one suits a part that was first met
	// half worn: its origin is then the first reading, and only its rate speaks.
	NewSD float64
	// Step is the rounding of the gauge in units of Y; 0 takes the class's.
	Step float64
}

// ErrNoData means that there is nothing to learn from: not one life with a reading.
var ErrNoData = errors.New("no readings to learn from")

// ErrUnfit means that the readings contradict the class so far that nothing can be said.
var ErrUnfit = errors.New("the readings do not fit this kind of part: no forecast can be made from them")

// huge bounds what is accepted as a figure, so that squares and products stay finite.
const huge = 1e12

func finite(vs ...float64) bool {
	for _, v := range vs {
		if math.IsNaN(v) || math.Abs(v) > huge {
			return false
		}
	}
	return true
}

// check says what is wrong with a life: a figure that is none, a reading before the fitting, a step below zero.
func (l Life) check() error {
	if l.NewKnown && (!finite(l.New, l.NewSD) || l.NewSD < 0) {
		return fmt.Errorf("unit %q: thickness when fitted %v (give or take %v) is not a usable number", l.Unit, l.New, l.NewSD)
	}
	if !finite(l.Step) || l.Step < 0 {
		return fmt.Errorf("unit %q: rounding of the gauge %v is not a usable number", l.Unit, l.Step)
	}
	for i, r := range l.Readings {
		if !finite(r.X, r.Y) {
			return fmt.Errorf("unit %q: reading %d (%v at %v) is not a usable number", l.Unit, i+1, r.Y, r.X)
		}
		if r.X < 0 {
			return fmt.Errorf("unit %q: reading %d lies %v before the fitting", l.Unit, i+1, -r.X)
		}
	}
	return nil
}

// ordered gives the readings by X without touching what was handed over.
func (l Life) ordered() []Reading {
	byX := func(a, b Reading) int { return cmp.Compare(a.X, b.X) }
	if slices.IsSortedFunc(l.Readings, byX) {
		return l.Readings
	}
	rs := slices.Clone(l.Readings)
	slices.SortStableFunc(rs, byX)
	return rs
}
