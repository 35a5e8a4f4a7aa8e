package shop

import (
	"witnessmark/core/money"
	"witnessmark/core/outlook"
)

// CarPlan says at which visit each doing that a car asks for is best done, and why.
type CarPlan struct {
	Car   CarVersion
	Today string
	// Terms are what it was weighed with; TermsSet is false while the workshop has saved none and usual figures stand in.
	Terms    Terms
	TermsSet bool
	// Visits are those at which something is planned, in order of the day.
	Visits []PlannedVisit
	// Days are all days on which the car could come, those of Visits too.
	Days []PlanDay
	// Unplaced are wants that have no place among the visits, with the reason.
	Unplaced []UnplacedWant
	// Notes say what else is to be known: placements that hold no longer, what was folded into another job.
	Notes []string
	// Proven is true when no cheaper plan exists; else Gap is the most that the best one could save, as a share.
	Proven bool
	Gap    float64
	// Budget is the most that the owner spends at one visit; 0 is no bound.
	Budget money.Amount
}

// PlanDay is a day on which the car could come.
type PlanDay struct {
	On   string
	Name string // "today", "spring check", "April 2027"
	// In is true when the car is in on that day anyway.
	In bool
}

// PlannedVisit is a day with what is done on it.
type PlannedVisit struct {
	PlanDay
	Wants  []PlannedWant
	Setups []PlannedSetup
	// Minutes is the labour, every preparation once. Unknown are the names of jobs whose time the catalogue does not know.
	Minutes int
	Unknown []string
	// Cost is what an estimate of it comes to, with tax; 0 without terms. Lacks are what has no price or amount yet and is not in it.
	Cost  money.Amount
	Lacks []string
}

// PlannedSetup is a preparation of a visit, done once for several doings.
type PlannedSetup struct {
	Name    string
	Minutes int
	// Saved is what doing it once saves against doing it for each.
	Saved int
	// Of are places in the visit's Wants.
	Of []int
}

// PlannedWant is a want with its place among the visits.
type PlannedWant struct {
	Want
	// Key names the want in forms.
	Key string
	// Here says why it stands at this visit.
	Here string
	// Pinned is true when the adviser put it there.
	Pinned  bool
	Minutes int
	// Reach is when its limit is probably reached; nil where nothing is forecast.
	Reach *outlook.Reach
	// With are the names of wants that are done on the way.
	With []string
}

// UnplacedWant is a want without a place, with the reason.
type UnplacedWant struct {
	PlannedWant
	Reason string
}

// PlanMove says what moving a want to another day would mean.
type PlanMove struct {
	Want PlannedWant
	Day  PlanDay
	// Fits says whether it can stand there; Words what it means, in whole sentences.
	Fits  bool
	Words []string
	// More is what it costs more than the plan as it is, less than nothing where it costs less.
	More money.Amount
}
