package work

import (
	"cmp"
	"math"
	"slices"

	"witnessmark/core/facet"
	"witnessmark/core/point"
)

// Follow is a look that doings call for, with those that do.
type Follow struct {
	point.WorkFollow
	Of []Doing
}

// Follows lists the looks that doings and their preparations call for, the same look once, soonest first: before the car leaves, then by
// days and kilometres, then those that only distance brings.
func Follows(cat *point.Catalogue, doings []Doing) []Follow {
	var out []Follow
	call := func(fs []point.WorkFollow, of []Doing) {
		for _, f := range fs {
			i := slices.IndexFunc(out, func(x Follow) bool { return x.WorkFollow == f })
			if i < 0 {
				out = append(out, Follow{f, nil})
				i = len(out) - 1
			}
			for _, d := range of {
				if !slices.Contains(out[i].Of, d) {
					out[i].Of = append(out[i].Of, d)
				}
			}
		}
	}
	for _, u := range setups(cat, doings) {
		call(u.Follows, u.of)
	}
	for _, d := range doings {
		if w := cat.Work[d.Job]; w != nil {
			call(w.Follows, []Doing{d})
		}
	}
	slices.SortStableFunc(out, func(a, b Follow) int {
		return cmp.Or(cmp.Compare(soon(a.Days, a.Km), soon(b.Days, b.Km)), cmp.Compare(soon(a.Km, a.Days), soon(b.Km, b.Days)))
	})
	return out
}

// soon ranks a due figure: 0 means that it never falls due, unless the other is 0 too, which is at once.
func soon(figure, other int) int {
	if figure == 0 && other > 0 {
		return math.MaxInt
	}
	return figure
}

// Baseline is a reading that begins with the work: a point at a position, empty for one reading of the car.
type Baseline struct{ Point, At string }

// Baselines lists the readings that doings begin with, in the order of a walk: every position of the point on this car that lies within
// the doing's place, where the point applies. Each stands once.
func Baselines(cat *point.Catalogue, doings []Doing, facets facet.Set) []Baseline {
	var out []Baseline
	for _, p := range cat.Points {
		if ok, _ := p.Applies.Holds(facets); !ok {
			continue
		}
		for _, at := range p.Positions.Slots(facets) {
			if slices.ContainsFunc(doings, func(d Doing) bool { return begins(cat.Work[d.Job], p, d.At, at) }) {
				out = append(out, Baseline{p.ID, at})
			}
		}
	}
	return out
}

// begins reports whether a doing at a place begins the point's readings at a position.
func begins(w *point.Work, p *point.Point, place, at string) bool {
	if w == nil || !slices.Contains(w.Baselines, p.ID) {
		return false
	}
	base, _ := point.SplitAt(at)
	return base == "" || place == "" || base == place || base == point.Axle(place) || place == point.Axle(base)
}
