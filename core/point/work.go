package point

import (
	"slices"

	"witnessmark/core/facet"
)

// Setup is a preparation that several jobs share when they are done in one visit: the car on the lift, the wheels off, the coolant
// drained. Undoing it again is part of it. It is done, and paid, once a visit.
type Setup struct {
	ID, Name, Does string
	// Undo says what ends it; empty when nothing is left to undo.
	Undo string
	// Minutes is what it takes with its undoing (practice, as every time in the catalogue: a workshop's own overlay sets its own).
	Minutes int
	// UndoMinutes is the share of Minutes that undoing it takes.
	UndoMinutes int
	// Order is its place in a visit: of two that begin for one job, the smaller comes first and is undone last.
	Order int
	// Axle is F or R for what concerns one axle (its wheels off): work at the other axle does without. Empty concerns the whole car.
	Axle string
	// Under are ids of preparations that it can't be without: wheels come off on the lift. Work that names it names those too.
	Under []string
	// Last is true for what comes when everything is together again: the warm run, the alignment bay, the road.
	Last     bool
	Cautions []string
	// Fills is the fluid that goes out with it and in again once, as jobs' takes name it ("engine oil"); empty for none.
	Fills string
	// Parts, Fields and Follows are what it takes, needs to know and calls for by itself, whichever job it is done for: wheels that were
	// off are looked at again.
	Parts   []WorkPart
	Fields  []WorkField
	Follows []WorkFollow
}

// Work is how a job is done: what it shares with others, its own steps, what is fitted, and what it calls for afterwards.
type Work struct {
	// Job is the id of the job.
	Job string
	// Setups are ids of preparations that it needs.
	Setups []string
	// Per says what one doing of the job covers: the car when empty, "axle", "corner" or "piece" (a counted part). Jobs on two axles
	// are two doings, which share their preparations. Steps' minutes and parts' amounts are those of one doing.
	Per   string
	Steps []WorkStep
	Parts []WorkPart
	// Fields are figures that belong to the job and are filled from the car, or by whoever works from the maker's papers. They are
	// never invented: one that is not known stays open.
	Fields []WorkField
	// Follows are looks that the work itself calls for.
	Follows []WorkFollow
	// Baselines are ids of points that are read when the work is done, as the first look at what is new.
	Baselines []string
}

// WorkStep is one step of a job.
type WorkStep struct {
	Say      string
	Minutes  int
	Cautions []string
	// In is the id of the preparation at which it is done, when that is one of those that come last; empty is with the rest of the job.
	In string
	// When says which cars have the step; the zero value is all.
	When facet.When
}

// WorkPart is something that a job fits.
type WorkPart struct {
	// Part is an id of the catalogue's parts.
	Part string
	// Milli is how much of it one doing takes, in thousandths of the part's unit.
	Milli int64
	// When says which cars take it; the zero value is all.
	When facet.When
	// Maybe is true for what is fitted only when needed (a bolt that may break): it stands in the picking list, not in the estimate.
	Maybe bool
	// Circuit is what a fluid goes into where that is not the part's own circuit: brake fluid into the clutch.
	Circuit string
}

// WorkField is a figure of the job that comes from the car.
type WorkField struct {
	// Name is what it is: "Caliper bolts", "Wheel bolts".
	Name string
	// Spec is the id of the car's specification that holds it; empty when whoever works looks it up in the maker's papers.
	Spec string
	// Unit is what it is given in, such as Nm.
	Unit string
}

// WorkFollow is a look that work calls for: at once, after so many days, or after so many kilometres, whichever comes first.
type WorkFollow struct {
	Say string
	// Point is the point that is looked at; may be empty.
	Point string
	// Days and Km count from the work; both 0 is before the car leaves.
	Days int
	Km   int
	// Source names where it comes from; "practice" is the trade's habit.
	Source string
}

// PartKind is something that is bought and fitted or filled.
type PartKind struct {
	// ID is what price lists and jobs name it by.
	ID, Name string
	// Unit is piece, set, L, kg or m.
	Unit string
	// Fluid is true for what is filled, Sundry for what is used up without being counted on the car.
	Fluid, Sundry bool
	// For lists the names under which what jobs take, and the quantities computed from readings, speak of it: "engine oil".
	For []string
	// Circuit is what it is filled into, where several parts are ("coolant"); Thins is true for what is only mixed into another fluid.
	Circuit string
	Thins   bool
}

// FluidPart finds the part that is bought for a fluid as jobs and computed quantities name it ("engine oil", "concentrate"), or nil
// when the catalogue has none. Where two claim a name, the first by id counts.
func (c *Catalogue) FluidPart(what string) *PartKind {
	var found *PartKind
	for _, p := range c.Parts {
		if p.Fluid && slices.Contains(p.For, what) && (found == nil || p.ID < found.ID) {
			found = p
		}
	}
	return found
}
