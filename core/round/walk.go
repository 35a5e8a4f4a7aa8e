package round

import (
	"sort"

	"witnessmark/core/facet"
	"witnessmark/core/point"
)

// Step is one point of a walk, with the positions that this car has.
type Step struct {
	Point *point.Point
	Slots []string
	// Hint is what is known of the car's family about the point; empty if nothing.
	Hint string
}

// Absent is a point that does not apply to the car, with the reason.
type Absent struct {
	Point *point.Point
	Why   string
}

// Known is what is known before the walk starts and changes its order.
type Known struct {
	Facets facet.Set
	// EngineHot moves the stations that need a cold engine to the end, just before the road.
	EngineHot bool
}

// Walk computes the order in which a round of this depth is walked, and the points that do not apply. Stations come
// in the order that wastes no steps; within a station a family's weak spots take the place that the family gives them.
func Walk(cat *point.Catalogue, depth point.Depth, known Known) ([]Step, []Absent) {
	hints, orders := weakSpots(cat, known.Facets)
	var steps []Step
	var absent []Absent
	for _, p := range cat.Points {
		if !p.At(depth) {
			continue
		}
		if ok, why := p.Applies.Holds(known.Facets); !ok {
			absent = append(absent, Absent{p, why})
			continue
		}
		slots := p.Positions.Slots(known.Facets)
		if len(slots) == 0 {
			absent = append(absent, Absent{p, noPosition(p, known.Facets)})
			continue
		}
		steps = append(steps, Step{Point: p, Slots: slots, Hint: hints[p.ID]})
	}
	sort.SliceStable(steps, func(i, j int) bool {
		a, b := steps[i].Point, steps[j].Point
		if sa, sb := stationPlace(a.Station, known), stationPlace(b.Station, known); sa != sb {
			return sa < sb
		}
		return orderOf(a, orders) < orderOf(b, orders)
	})
	return steps, absent
}

func stationPlace(s point.Station, k Known) int {
	if k.EngineHot && s == "engine-cold" {
		return 2*point.Station("wheels-off").Place() + 1
	}
	return 2 * s.Place()
}

func orderOf(p *point.Point, orders map[string]int) int {
	if o, ok := orders[p.ID]; ok {
		return o
	}
	return p.Order
}

func weakSpots(cat *point.Catalogue, s facet.Set) (hints map[string]string, orders map[string]int) {
	hints, orders = map[string]string{}, map[string]int{}
	for _, f := range cat.Families {
		if ok, _ := f.When.Holds(s); !ok {
			continue
		}
		for _, w := range f.WeakSpots {
			hints[w.Point] = w.Say
			if w.Order > 0 {
				orders[w.Point] = w.Order
			}
		}
	}
	return hints, orders
}

func noPosition(p *point.Point, s facet.Set) string {
	if p.Positions.Count != "" {
		return p.Positions.Count + " is " + s[p.Positions.Count].Value
	}
	for _, g := range p.Positions.Groups {
		if ok, why := g.When.Holds(s); !ok {
			return why
		}
	}
	return "the car has no such position"
}
