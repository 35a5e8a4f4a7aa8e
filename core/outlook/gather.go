package outlook

import (
	"slices"

	"witnessmark/core/life"
	"witnessmark/core/point"
	"witnessmark/core/wear"
)

// Evidence is what one car's history says about the laws of its items.
type Evidence struct{ Laws []LawEvidence }

// LawEvidence is a car's evidence for one law: observations of lives, or lives of worn parts.
type LawEvidence struct {
	Law, Class string
	Families   []string
	Life       []life.Observation
	Wear       []wear.Life
}

// Looks is how many looks or measurements stand behind the evidence.
func (e *LawEvidence) Looks() int {
	n := 0
	for _, o := range e.Life {
		n += max(1, len(o.Breaks))
	}
	for _, l := range e.Wear {
		n += len(l.Readings)
	}
	return n
}

// Gather takes from a car's history what its classes can learn from: every finished and running cycle whose start is known, and
// of worn parts those of unknown age for their rate. Parts that nobody looked at say nothing. It uses the catalogue's laws alone, so
// that what is gathered does not hang on what was learnt before.
func Gather(cat *point.Catalogue, h History) Evidence {
	a := assemble(cat, &h, nil)
	var out Evidence
	for _, g := range a.groups {
		e := LawEvidence{Law: g.law.ID, Class: g.class, Families: slices.Clone(h.Families)}
		if g.law.Life != nil {
			e.Life, _ = g.evidence(lifePrior(g.law.Life, g.class), &a.c)
		} else {
			q := g.quantities(a.classOf(g, nil), &h)
			e.Wear = q.all()
		}
		if len(e.Life)+len(e.Wear) > 0 {
			out.Laws = append(out.Laws, e)
		}
	}
	return out
}

// Of an axle so many places are learnt from, those measured most often, and so many parts at each: successive parts at one place
// tell what belongs to the place and what to the part.
const (
	mostPlaces = 3
	mostParts  = 3
)

// all lists the lives of a law that were measured, by axle.
func (q *quantities) all() []wear.Life {
	var out []wear.Life
	for _, name := range [...]string{"", "F", "R"} {
		u := q.units[name]
		if u == nil {
			continue
		}
		var places []string
		readings, lives := map[string]int{}, map[string][]wear.Life{}
		for _, l := range u.lives {
			if len(l.Readings) > 1 || len(l.Readings) == 1 && !l.NewKnown {
				if lives[l.Side] == nil {
					places = append(places, l.Side)
				}
				readings[l.Side] += len(l.Readings)
				lives[l.Side] = append(lives[l.Side], l)
			}
		}
		slices.SortStableFunc(places, func(a, b string) int { return readings[b] - readings[a] })
		for _, side := range places[:min(len(places), mostPlaces)] {
			out = append(out, tailOf(lives[side], mostParts)...)
		}
	}
	return out
}
