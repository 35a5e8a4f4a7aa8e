package outlook

import (
	"math"
	"slices"

	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/verdict"
)

// sight is a look at one place as the models take it.
type sight struct {
	day, km float64 // km is negative when it can't be told
	// x is the exposure since the cycle began.
	x      float64
	value  float64
	state  string
	turned bool
	look   int // in History.Looks
	// after is true when it was taken after the work of its day.
	after bool
}

// track is one place of one law, with all that was seen there.
type track struct {
	law *point.Law
	p   *point.Point
	at  string
	// where is at in words.
	where string
	// sights in order of the day, one a day; two where the place was renewed on the day and read again after it.
	sights    []sight
	cycles    []cycle
	questions []Question
	// newest is the place's last reading, for the judge; nil without any.
	newest *round.Reading
	// limit is what a measured quantity runs to.
	limit limit
}

// applying lists the laws that hold for the car, with the places that each has, in catalogue order.
func applying(cat *point.Catalogue, car *round.Car) []*group {
	var out []*group
	for _, law := range cat.Laws {
		p := cat.Point(law.Point)
		if p == nil || (law.Life == nil) == (law.Wear == nil) {
			continue
		}
		if ok, _ := p.Applies.Holds(car.Facets); !ok {
			continue
		}
		g := &group{law: law, p: p, class: classOf(law, car)}
		for _, at := range p.Positions.Slots(car.Facets) {
			if base, _ := point.SplitAt(at); law.Axle == "" || point.Axle(base) == law.Axle {
				g.tracks = append(g.tracks, &track{law: law, p: p, at: at, where: p.Where(at, car.Facets)})
			}
		}
		if len(g.tracks) > 0 {
			out = append(out, g)
		}
	}
	return out
}

// group is a law with its places on the car. What one place shows counts for the others.
type group struct {
	law    *point.Law
	p      *point.Point
	class  string
	tracks []*track
	// firsts remembers how probable a thing first seen so is the car's first.
	firsts map[firstSight]float64
}

// indexed lists, for the points that have a law, the places of their looks in the history.
func indexed(h *History, groups []*group, today float64) map[string][]int {
	index := map[string][]int{}
	for _, g := range groups {
		index[g.p.ID] = nil
	}
	for i := range h.Looks {
		l := &h.Looks[i]
		if _, wanted := index[l.Reading.Point]; wanted && l.Reading.Skipped == "" && !l.On.IsZero() && dayOf(l.On) <= today {
			index[l.Reading.Point] = append(index[l.Reading.Point], i)
		}
	}
	for _, list := range index {
		slices.SortStableFunc(list, func(a, b int) int { return h.Looks[a].On.Compare(h.Looks[b].On) })
	}
	return index
}

// speaks says how closely a reading at one position speaks for a place: 3 its own, 2 its corner's, 1 the whole's, 0 not at all.
func speaks(p *point.Point, reading, place string) int {
	base, _ := point.SplitAt(place)
	switch {
	case reading == place:
		return 3
	case reading == base && base != "":
		return 2
	case reading == "" && p.Kind != point.Measure:
		return 1
	case place == "" && p.Positions.Single():
		return 1 // a position that was named although the round asks once
	}
	return 0
}

// see fills a track's sights. Of several readings of a day the closest counts, of equally close ones the worse where the
// position was only named, else the last.
func (t *track) see(h *History, looks []int, c *clock, value func(look int) (float64, bool)) {
	closest := 0
	for _, i := range looks {
		l := &h.Looks[i]
		how := speaks(t.p, l.Reading.At, t.at)
		if how == 0 {
			continue
		}
		s := sight{day: dayOf(l.On), km: l.Km, look: i, after: l.After}
		if !t.reads(&s, &l.Reading, value) {
			continue
		}
		if !(s.km >= 0) || math.IsInf(s.km, 0) {
			s.km = -1
			if km, ok := c.km(s.day); ok {
				s.km = km
			}
		}
		n := len(t.sights)
		switch {
		case n == 0 || t.sights[n-1].day < s.day || s.after && !t.sights[n-1].after && t.renewedOn(h, s.day):
			t.sights, closest = append(t.sights, s), how
		case how > closest || how == closest && (how == 3 || s.turned || !t.sights[n-1].turned):
			t.sights[n-1], closest = s, how
		default:
			continue
		}
		t.newest = &l.Reading
	}
}

// renewedOn reports whether a renewal on a day is written down for the place.
func (t *track) renewedOn(h *History, day float64) bool {
	return slices.ContainsFunc(h.Car.Renewed, func(r round.Renewal) bool {
		return r.Item == t.law.Item && r.Covers(t.at) && !r.Date.IsZero() && dayOf(r.Date) == day
	})
}

// reads takes what the law follows from a reading; false when the reading does not show it.
func (t *track) reads(s *sight, r *round.Reading, value func(look int) (float64, bool)) bool {
	if t.law.Wear != nil {
		v, ok := value(s.look)
		s.value = v
		return ok && !math.IsNaN(v) && math.Abs(v) < 1e9
	}
	st := r.StateOf(t.p)
	if st == nil {
		return false
	}
	s.state = st.ID
	if list := t.law.Life.Turned; len(list) > 0 {
		s.turned = slices.Contains(list, st.ID)
	} else {
		s.turned = st.Verdict.Place() >= verdict.Due.Place()
	}
	return st.Verdict != verdict.Unjudged
}

// place names an item's place in words, for questions.
func (t *track) place() string {
	if t.where != "" {
		return t.p.Name + ", " + t.where
	}
	return t.p.Name
}
