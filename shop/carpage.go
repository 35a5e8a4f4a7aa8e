package shop

import (
	"context"
	"slices"
	"sort"

	"witnessmark/core/facet"
	"witnessmark/core/judge"
	"witnessmark/core/odometer"
	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/verdict"
)

// CarPage is all that is known of a car: who it is, and every point's history with its newest verdict.
type CarPage struct {
	Car       CarVersion
	Facets    facet.Set
	Families  []string
	Rounds    []RoundFact    // newest first
	Odometer  []OdometerFact // by day, with the rounds' own
	PerYearKm float64        // 0 when not known
	NowKm     float64        // the newest odometer reading, -1 when there is none
	Renewals  []RenewalFact
	// Items holds every place that was ever looked at, worst first, then in catalogue order.
	Items []ItemHistory
}

// ItemHistory is one place's looks over the rounds, the newest judged.
type ItemHistory struct {
	Point *point.Point
	At    string
	// Where is At in words, empty for the car as a whole.
	Where    string
	Verdict  verdict.Verdict
	Why      string
	Limit    *judge.LimitShown
	Looks    []Look // oldest first
	LookedOn string
}

// Look is one reading of a place.
type Look struct {
	On       string
	Km       float64
	Reading  ReadingFact
	Verdict  verdict.Verdict // of the state alone; unjudged for measures, which are judged by their limit
	Value    float64
	HasValue bool
}

// CarPage gathers a car's page.
func (s *Shop) CarPage(ctx context.Context, carID string) (*CarPage, error) {
	p := CarPage{NowKm: -1}
	f, err := s.factsOf(ctx, carID)
	if err != nil {
		return nil, err
	}
	p.Car, p.Rounds, p.Renewals = f.car(), slices.Clone(f.rounds), slices.Clone(f.renewals)
	p.Odometer = joinDistances(f.odometer, f.rounds)
	p.Facets = s.FacetsOf(p.Car)
	for _, f := range s.cat.Families {
		if ok, _ := f.When.Holds(p.Facets); ok {
			p.Families = append(p.Families, f.Name)
		}
	}
	p.distance()
	p.Items = s.items(&p, f.history)
	return &p, nil
}

func (p *CarPage) distance() {
	var past []odometer.Reading
	for _, o := range p.Odometer {
		past = append(past, odometer.Reading{On: day(o.On), KM: o.Km})
	}
	if n := len(past); n > 0 {
		p.NowKm = past[n-1].KM
	}
	if km, ok := odometer.PerYear(past); ok {
		p.PerYearKm = km
	}
}

// items lists every place's looks, and judges the newest of each place: all newest readings together, so that rules
// over several readings see their partners, on the day and at the distance of the newest round.
func (s *Shop) items(p *CarPage, history []ReadingFact) []ItemHistory {
	byRound := map[string][]ReadingFact{}
	for _, f := range history {
		byRound[f.RoundID] = append(byRound[f.RoundID], f)
	}
	type place struct{ point, at string }
	index := map[place]int{}
	var items []ItemHistory
	var newest []round.Reading
	for i := len(p.Rounds) - 1; i >= 0; i-- {
		r := p.Rounds[i]
		for _, f := range current(byRound[r.ID]) {
			pt := s.cat.Point(f.Point)
			if pt == nil || f.Skipped != "" {
				continue
			}
			k := place{f.Point, f.At}
			at, ok := index[k]
			if !ok {
				at = len(items)
				index[k] = at
				items = append(items, ItemHistory{Point: pt, At: f.At, Where: pt.Where(f.At, p.Facets), Verdict: verdict.Unjudged})
				newest = append(newest, round.Reading{})
			}
			items[at].Looks = append(items[at].Looks, look(pt, r, f))
			items[at].LookedOn = r.On
			newest[at] = reading(f)
		}
	}
	if len(p.Rounds) > 0 {
		s.judgeNewest(p, items, newest)
	}
	sort.SliceStable(items, func(i, j int) bool {
		a, b := &items[i], &items[j]
		if a.Verdict.Urgency() != b.Verdict.Urgency() {
			return a.Verdict.Urgency() > b.Verdict.Urgency()
		}
		if a.Point != b.Point {
			return s.rank(a.Point) < s.rank(b.Point)
		}
		return a.At < b.At
	})
	return items
}

func (s *Shop) judgeNewest(p *CarPage, items []ItemHistory, newest []round.Reading) {
	last := p.Rounds[0]
	km := p.NowKm
	if last.Km > km {
		km = last.Km
	}
	taken := round.Taken{On: day(last.On), AmbientC: last.AmbientC, Readings: newest}
	res := judge.Judge(s.cat, s.judgedCar(p.Car, km, p.Renewals), taken, point.Full)
	type place struct{ point, at string }
	found := map[place]*judge.Finding{}
	for i := range res.Findings {
		f := &res.Findings[i]
		if f.Reading != nil {
			found[place{f.Point.ID, f.At}] = f
		}
	}
	for i := range items {
		if f := found[place{items[i].Point.ID, items[i].At}]; f != nil {
			items[i].Verdict, items[i].Why, items[i].Limit = f.Verdict, f.Why, f.Limit
		}
	}
}

// rank is a point's place in the catalogue.
func (s *Shop) rank(p *point.Point) int {
	return p.Station.Place()*10000 + p.Order
}

func look(p *point.Point, r RoundFact, f ReadingFact) Look {
	l := Look{On: r.On, Km: r.Km, Reading: f, Verdict: verdict.Unjudged}
	if st := p.StateByID(f.State); st != nil {
		l.Verdict = st.Verdict
	}
	if len(p.Values) > 0 {
		l.Value, l.HasValue = f.Values[p.Values[0].Name], len(f.Values) > 0
		_, l.HasValue = f.Values[p.Values[0].Name]
	}
	return l
}
