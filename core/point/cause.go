package point

import (
	"slices"
	"strings"

	"witnessmark/core/facet"
	"witnessmark/core/verdict"
)

// Signs and causes leave out of the compiled catalogue what they don't say: there are hundreds of them, and most say little.

// Sign is something that causes explain: what a look shows, what a measurement says, or what the owner tells. A sign is there,
// not there, or not looked for; only what was looked for speaks.
type Sign struct {
	ID, Name string
	// Point says at which point a reading shows it; empty for what is only told, or only found by Check.
	Point string `json:",omitzero"`
	// States are the states that show it. Without them, and without Least, Most, Pair or Verdict, every state that is not sound
	// shows it.
	States []string `json:",omitzero"`
	// Faint are states (verdicts for a measured point) that speak softly: how many times likelier they are when the sign is there;
	// below 1 they speak against it.
	Faint map[string]float64 `json:",omitzero"`
	// Open are states in which the sign can't be told: they say nothing of it.
	Open []string `json:",omitzero"`
	// Verdict is the mildest verdict of a measured point that shows the sign; Side, "below" or "above", asks that the limit be broken
	// on that side.
	Verdict verdict.Verdict `json:",omitzero"`
	Side    string          `json:",omitzero"`
	// Value with Least and Most (inclusive, in the value's own unit) shows the sign by a number; an empty Value is the first one.
	Value       string   `json:",omitzero"`
	Least, Most *float64 `json:",omitzero"`
	// Pair shows the sign by a difference: "left-right" or "inner-outer".
	Pair string `json:",omitzero"`
	// Axle narrows the sign to readings of one axle ("F" or "R"); empty takes any position.
	Axle string `json:",omitzero"`
	// Sides asks for more than one place: "both" corners of an axle, or "one" with the other looked at and without it. Every asks
	// for all places that were read.
	Sides string `json:",omitzero"`
	Every bool   `json:",omitzero"`
	// Told are words of owners that mean this sign; such a sign needs no point.
	Told []string `json:",omitzero"`
	// Leak is the probability that it shows without any of the causes that the catalogue knows.
	Leak float64
	// Check says how to look where the sign has no point of its own.
	Check string `json:",omitzero"`
	// Minutes and Money are what the look costs; 0 minutes takes what a look at the point's station usually costs. Cautions are what
	// can hurt at it.
	Minutes, Money float64    `json:",omitzero"`
	Cautions       []string   `json:",omitzero"`
	When           facet.When `json:",omitzero"`
	Source         Source
}

// Numeric reports whether the sign is shown by figures rather than by named states.
func (s *Sign) Numeric() bool {
	return s.Verdict != "" || s.Least != nil || s.Most != nil || s.Pair != ""
}

// Shows says what a named state of the sign's point says of it: yes, or ratio times likelier when it is there (1 is silence).
func (s *Sign) Shows(state *StateOf) (yes bool, ratio float64) {
	if slices.Contains(s.Open, state.ID) {
		return false, 1
	}
	if r, ok := s.Faint[state.ID]; ok {
		return false, r
	}
	if len(s.States) == 0 {
		return state.Verdict != verdict.Sound, 0
	}
	return slices.Contains(s.States, state.ID), 0
}

// Cause is something that can be wrong, with what it shows.
type Cause struct {
	ID, Name string
	// Says is one sentence of what goes on.
	Says string
	// Prior is the probability that a car of the workshop has it on a day, before anything was looked at.
	Prior float64
	When  facet.When `json:",omitzero"`
	// Jobs put it right; Minutes and Money are roughly what that costs in labour and parts.
	Jobs           []string
	Minutes, Money float64
	Explains       []Explains
	// Unless names signs any of which rules the cause out where it is there (new pads rule out a level that fell with wear).
	Unless   []string `json:",omitzero"`
	Cautions []string `json:",omitzero"`
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
	// Raised are the signs any of which brings the complaint up; Also are the other signs that its causes show.
	Raised, Also []string
	Causes       []string
}

// Quiet says of a group of points, of points, or of one state of a point, why no cause follows.
type Quiet struct {
	ID, Group string
	Points    []string
	State     string
	Because   string
}

// FamilyCause moves a cause's prior for the cars of a family: its odds are multiplied.
type FamilyCause struct {
	Cause string
	Times float64
}

// Sign finds a sign by id, or nil.
func (c *Catalogue) Sign(id string) *Sign {
	if i, ok := slices.BinarySearchFunc(c.Signs, id, func(s *Sign, id string) int { return strings.Compare(s.ID, id) }); ok {
		return c.Signs[i]
	}
	return nil
}

// Cause finds a cause by id, or nil.
func (c *Catalogue) Cause(id string) *Cause {
	if i, ok := slices.BinarySearchFunc(c.Causes, id, func(s *Cause, id string) int { return strings.Compare(s.ID, id) }); ok {
		return c.Causes[i]
	}
	return nil
}

// Complaint finds a complaint by id, or nil.
func (c *Catalogue) Complaint(id string) *Complaint {
	if i, ok := slices.BinarySearchFunc(c.Complaints, id, func(s *Complaint, id string) int { return strings.Compare(s.ID, id) }); ok {
		return c.Complaints[i]
	}
	return nil
}
