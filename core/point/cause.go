package point

import "witnessmark/core/facet"

// Sign is something that causes explain: what a look shows, what a measurement says, or what the owner tells. A sign is there,
// not there, or not looked for; only what was looked for speaks.
type Sign struct {
	ID, Name string
	// Point and States say which reading shows it: the sign is there when the reading is one of States, and not there when the
	// point was looked at and shows another. Without States every reading that is not sound shows it.
	Point  string
	States []string
	// Beyond is true when a measured point shows the sign by breaking its limit.
	Beyond bool
	// Axle narrows the sign to readings of one axle ("F" or "R"); empty takes any position.
	Axle string
	// Faint are states that speak for it only softly: how many times likelier they are when the sign is there.
	Faint map[string]float64
	// Told are words of owners that mean this sign; such a sign needs no point.
	Told []string
	// Leak is the probability that it shows without any of the causes that the catalogue knows.
	Leak float64
	// Check says how to look where the sign has no point of its own. Minutes and Money are what the look costs, Cautions what can
	// hurt at it.
	Check          string
	Minutes, Money float64
	Cautions       []string
	Source         Source
}

// Cause is something that can be wrong, with what it shows.
type Cause struct {
	ID, Name string
	// Says is one sentence of what goes on.
	Says string
	// Prior is the probability that a car of the workshop has it on a day, before anything was looked at.
	Prior float64
	When  facet.When
	// Jobs put it right; Minutes and Money are what that costs in labour and parts, 0 takes a rough figure of the jobs.
	Jobs           []string
	Minutes, Money float64
	Explains       []Explains
	// Unless names a sign that rules the cause out where it is there (new pads rule out a level that fell with wear).
	Unless   string
	Cautions []string
	Source   Source
}

// Explains says how often a cause alone produces a sign.
type Explains struct {
	Sign string
	Q    float64
}

// Complaint is a question of the workshop: some signs that bring it up, and the causes that are weighed for it.
type Complaint struct {
	ID, Name string
	// Asks is the question as a technician would put it.
	Asks string
	// Raised are the signs any of which brings the complaint up; Also are signs that are weighed with it.
	Raised, Also []string
	Causes       []string
}

// Quiet says of a point, or of one of its states, why no cause follows from it.
type Quiet struct {
	Point, State, Because string
}

// FamilyCause moves a cause's prior for the cars of a family.
type FamilyCause struct {
	Cause string
	Times float64
}
