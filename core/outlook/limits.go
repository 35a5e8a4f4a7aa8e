package outlook

import (
	"math"

	"witnessmark/core/judge"
	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/verdict"
)

// limit is the figure that a measured quantity runs to.
type limit struct {
	value        float64
	unit, source string
	known        bool
	// is says on which side of it the use has ended.
	is point.Is
	// why says what is lacking where no limit is known.
	why string
}

// scope judges readings against the points of some laws alone, which costs little.
type scope struct {
	cat *point.Catalogue
	car round.Car
}

func newScope(cat *point.Catalogue, car round.Car, groups []*group) scope {
	small := *cat
	small.Points, small.Laws = nil, nil
	seen := map[string]bool{}
	for _, g := range groups {
		if !seen[g.p.ID] && g.law.Wear != nil {
			seen[g.p.ID] = true
			small.Points = append(small.Points, g.p)
		}
	}
	return scope{cat: small.New(), car: car}
}

// judged gives the findings of readings by point and position.
func (s *scope) judged(h *History, readings []round.Reading) map[[2]string]*judge.Finding {
	res := judge.Judge(s.cat, s.car, round.Taken{On: h.Today, Readings: readings}, point.Full)
	out := map[[2]string]*judge.Finding{}
	for i := range res.Findings {
		f := &res.Findings[i]
		if f.Reading != nil {
			out[[2]string{f.Point.ID, f.Reading.At}] = f
		}
	}
	return out
}

// limits finds each place's limit from its newest reading, or from one that a new part would give. The judge shows the limit
// that counts: the nearest that asks for work (due or worse) on the value's way, not a mark from which one watches; once it is
// broken, that one. Where the point has none for this car the law's own figure serves.
func (s *scope) limits(h *History, groups []*group) {
	var readings []round.Reading
	asked := map[[2]string]bool{}
	for _, g := range groups {
		for _, t := range g.tracks {
			r, ok := t.sample()
			if key := [2]string{r.Point, r.At}; ok && !asked[key] {
				asked[key] = true
				readings = append(readings, r)
			}
		}
	}
	found := s.judged(h, readings)
	for _, g := range groups {
		for _, t := range g.tracks {
			if r, ok := t.sample(); ok {
				t.limit = t.limitOf(found[[2]string{r.Point, r.At}])
			} else if g.law.Wear != nil {
				t.limit = t.limitOf(nil)
			}
		}
	}
}

// sample is the reading that asks for a place's limit.
func (t *track) sample() (round.Reading, bool) {
	switch {
	case t.law.Wear == nil:
		return round.Reading{}, false
	case t.newest != nil:
		return *t.newest, true
	case t.law.Wear.New == 0 || t.law.Wear.Value == derivedValue:
		return round.Reading{}, false
	}
	v := t.followed()
	if v == nil {
		return round.Reading{}, false
	}
	return round.Reading{Point: t.p.ID, At: t.at, Values: map[string]float64{v.Name: t.law.Wear.New}}, true
}

func (t *track) limitOf(f *judge.Finding) limit {
	w := t.law.Wear
	if f != nil && f.Limit != nil && f.Limit.Falls == !w.Rises && !math.IsNaN(f.Limit.Value) && math.Abs(f.Limit.Value) < 1e9 {
		if is, ok := t.worksOn(f); ok {
			return limit{value: f.Limit.Value, unit: f.Limit.Unit, source: f.Limit.Source, known: true, is: is}
		}
	}
	if w.Limit != 0 {
		l := limit{value: w.Limit, source: "common practice", known: true, is: point.AtOrBelow}
		if w.Rises {
			l.is = point.AtOrAbove
		}
		if v := t.followed(); v != nil {
			l.unit = unitOf(v.Name)
		}
		if w.Value == derivedValue {
			l.unit = ""
		}
		return l
	}
	why := "No limit is known for this car."
	if f != nil && f.Limit == nil && f.Why != "" {
		why = f.Why
	}
	return limit{why: why}
}

// worksOn reports whether the limit that the judge shows asks for work, and on which side; a mark from which one only watches does
// not end a use.
func (t *track) worksOn(f *judge.Finding) (point.Is, bool) {
	for i := range t.p.Limits {
		l := &t.p.Limits[i]
		if l.Is.Falls() == f.Limit.Falls && l.Verdict != verdict.Watch && t.isFigure(l, f.Limit.Value) {
			return l.Is, true
		}
	}
	return "", false
}

// isFigure reports whether a limit's number is the figure shown; figures of the car and of tables are taken on trust.
func (t *track) isFigure(l *point.Limit, shown float64) bool {
	if l.Number == nil {
		return true
	}
	return math.Abs(*l.Number*l.Times+l.Plus-shown) < 1e-6
}

// unitOf is the unit that ends a value's name (wheel_mm is in mm).
func unitOf(name string) string {
	for i := len(name) - 1; i >= 0; i-- {
		if name[i] == '_' {
			return name[i+1:]
		}
	}
	return name
}

// values gives the function that takes the followed value from a look: as typed, or as the point derives it.
func (s *scope) values(h *History, g *group) func(look int) (float64, bool) {
	if g.law.Wear == nil {
		return nil
	}
	t := g.tracks[0]
	if g.law.Wear.Value == derivedValue {
		return func(i int) (float64, bool) {
			f := s.judged(h, []round.Reading{h.Looks[i].Reading})[[2]string{g.p.ID, h.Looks[i].Reading.At}]
			if f == nil || f.Limit == nil {
				return 0, false
			}
			return f.Limit.Got, true
		}
	}
	v := t.followed()
	return func(i int) (float64, bool) {
		if v == nil {
			return 0, false
		}
		return h.Looks[i].Reading.Value(v.Name)
	}
}
