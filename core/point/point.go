// Package point knows what a point of the round is: where it is looked at, how, what can be seen there, and the
// limits that it is judged against. It holds the catalogue's types; the data comes from outside.
package point

import (
	"regexp"
	"slices"

	"witnessmark/core/facet"
	"witnessmark/core/verdict"
)

// Station is a place and state of the car in which points are looked at together.
type Station string

// Stations in walking order: cold things before the engine runs, one trip up the lift, wheels off once, road last.
var Stations = [...]Station{"paperwork", "cabin", "engine-cold", "engine-running", "on-the-ground", "on-the-lift", "wheels-off", "road"}

// Place gives the station's place in the walking order, -1 when it is not one.
func (s Station) Place() int {
	for i, t := range Stations {
		if s == t {
			return i
		}
	}
	return -1
}

// Kind is the kind of reading that a point takes.
type Kind string

// The kinds of reading.
const (
	State   Kind = "state"   // one of an ordered list, best first
	Level   Kind = "level"   // a fraction of the band between MIN (0) and MAX (1), or a named state
	Measure Kind = "measure" // one or more numbers with units
	Code    Kind = "code"    // a text with a pattern
)

// Depth is how much of the car a round looks at.
type Depth string

// The depths of a round.
const (
	Full     Depth = "full"
	Quick    Depth = "quick"    // under the bonnet between visits
	Driveway Depth = "driveway" // no lift, no tools, by an owner with our guidance
)

// Baseline is the depth of what was read when work was done: the first looks at what is new. Nobody walks it, so no point belongs to
// it, nothing of it is ever missing, and it is none of Depths.
const Baseline Depth = "baseline"

// Depths lists the depths in which a car can be walked, deepest first.
var Depths = [...]Depth{Full, Quick, Driveway}

// Groups lists the groups that points are shown under, in order.
var Groups = [...]string{"papers", "fluids", "filters", "belts", "leaks", "cooling", "engine", "electrics", "brakes", "steering",
	"suspension", "wheels-tyres", "driveline", "exhaust", "body", "lamps", "visibility", "restraints", "road"}

// Point is one thing that is looked at. Several readings of it (axles, corners, inner and outer) are positions of
// one point, not copies.
type Point struct {
	ID, Name, OwnerName string
	Station             Station
	Group               string
	Depths              []Depth
	Ask, Method, Tool   string
	DrivewayMethod      string
	Kind                Kind
	Consequence         Consequence
	Order               int
	Applies             facet.When
	Positions           Positions
	States              []StateOf
	Values              []Value
	Pattern             *regexp.Regexp
	Derive              string
	Limits              []Limit
	Renewal             *Renewal
	Pairs               []Pair
	Rules               []Rule
	Jobs, Cautions      []string
	Recheck             string
	Covers              []string
	Source              Source
	Means, Wait         string
	// Hint is what is known of this car's family about the point; empty in the base catalogue.
	Hint string
}

// Consequence says who or what is hurt when a fault at the point is missed.
type Consequence string

// The classes of consequence, gravest first.
const (
	People  Consequence = "people"
	Machine Consequence = "machine"
	Comfort Consequence = "comfort"
)

// Rank orders consequences, gravest highest.
func (c Consequence) Rank() int {
	switch c {
	case People:
		return 2
	case Machine:
		return 1
	}
	return 0
}

// StateOf is one state in a point's list, best first.
type StateOf struct {
	ID, Say, Like  string
	Verdict        verdict.Verdict
	Why            string
	Means, Wait    string
	Jobs, Cautions []string
	Category       map[string]string
	Item           string
	Source         *Source
	// From and Below bound the state in fractions of the band (level points); nil is open.
	From, Below *float64
}

// Value is a number that a reading may carry. Its name ends in its unit (mm, wheel_mm, rated_A).
type Value struct {
	Name, Label string
	Min, Max    float64
	Step        float64
	Companion   bool
	Optional    bool
	Remember    string
}

// Is tells which side of a limit is bad.
type Is string

// The comparisons of a limit.
const (
	Below     Is = "below"
	AtOrBelow Is = "at-or-below"
	Above     Is = "above"
	AtOrAbove Is = "at-or-above"
)

// Broken reports whether x lies on the bad side of limit.
func (i Is) Broken(x, limit float64) bool {
	switch i {
	case Below:
		return x < limit
	case AtOrBelow:
		return x <= limit
	case Above:
		return x > limit
	case AtOrAbove:
		return x >= limit
	}
	return false
}

// Falls reports whether smaller values are worse.
func (i Is) Falls() bool { return i == Below || i == AtOrBelow }

// Limit is a figure with a name that a value is judged against.
type Limit struct {
	Is       Is
	Of       string // value name, "derived", or empty for the first value
	Number   *float64
	Spec     string
	Table    string
	By       string
	Plus     float64
	Times    float64
	When     facet.When
	Verdict  verdict.Verdict
	Why      string
	Jobs     []string
	Source   Source
	Category map[string]string
	Item     string
	Optional bool
	// At narrows the limit to some positions (an axle speaks for its corners); empty means every position.
	At []string
}

// Speaks reports whether the limit is one for the position at. A reading without a position is outside narrowed limits.
func (l *Limit) Speaks(at string) bool {
	base, _ := SplitAt(at)
	return len(l.At) == 0 || slices.Contains(l.At, base) || slices.Contains(l.At, Axle(base))
}

// Renewal is a calendar or distance limit since the item was last renewed.
type Renewal struct {
	Item    string
	Months  float64
	Km      float64
	Verdict verdict.Verdict
	Source  Source
	Jobs    []string
}

// Pair makes a difference between two positions a finding of its own.
type Pair struct {
	Between string // left-right or inner-outer
	Beyond  float64
	Verdict verdict.Verdict
	Why     string
	Jobs    []string
	Source  Source
}

// Rule names a judgement that needs several readings, with its parameters.
type Rule struct {
	Name       string
	Worn       float64
	Fresh      float64
	LevelPoint string
	State      string
	Item       string
	States     []string
}

// Source names where a limit or a verdict comes from.
type Source struct {
	From    string // id of a source, "practice" or "car"
	Section string
	Status  string // verified or memory; empty for practice and car
}

// StateByID finds a state of the point.
func (p *Point) StateByID(id string) *StateOf {
	for i := range p.States {
		if p.States[i].ID == id {
			return &p.States[i]
		}
	}
	return nil
}

// ValueByName finds a value of the point.
func (p *Point) ValueByName(name string) *Value {
	for i := range p.Values {
		if p.Values[i].Name == name {
			return &p.Values[i]
		}
	}
	return nil
}

// At reports whether the point is looked at in a round of this depth.
func (p *Point) At(d Depth) bool {
	for _, x := range p.Depths {
		if x == d {
			return true
		}
	}
	return false
}
