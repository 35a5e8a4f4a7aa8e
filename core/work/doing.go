package work

import (
	"slices"
	"strconv"

	"witnessmark/core/point"
)

// Doing is one doing of a job on a car: at an axle (F, R), a corner (FL), a counted part (1), or for the car as a whole (empty).
type Doing struct{ Job, At string }

// Want is a job that a finding asks for, at the position of the reading, with or without its place: FL, FL/inner, F, 2 or empty.
type Want struct{ Job, At string }

// Doings turns what findings want into doings, by what one doing of each job covers: pads wanted at FL/inner and FR are one doing at axle
// F; what is wanted for the axle of a job by corners is a doing at both; a job for the car is done once. A position that the job's doings
// don't know, or none, stays "" - somewhere, or everywhere, on the car. Order is that of the wants; each doing stands once.
func Doings(cat *point.Catalogue, wants []Want) []Doing {
	var out []Doing
	for _, w := range wants {
		for _, at := range placesOf(cat.Work[w.Job], w.At) {
			if d := (Doing{w.Job, at}); !slices.Contains(out, d) {
				out = append(out, d)
			}
		}
	}
	return out
}

// placesOf gives the places at which a job is done that is wanted at a position.
func placesOf(w *point.Work, position string) []string {
	base, _ := point.SplitAt(position)
	if w == nil || !point.ValidPosition(base) {
		return []string{""}
	}
	_, err := strconv.Atoi(base)
	counted := err == nil
	switch w.Per {
	case "axle":
		return []string{point.Axle(base)}
	case "corner":
		switch {
		case base == "F" || base == "R":
			return []string{base + "L", base + "R"}
		case !counted:
			return []string{base}
		}
	case "piece":
		if counted {
			return []string{base}
		}
	}
	return []string{""}
}

// Folded is a doing that another one does on its way.
type Folded struct{ Doing, Into Doing }

// Fold leaves out doings that others do anyway: all that they renew is renewed by another job with more, at the same place or around it
// (pads with the discs of the axle, the coolant with the water pump). What one is folded into is always kept. Both lists keep the order
// given.
func Fold(cat *point.Catalogue, doings []Doing) (kept []Doing, folded []Folded) {
	for _, d := range doings {
		if !slices.ContainsFunc(doings, func(o Doing) bool { return folds(cat, d, o) }) {
			kept = append(kept, d)
		}
	}
	for _, d := range doings {
		// folds is transitive and never circular, so one of those that do d is kept.
		if i := slices.IndexFunc(kept, func(o Doing) bool { return folds(cat, d, o) }); i >= 0 {
			folded = append(folded, Folded{d, kept[i]})
		}
	}
	return kept, folded
}

// Covers reports whether doing o does d on its way, as Fold has it.
func Covers(cat *point.Catalogue, o, d Doing) bool { return folds(cat, d, o) }

// folds reports whether o does d on its way. What is renewed grows strictly, so no two fold each other.
func folds(cat *point.Catalogue, d, o Doing) bool {
	a, b := cat.Jobs[d.Job], cat.Jobs[o.Job]
	if a == nil || b == nil || len(a.Renews) == 0 || !within(cat, d, o) {
		return false
	}
	all := func(of, in []string) bool {
		return !slices.ContainsFunc(of, func(x string) bool { return !slices.Contains(in, x) })
	}
	return all(a.Renews, b.Renews) && !all(b.Renews, a.Renews)
}

// within reports whether the place of a doing lies within that of another. Somewhere on the car lies within the whole car, but the whole
// car does not lie within somewhere.
func within(cat *point.Catalogue, d, o Doing) bool {
	if o.At == "" {
		return wholeCar(cat, o) || d.At == "" && !wholeCar(cat, d)
	}
	return d.At == o.At || d.At != "" && point.Axle(d.At) == o.At
}

// wholeCar reports whether the doing's job is done for the car at once.
func wholeCar(cat *point.Catalogue, d Doing) bool {
	w := cat.Work[d.Job]
	return w != nil && w.Per == ""
}

// SetupsOf lists the preparations that a doing needs, smaller order first; those of the other axle are left out, and at the spare those of
// both. For a doing by axle or corner whose place is not known they are those of both.
func SetupsOf(cat *point.Catalogue, d Doing) []*point.Setup {
	w := cat.Work[d.Job]
	if w == nil {
		return nil
	}
	var out []*point.Setup
	for _, id := range w.Setups {
		s := cat.Setups[id]
		if s == nil || s.Axle != "" && (d.At == "spare" || point.Axle(d.At) != "" && s.Axle != point.Axle(d.At)) {
			continue
		}
		out = append(out, s)
	}
	slices.SortStableFunc(out, bySetupOrder)
	return out
}

func bySetupOrder(a, b *point.Setup) int {
	if a.Order != b.Order {
		return a.Order - b.Order
	}
	if a.ID < b.ID {
		return -1
	}
	if a.ID > b.ID {
		return 1
	}
	return 0
}
