package outlook

import (
	"time"

	"witnessmark/core/life"
	"witnessmark/core/point"
	"witnessmark/core/wear"
)

// Outlook is what a car's history says about what comes.
type Outlook struct {
	Today time.Time
	// NowKm is the distance expected today, 80 % range around the middle; PerYear in km. Known is false without any odometer reading.
	NowKm, PerYear Range
	Known          bool
	// Items in order of the day on which the middle of the forecast lies; those past their limit first, those without a date last.
	Items []Item
	// Next is the car's next look: the earliest of its items', not before today.
	Next NextLook
	// Questions ask for what seems not to have been written down.
	Questions []Question
	// Horizon is the day beyond which nothing is drawn or dated: later crossings are "not before".
	Horizon time.Time
}

// Range is a median with its 80 % range.
type Range struct{ Low, Mid, High float64 }

// Item is the outlook of one place: a condition that turns or a figure that runs down.
type Item struct {
	Law   *point.Law
	Point *point.Point
	At    string
	// Where is At in words, empty for the car as a whole.
	Where string
	Basis Basis
	// Since says from when the clock counts.
	Since Since
	// Exposure is what the clock shows today, in the law's unit.
	Exposure float64
	// Shown are the readings of the running cycle, Earlier those of finished ones.
	Shown, Earlier []Shown
	// Limit is the figure that a measured quantity runs to; nil for conditions, and where no limit is known.
	Limit *float64
	// LimitUnit and LimitSource name it.
	LimitUnit, LimitSource string
	// Past is true when the last look showed the limit reached, or the condition turned.
	Past bool
	// Reach is when the limit is reached, given that it was not yet at the last look. Nothing in it counts when Past is true.
	Reach Reach
	// Turned is the probability that the limit is passed by today.
	Turned float64
	// Season is the probability that it is passed when the car is usually seen again, SeasonDays after today.
	Season float64
	// Band is the level's 80 % range over the exposure, for a plot; nil for conditions.
	Band []BandPoint
	// Expect is what a reading today would show: the 80 % range and the 99 % range; false for conditions.
	Expect, Wide Range
	Expects      bool
	// Rate is the wear per 1000 km or per month; zero for conditions.
	Rate Range
	Look NextLook
	// Advice is the recommended interval of what can be renewed; nil where none is given.
	Advice *Advice
	// Unsure says why nothing can be said; empty otherwise.
	Unsure string
}

// Basis says what an item's outlook was computed from, so that it can be computed again.
type Basis struct {
	// Key is the class of cars that it starts from; Cars and Looks are how much history the class has.
	Key         string
	Cars, Looks int
	// Learned is false while the class is only the catalogue's law.
	Learned bool
	// Own is the number of this car's looks that count.
	Own int
}

// Since is the start of a cycle.
type Since struct {
	On time.Time
	// Km is the odometer then.
	Km float64
	// From says in words what started it: "renewed", "first registration", "first look".
	From string
	// Sure is false when the start is only assumed.
	Sure bool
}

// Shown is one reading with the exposure at which it was taken.
type Shown struct {
	On       time.Time
	Km       float64
	Exposure float64
	Value    float64
	State    string
	Turned   bool
}

// Reach is the odometer and the day at which a limit is reached.
type Reach struct {
	// Exposure, Km are in the law's unit and on the odometer. Infinite values are never stored: Open says that the high end
	// (or the middle) lies beyond the horizon.
	Exposure, Km Range
	Low, Mid     time.Time
	High         time.Time
	// OpenLow, OpenMid and OpenHigh are true when that end lies beyond the horizon.
	OpenLow, OpenMid, OpenHigh bool
	// Never is the probability that the limit is not reached within the horizon.
	Never float64
}

// BandPoint is the range of a level at an exposure.
type BandPoint struct {
	Exposure, Km float64
	Level        Range
}

// NextLook is the day and distance by which to look again.
type NextLook struct {
	On time.Time
	Km float64
	// Risk is the accepted probability behind it.
	Risk float64
	// Item is the index in Outlook.Items that asks for it; -1 for none.
	Item int
	// Now is true when the risk is passed already.
	Now bool
	// Open is true when it lies beyond the horizon.
	Open bool
	// Short is true when the risk is passed so soon after a look (within LeastGap days) that looking again can't hold it. Such an
	// item does not call the car in by itself: it is renewed at its interval, or looked at by whoever drives.
	Short bool
}

// Advice is a recommended interval.
type Advice struct {
	life.Recommendation
	// Usual is the fixed schedule that it replaces, 0 when there is none.
	Usual float64
	// DueOn and DueKm are the day and the distance at which the running cycle reaches the interval.
	DueOn time.Time
	DueKm float64
	// Cheapest is the interval of least cost where renewal in time saves something, in the law's unit; Flat the range within 1 % of it.
	Cheapest  float64
	Flat      Range
	CheapNote string
}

// Question asks about something that seems not to have been written down.
type Question struct {
	Point, At, Item string
	Text            string
	From, To        time.Time
}

// Fitted is a law as the workshop's own history has moved it.
type Fitted struct {
	Key, Law, Class, Family string
	Life                    *life.Prior
	Wear                    *wear.Class
	Cars, Looks             int
	// Note says in words what the fit did, and why it stopped.
	Note string
}

// Classes are fitted laws by key. A class that is missing is taken from the catalogue.
type Classes map[string]Fitted
