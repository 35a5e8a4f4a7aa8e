package work

import (
	"slices"

	"witnessmark/core/facet"
	"witnessmark/core/point"
)

// Time is how long a set of doings takes, in minutes.
type Time struct {
	// Total is the sum of Setups and Doings.
	Total int
	// Setups are the preparations, smaller order first, each once.
	Setups []SetupTime
	// Doings are the doings as given, each once, without preparations.
	Doings []DoingTime
}

// SetupTime is one preparation and those that share it.
type SetupTime struct {
	ID      string
	Minutes int
	Of      []Doing
}

// DoingTime is one doing and its own minutes.
type DoingTime struct {
	Doing
	Minutes int
}

// Minutes says how long a set of doings takes when they are done in one visit, preparations once. A job without work in the catalogue
// takes none, as nothing is known of it.
func Minutes(cat *point.Catalogue, doings []Doing, facets facet.Set) Time {
	var t Time
	doings = once(doings)
	for _, d := range doings {
		own := 0
		for _, s := range steps(cat, d, facets) {
			own += s.Minutes
		}
		t.Doings = append(t.Doings, DoingTime{d, own})
		t.Total += own
	}
	for _, u := range setups(cat, doings) {
		t.Setups = append(t.Setups, SetupTime{u.ID, u.Minutes, u.of})
		t.Total += u.Minutes
	}
	return t
}

// once leaves out repeats.
func once(doings []Doing) []Doing {
	var out []Doing
	for _, d := range doings {
		if !slices.Contains(out, d) {
			out = append(out, d)
		}
	}
	return out
}

// used is a preparation with those that need it.
type used struct {
	*point.Setup
	of []Doing
}

// setups lists the preparations of doings, smaller order first, each once.
func setups(cat *point.Catalogue, doings []Doing) []used {
	var out []used
	for _, d := range once(doings) {
		for _, s := range SetupsOf(cat, d) {
			i := slices.IndexFunc(out, func(u used) bool { return u.ID == s.ID })
			if i < 0 {
				out = append(out, used{s, nil})
				i = len(out) - 1
			}
			out[i].of = append(out[i].of, d)
		}
	}
	slices.SortStableFunc(out, func(a, b used) int { return bySetupOrder(a.Setup, b.Setup) })
	return out
}

// step is a step of a job with its place in it.
type step struct {
	point.WorkStep
	n int
}

// steps lists the steps of a doing on this car.
func steps(cat *point.Catalogue, d Doing, facets facet.Set) []step {
	w := cat.Work[d.Job]
	if w == nil {
		return nil
	}
	var out []step
	for i, s := range w.Steps {
		if ok, _ := s.When.Holds(facets); ok {
			out = append(out, step{s, i})
		}
	}
	return out
}
