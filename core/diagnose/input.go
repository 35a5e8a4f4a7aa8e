// Package diagnose reasons from what was found on a car to what may be behind it: for every complaint that a reading or the owner's
// words bring up, the causes with their probabilities, what speaks for and against each, and the look that settles most for its cost.
// It never gives one diagnosis and hides the rest.
//
// Model and sources: design of core/cause (noisy-OR with leak; Pearl 1988, Heckerman 1989) and of core/nextlook (Heckerman, Breese &
// Rommelse 1995). The figures come from the catalogue and are judgements of common practice, moved by a workshop's own close-outs (Learn).
package diagnose

import (
	"witnessmark/core/facet"
	"witnessmark/core/judge"
	"witnessmark/core/point"
)

// DefaultRate is what a minute of work costs until the workshop says otherwise, in the unit in which the catalogue gives money.
const DefaultRate = 1.0

// handOn is what searching further costs in money when no known cause is behind it (two hours and what goes with it); practice.
const handOn = 150.0

// Input is what is known of one car.
type Input struct {
	Facets facet.Set
	// Families are the ids of the car's families; nil takes those whose condition holds.
	Families []string
	// Result holds the judged findings with their readings. Only what was looked at is evidence.
	Result *judge.Result
	// Told are signs that the owner's words mean and the adviser has confirmed.
	Told []string
	// Checked are signs that a check of their own found (true) or did not find (false).
	Checked map[string]bool
	// Confirmed are causes that were found to be there (true) or not (false).
	Confirmed map[string]bool
	// Rate is money a minute; 0 is DefaultRate.
	Rate float64
}

func (in *Input) rate() float64 {
	if in.Rate > 0 && in.Rate < 1e6 {
		return in.Rate
	}
	return DefaultRate
}

// Panel answers one complaint.
type Panel struct {
	Complaint *point.Complaint
	// Causes that explain what was seen, the most probable first.
	Causes []Ranked
	// Evidence is what was seen, found missing or told about them.
	Evidence []Piece
	// Looks are those worth their cost, the best first; empty when none is.
	Looks []Look
	// Next is the first step, in words.
	Next Step
	// Trouble says why nothing could be reasoned: evidence that can't be true together, or too entangled. Causes then are without
	// probabilities that mean anything.
	Trouble string
	// Other is the probability that none of the causes listed is there.
	Other float64
}

// Ranked is a cause with its probability.
type Ranked struct {
	Cause *point.Cause
	P     float64
	Word  string
	// For and Against say which evidence moved it, the strongest first.
	For, Against []Moved
}

// Moved is what one piece of evidence did: without it the cause had From, with it To.
type Moved struct {
	Sign     *point.Sign
	Reading  string
	From, To float64
}

// Show is how a sign stands.
type Show string

// How a sign stands: there, looked at and not there, seen faintly, or nothing to be said.
const (
	Shown    Show = "shown"
	NotShown Show = "not shown"
	Faint    Show = "faint"
	Silent   Show = "silent"
)

// Piece is what is known of one sign.
type Piece struct {
	Sign *point.Sign
	Show Show
	// Ratio says for a faint sign how many times likelier the impression is when the sign is there.
	Ratio float64
	// At lists the places that show it, or that were looked at without it.
	At []string
	// Words say what was read.
	Words string
	// urgency of the finding behind it
	urgency int
	told    bool
}

// Look is something to look at next.
type Look struct {
	Sign           *point.Sign
	Minutes, Money float64
	// Saves is what the look saves on average, net of its own cost, in money.
	Saves float64
	// Why says what it costs and what it settles.
	Why      string
	Cautions []string
}

// Step is what to do first.
type Step struct {
	// Kind is look, repair or search.
	Kind string
	// Sign is what to look for; Cause what to put right.
	Sign  *point.Sign
	Cause *point.Cause
	Says  string
}

// Word puts a probability into words: certain from 99 %, very likely from 85 %, likely from 60 %, possible from 20 %, unlikely from 3 %, below
// that very unlikely.
func Word(p float64) string {
	switch {
	case p >= 0.99:
		return "certain"
	case p >= 0.85:
		return "very likely"
	case p >= 0.6:
		return "likely"
	case p >= 0.2:
		return "possible"
	case p >= 0.03:
		return "unlikely"
	}
	return "very unlikely"
}
