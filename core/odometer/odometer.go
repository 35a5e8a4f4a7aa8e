// Package odometer keeps a car's odometer readings honest: it asks about an
// entry that can't be, or hardly can be, before it is believed.
//
// The thresholds are the program's own defaults from common practice; none is
// published. Distances are km, dates are given by the caller.
package odometer

import (
	"math"
	"slices"
	"time"
)

// Reading is what the odometer showed on a day, in km.
type Reading struct {
	On time.Time
	KM float64
}

// Kind says what is odd about an entry.
type Kind uint8

// The kinds of oddity.
const (
	Impossible Kind = iota + 1 // negative, not a number, or more than any meter shows
	RunsBack                   // less than an earlier reading, or more than a later one
	DigitLost                  // less than an earlier reading; a digit more would fit
	DigitExtra                 // far more than the car can have run; a digit less would fit
	MilesForKM                 // miles and km mixed up would explain it
	TooFast                    // more than can be driven, or far above the car's own rate
	SameDay                    // another reading of the same day says something else
)

// String names the kind in kebab case, as used in JSON.
func (k Kind) String() string {
	names := [...]string{"", "impossible", "runs-back", "digit-lost", "digit-extra", "miles-for-km", "too-fast", "same-day"}
	if int(k) >= len(names) {
		return ""
	}
	return names[k]
}

// Severity says what may be done with an odd entry.
type Severity uint8

// The severities.
const (
	Ask    Severity = iota + 1 // may stand once somebody confirms it
	Refuse                     // can't stand: correct it, or state that the meter was changed
)

// String gives "ask" or "refuse".
func (s Severity) String() string {
	switch s {
	case Ask:
		return "ask"
	case Refuse:
		return "refuse"
	}
	return ""
}

// Question is what to ask about an odd entry.
type Question struct {
	Kind     Kind
	Severity Severity
	Message  string  // one or two sentences for the person who typed it, in the unit of the meter
	Likely   float64 // what was probably meant, km; 0 when nothing is likely
	Against  Reading // the earlier or later reading that it clashes with; zero if none
}

const (
	mostKM      = 9_999_999 // seven figures: no car's meter shows more
	kmPerMile   = 1.609344
	backKM      = 1    // rounding of whole km or of miles
	sameDayKM   = 20   // a road test between two readings of one day
	mostPerDay  = 600  // more than this, day after day, is not driven
	usualPerDay = 41   // 15 000 km a year, where the car's own rate is not known
	ownTimes    = 5    // far above the car's own rate ...
	ownExcessKM = 3000 // ... and by more than a long holiday
	slackKM     = 500  // one long day, in judging a correction
	leastDays   = 30   // history shorter than this tells no yearly rate
	daysPerYear = 365.2425
	hoursPerDay = 24
	closeTimes  = 2 // a correction that runs up to this many times the rate is preferred ...
	farTimes    = 4 // ... to one that runs up to this many times

	leastForUse   = 4   // readings, over a year, that tell of a car's use
	unlikelyTimes = 2.2 // what lies above this many times the usual, and above nearly all that can be expected, is asked about
)

// sorted gives a copy in the order of dates, then of km.
func sorted(history []Reading) []Reading {
	h := slices.Clone(history)
	slices.SortStableFunc(h, func(a, b Reading) int {
		if c := a.On.Compare(b.On); c != 0 {
			return c
		}
		switch {
		case a.KM < b.KM:
			return -1
		case a.KM > b.KM:
			return 1
		}
		return 0
	})
	return h
}

// PerYear gives the km that the car runs in a year of 365.2425 days, over the
// whole history. Stretches in which the meter runs backwards (it was changed) are
// left out. It is not known, ok = false, before the readings span 30 days.
func PerYear(history []Reading) (km float64, ok bool) {
	h := sorted(history)
	days := 0.0
	for i := 1; i < len(h); i++ {
		if run := h[i].KM - h[i-1].KM; run >= 0 {
			km += run
			days += between(h[i-1], h[i])
		}
	}
	if days < leastDays || math.IsInf(km, 0) || math.IsNaN(km) {
		return 0, false
	}
	return km / days * daysPerYear, true
}

// between gives the days from a to b.
func between(a, b Reading) float64 { return b.On.Sub(a.On).Hours() / hoursPerDay }

func sameDate(a, b time.Time) bool {
	ay, am, ad := a.Date()
	by, bm, bd := b.Date()
	return ay == by && am == bm && ad == bd
}
