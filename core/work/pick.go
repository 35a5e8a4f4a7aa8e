package work

import (
	"slices"

	"witnessmark/core/facet"
	"witnessmark/core/point"
)

// Picked is one part of the picking list, in thousandths of the part's unit.
type Picked struct {
	// Part is an id of the catalogue's parts.
	Part  string
	Milli int64
	// Maybe is true for what is laid ready and fitted only when needed.
	Maybe bool
	// Of are the doings that take it.
	Of []Doing
}

// Pick lists the parts of doings with their preparations, amounts summed per part: first what is fitted, then what may be, each sorted
// by id. What jobs take by the car's capacities (Job.Takes) is not in it, as it needs the car and its readings.
func Pick(cat *point.Catalogue, doings []Doing, facets facet.Set) []Picked {
	var out []Picked
	take := func(parts []point.WorkPart, of []Doing) {
		for _, p := range parts {
			if ok, _ := p.When.Holds(facets); ok {
				out = picked(out, p, of)
			}
		}
	}
	doings = once(doings)
	for _, d := range doings {
		if w := cat.Work[d.Job]; w != nil {
			take(w.Parts, []Doing{d})
		}
	}
	for _, u := range setups(cat, doings) {
		take(u.Parts, u.of)
	}
	slices.SortStableFunc(out, func(a, b Picked) int {
		switch {
		case a.Maybe != b.Maybe && b.Maybe, a.Maybe == b.Maybe && a.Part < b.Part:
			return -1
		case a.Maybe == b.Maybe && a.Part == b.Part:
			return 0
		}
		return 1
	})
	return out
}

func picked(out []Picked, p point.WorkPart, of []Doing) []Picked {
	i := slices.IndexFunc(out, func(x Picked) bool { return x.Part == p.Part && x.Maybe == p.Maybe })
	if i < 0 {
		return append(out, Picked{p.Part, p.Milli, p.Maybe, slices.Clone(of)})
	}
	out[i].Milli += p.Milli
	for _, d := range of {
		if !slices.Contains(out[i].Of, d) {
			out[i].Of = append(out[i].Of, d)
		}
	}
	return out
}

// asks reports whether the job is among the doings.
func asks(doings []Doing, job string) bool {
	return slices.ContainsFunc(doings, func(d Doing) bool { return d.Job == job })
}

// Field is a figure that doings need from the car or the maker's papers.
type Field struct {
	point.WorkField
	Of []Doing
}

// Fields lists the figures of doings and their preparations. Two preparations that ask for the same figure ask once, and so does a job that
// asks for one of its preparations' figures; jobs among each other don't, as one job's carrier bolts are not another's - unless a
// specification of the car holds it.
func Fields(cat *point.Catalogue, doings []Doing) []Field {
	var out []Field
	ask := func(f point.WorkField, of []Doing, shared bool) {
		i := slices.IndexFunc(out, func(x Field) bool {
			return x.WorkField == f && (shared || f.Spec != "" || asks(x.Of, of[0].Job))
		})
		if i < 0 {
			out = append(out, Field{f, slices.Clone(of)})
			return
		}
		for _, d := range of {
			if !slices.Contains(out[i].Of, d) {
				out[i].Of = append(out[i].Of, d)
			}
		}
	}
	for _, u := range setups(cat, doings) {
		for _, f := range u.Fields {
			ask(f, u.of, true)
		}
	}
	for _, d := range doings {
		if w := cat.Work[d.Job]; w != nil {
			for _, f := range w.Fields {
				ask(f, []Doing{d}, false)
			}
		}
	}
	return out
}
