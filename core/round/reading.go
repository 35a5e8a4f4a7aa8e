// Package round knows what is taken on a walk round the car: the readings, what may be said at which point, and the
// order in which the points are walked.
package round

import (
	"slices"
	"time"

	"witnessmark/core/facet"
	"witnessmark/core/point"
	"witnessmark/core/unit"
)

// Reading is one look or measurement at one point, or the reason why there is none.
type Reading struct {
	Point string
	// At is a corner (FL), a corner and place (FL/outer), an axle (F), a counted part (1), "spare" or empty.
	At    string
	State string
	Code  string
	// Values are numbers by value name, each in the unit that ends its name (mm, wheel_mm, degC).
	Values map[string]float64
	// Skipped says why the point was not looked at; a reading with a reason has nothing else.
	Skipped string
	Note    string
}

// Value gives a number of the reading.
func (r *Reading) Value(name string) (float64, bool) {
	v, ok := r.Values[name]
	return v, ok
}

// StateOf is the point's state that the reading names, or in whose part of the band its fraction lies; nil where neither is so.
func (r *Reading) StateOf(p *point.Point) *point.StateOf {
	if r.State != "" {
		return p.StateByID(r.State)
	}
	x, ok := r.Value("fraction")
	if !ok {
		return nil
	}
	for i := range p.States {
		s := &p.States[i]
		if (s.From != nil || s.Below != nil) && (s.From == nil || x >= *s.From) && (s.Below == nil || x < *s.Below) {
			return s
		}
	}
	return nil
}

// Empty reports whether the reading says nothing at all.
func (r *Reading) Empty() bool {
	return r.State == "" && r.Code == "" && len(r.Values) == 0 && r.Skipped == ""
}

// Car is what a judgement needs to know of a car.
type Car struct {
	VIN string
	// OdometerKm is the distance at the time of the round; negative when not known.
	OdometerKm float64
	// FirstRegistered is the first day of the month of registration; zero when not known.
	FirstRegistered time.Time
	// Units is how sentences about the car write their numbers; the zero value is metric. Verdicts don't depend on it.
	Units   unit.System
	Facets  facet.Set
	Specs   map[string]Spec
	Renewed []Renewal
}

// Spec is a figure of this car with its origin (stamped on the part, maker's data, owner's handbook).
type Spec struct {
	Text string
	// Numbers holds the figure by position; "" is the figure for the whole car.
	Numbers map[string]float64
	Origin  string
}

// At gives the figure for a position: that position's own, its corner's, its axle's, or the whole car's.
func (s Spec) At(at string) (float64, bool) {
	for _, key := range widen(at) {
		if v, ok := s.Numbers[key]; ok {
			return v, true
		}
	}
	return 0, false
}

// widen lists the keys under which a figure for at may stand, narrowest first.
func widen(at string) []string {
	keys := []string{at}
	for i := 0; i < len(at); i++ {
		if at[i] == '/' {
			at = at[:i]
			keys = append(keys, at)
		}
	}
	if len(at) == 2 && (at[0] == 'F' || at[0] == 'R') {
		keys = append(keys, at[:1])
	}
	if at != "" {
		keys = append(keys, "")
	}
	return keys
}

// Renewal says when an item was last renewed.
type Renewal struct {
	Item string
	// At is the position that was renewed: a corner (FL), an axle (F), or empty for the whole car.
	At string
	// OdometerKm is negative when not known.
	OdometerKm float64
	Date       time.Time
}

// LastRenewal finds the newest renewal of an item on or before a day, wherever on the car it was.
func (c *Car) LastRenewal(item string, by time.Time) (Renewal, bool) {
	return c.LastRenewalAt(item, "", by)
}

// Covers reports whether the renewal renewed the part at a position: its own, its corner's or its axle's, or one of the whole car.
// A question about the whole car ("") is answered by any renewal of the item.
func (r Renewal) Covers(at string) bool {
	return at == "" || slices.Contains(widen(at), r.At)
}

// LastRenewalAt finds the newest renewal of an item on or before a day that renewed the part at a position.
func (c *Car) LastRenewalAt(item, at string, by time.Time) (Renewal, bool) {
	var best Renewal
	found := false
	for _, r := range c.Renewed {
		if r.Item == item && r.Covers(at) && !r.Date.After(by) && (!found || r.Date.After(best.Date)) {
			best, found = r, true
		}
	}
	return best, found
}

// Taken is a round's readings with what is common to them.
type Taken struct {
	On time.Time
	// AmbientC is the air's temperature in degC; nil when not noted.
	AmbientC *float64
	Readings []Reading
}
