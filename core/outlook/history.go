// Package outlook joins what is known of how things age with what one car has shown: for every item with a law it says when
// the limit is probably reached and how sure that is, when to look again, and how long an interval this car allows.
package outlook

import (
	"time"

	"witnessmark/core/round"
)

// History is all that is known of a car on a day.
type History struct {
	Car round.Car
	// Families are the ids of the families that the car belongs to.
	Families []string
	// Odometer holds every distance noted, in order of the day.
	Odometer []Distance
	// Looks are the readings that count now, oldest first, none later than Today.
	Looks []Look
	Today time.Time
}

// Distance is an odometer reading.
type Distance struct {
	On time.Time
	Km float64
}

// Look is a reading with its day and distance.
type Look struct {
	On time.Time
	// Km is negative when it was not noted.
	Km      float64
	Reading round.Reading
	// After is true for what was read when the work of the day was done: it is of what was renewed on that day.
	After bool
}
