// Package use gives a car's distance as a function of date, with its uncertainty, from the odometer readings that there are:
// what the odometer will show on a day, on which day it will reach a distance, and how far the car runs in a year.
//
// Between readings the distance is a drifting Brownian motion in driving time: an increment over the driving time t is normal
// with mean v t and variance s2 t, and (v, s2) have a normal-inverse-gamma prior from the class of use. The posterior is in
// closed form and the predictive distribution Student's t (Gelman et al., Bayesian Data Analysis, 3rd ed., section 3.3).
// Driving time runs evenly through the year, or slowly through a season of rest; the rate may have changed for good between
// readings. Every such account of the readings is weighed by how well it foretold them, and all are averaged.
//
// Distances are km, days are counted by the caller from any fixed day; see Prior.NewYear.
package use

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Reading is what the odometer showed.
type Reading struct {
	Day float64 // days since a fixed epoch that the caller chooses
	Km  float64
}

const (
	daysPerYear = 365.2425
	backKm      = 1    // rounding to whole km or miles; less than that is no run backwards
	sameDay     = 0.5  // readings closer than this many days are one
	sameDayKm   = 2000 // more is not driven within a day
	mostDay     = 1e7  // 27 000 years from the epoch
	mostKm      = 1e7  // eight figures: no car's meter shows more
)

// ErrNoReading is the error of a car without any reading: nothing can be said of its distance.
var ErrNoReading = errors.New("there is no odometer reading")

// ReadingError names a reading that can't stand, by its place in the list as given.
type ReadingError struct {
	Index   int
	Reading Reading
	Reason  string
}

// Error gives the sentence.
func (e *ReadingError) Error() string {
	return fmt.Sprintf("reading %d (%.0f km on day %.0f): %s", e.Index+1, e.Reading.Km, e.Reading.Day, e.Reason)
}

// tidy gives the readings in order, those of one day joined to the last of them, a run back by rounding levelled. A reading
// that is no number, is negative, runs backwards, or differs from another of the same day by more than a day's drive is an
// error that names it.
func tidy(rs []Reading) ([]Reading, error) {
	if len(rs) == 0 {
		return nil, ErrNoReading
	}
	order := make([]int, len(rs))
	for i, r := range rs {
		order[i] = i
		switch {
		case math.IsNaN(r.Day) || math.Abs(r.Day) > mostDay:
			return nil, &ReadingError{i, r, "this is no day"}
		case !(r.Km >= 0 && r.Km <= mostKm):
			return nil, &ReadingError{i, r, "this is no distance that an odometer shows"}
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch x, y := rs[a], rs[b]; {
		case x.Day < y.Day || x.Day == y.Day && x.Km < y.Km:
			return -1
		case x == y:
			return 0
		}
		return 1
	})
	out := make([]Reading, 0, len(rs))
	for _, i := range order {
		r := rs[i]
		if n := len(out); n > 0 {
			last := out[n-1]
			switch {
			case r.Km < last.Km-backKm:
				return nil, &ReadingError{i, r, fmt.Sprintf("it is less than the %.0f km read before", last.Km)}
			case r.Day-last.Day < sameDay && r.Km-last.Km > sameDayKm:
				return nil, &ReadingError{i, r, fmt.Sprintf("%.0f km were read on the same day", last.Km)}
			}
			r.Km = math.Max(r.Km, last.Km)
			if r.Day-last.Day < sameDay {
				out[n-1].Km = r.Km
				continue
			}
		}
		out = append(out, r)
	}
	return out, nil
}
