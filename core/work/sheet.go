package work

import (
	"slices"

	"witnessmark/core/facet"
	"witnessmark/core/point"
)

// Kind is what a line of a sheet is.
type Kind string

// The kinds of lines.
const (
	Begin Kind = "begin" // a preparation begins
	Step  Kind = "step"  // a step of a job
	Undo  Kind = "undo"  // a preparation is undone
)

// Line is one line of a sheet.
type Line struct {
	Kind Kind
	// Setup is the id of the preparation that begins or is undone; empty at steps.
	Setup string
	// Doing and Step say which step of which doing it is, Step counted from 0 as in the catalogue; of steps only.
	Doing Doing
	Step  int
	// Name is the preparation's or the job's; Say is what to do.
	Name, Say string
	Minutes   int
	// Cautions are ids. Those that the job has as a whole, and no step or preparation of its own, stand at its first step.
	Cautions []string
	// Depth is how many preparations it stands within.
	Depth int
}

// Sheet is the work of a visit, in order.
type Sheet struct {
	Lines []Line
	// Minutes is the sum over the lines.
	Minutes int
	// Unknown are doings of which the catalogue does not say how they are done.
	Unknown []Doing
}

// SheetOf writes the work of a visit in order: doings that share preparations stand together, every preparation begins once, before the
// first that needs it, and is undone once, after the last. Of two that begin for one doing the smaller order begins first and is undone
// last. Those that come when everything is together again follow, with the steps that are done at them. facets leave out the steps that
// the car does not have.
func SheetOf(cat *point.Catalogue, doings []Doing, facets facet.Set) Sheet {
	w := writer{cat: cat, facets: facets}
	var known []Doing
	for _, d := range once(doings) {
		if cat.Work[d.Job] == nil {
			w.out.Unknown = append(w.out.Unknown, d)
		} else {
			known = append(known, d)
		}
	}
	w.workshop(known)
	w.afterwards(known)
	return w.out
}

// writer writes a sheet line by line.
type writer struct {
	cat    *point.Catalogue
	facets facet.Set
	open   []*point.Setup
	out    Sheet
}

func (w *writer) add(l Line) {
	l.Depth = len(w.open)
	w.out.Lines = append(w.out.Lines, l)
	w.out.Minutes += l.Minutes
}

func (w *writer) begin(s *point.Setup) {
	w.add(Line{Kind: Begin, Setup: s.ID, Name: s.Name, Say: s.Does, Minutes: s.Minutes - s.UndoMinutes, Cautions: s.Cautions})
	w.open = append(w.open, s)
}

func (w *writer) undo(i int) {
	s := w.open[i]
	w.open = slices.Delete(w.open, i, i+1)
	if s.Undo != "" || s.UndoMinutes > 0 {
		w.add(Line{Kind: Undo, Setup: s.ID, Name: s.Name, Say: s.Undo, Minutes: s.UndoMinutes})
	}
}

// close undoes what nothing that is left needs, largest order first; what something open comes under stays.
func (w *writer) close(left []*point.Setup) {
	for {
		last := -1
		for i, s := range w.open {
			if slices.Contains(left, s) || w.carries(s) {
				continue
			}
			if last < 0 || bySetupOrder(w.open[last], s) < 0 {
				last = i
			}
		}
		if last < 0 {
			return
		}
		w.undo(last)
	}
}

// carries reports whether something open can't be without s.
func (w *writer) carries(s *point.Setup) bool {
	return slices.ContainsFunc(w.open, func(o *point.Setup) bool { return slices.Contains(o.Under, s.ID) })
}

// workshop writes what is done before everything is together again.
func (w *writer) workshop(doings []Doing) {
	needs := make(map[Doing][]*point.Setup, len(doings))
	for _, d := range doings {
		needs[d] = slices.DeleteFunc(SetupsOf(w.cat, d), func(s *point.Setup) bool { return s.Last })
	}
	sorted := slices.Clone(doings)
	slices.SortStableFunc(sorted, func(a, b Doing) int { return slices.CompareFunc(needs[a], needs[b], bySetupOrder) })
	for i, d := range sorted {
		for _, s := range needs[d] {
			if !slices.Contains(w.open, s) {
				w.begin(s)
			}
		}
		w.steps(d, "")
		var left []*point.Setup
		for _, later := range sorted[i+1:] {
			left = append(left, needs[later]...)
		}
		w.close(left)
	}
}

// afterwards writes the preparations that come last, each with the steps done at it.
func (w *writer) afterwards(doings []Doing) {
	last := slices.DeleteFunc(setups(w.cat, doings), func(u used) bool { return !u.Last })
	for i, u := range last {
		w.begin(u.Setup)
		for _, d := range u.of {
			w.steps(d, u.ID)
		}
		var left []*point.Setup
		for _, later := range last[i+1:] {
			for _, id := range later.Under {
				left = append(left, w.cat.Setups[id])
			}
		}
		w.close(left)
	}
}

// steps writes the steps of a doing that are done at one preparation, or with the rest of the job.
func (w *writer) steps(d Doing, in string) {
	job := w.cat.Jobs[d.Job]
	all := steps(w.cat, d, w.facets)
	first := firstOf(SetupsOf(w.cat, d), all)
	for _, s := range all {
		if s.In != in {
			continue
		}
		l := Line{Kind: Step, Doing: d, Step: s.n, Say: s.Say, Minutes: s.Minutes, Cautions: s.Cautions}
		if job != nil {
			l.Name = job.Name
		}
		if s.n == first && job != nil {
			l.Cautions = append(w.atLarge(d, job.Cautions, all), s.Cautions...)
		}
		w.add(l)
	}
}

// firstOf gives the place in the job of the step that a sheet writes first: one done with the rest of the job, else one at the preparation
// that begins first.
func firstOf(setups []*point.Setup, all []step) int {
	at := []string{""}
	for _, s := range setups {
		at = append(at, s.ID)
	}
	for _, in := range at {
		if i := slices.IndexFunc(all, func(s step) bool { return s.In == in }); i >= 0 {
			return all[i].n
		}
	}
	return -1
}

// atLarge lists a job's cautions that stand at none of its steps and preparations.
func (w *writer) atLarge(d Doing, cautions []string, all []step) []string {
	var out []string
	setups := SetupsOf(w.cat, d)
	for _, c := range cautions {
		said := slices.ContainsFunc(setups, func(s *point.Setup) bool { return slices.Contains(s.Cautions, c) }) ||
			slices.ContainsFunc(all, func(s step) bool { return slices.Contains(s.Cautions, c) })
		if !said {
			out = append(out, c)
		}
	}
	return out
}
