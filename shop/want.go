package shop

import (
	"witnessmark/core/estimate"
	"witnessmark/core/judge"
	"witnessmark/core/verdict"
)

// Where a want comes from.
const (
	FromFinding  = "finding"   // the newest round found it
	FromOutlook  = "outlook"   // the forecast says when it is due
	FromPutOff   = "put-off"   // the owner put it off until now
	FromFollowUp = "follow-up" // the work itself called for it
)

// Want is one doing of a job that a car asks for, with what asks for it.
type Want struct {
	// Job and At name the doing, as core/work does.
	Job, At string
	Name    string
	From    string
	// RoundID is the round whose findings ask for it; empty when none does.
	RoundID string
	// Why is what was found or foreseen, Wait what waiting means, in the owner's words.
	Why, Wait string
	Verdict   verdict.Verdict
	// Category is the regulation's, in words; may be empty.
	Category string
	// Must is true for what must not be put off: it is unsafe.
	Must bool
	// DueOn is the day on which it falls due in the middle, HardOn the day by which it must be done; empty is none.
	DueOn, HardOn string
	// NotBefore is the day before which it is not to be done, as the owner put it off until then; empty is none.
	NotBefore string
	// Quantities are the fluids that it takes on this car.
	Quantities []judge.Quantity
	// Typed is the item of an estimate that it stood as, where the adviser typed it and no job says how it is done; nil otherwise.
	Typed *estimate.Item
	// TypedTerms are those that its prices were under.
	TypedTerms estimate.Terms
	// Dues are ids of lines of the due list that it answers.
	Dues []string
}
