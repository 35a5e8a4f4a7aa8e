package shop

import (
	"witnessmark/core/agenda"
	"witnessmark/core/point"
	"witnessmark/core/round"

	"witnessmark/core/judge"
)

// newestFindings judges the newest reading of every place that was not renewed since, all together, as a car's page does. It gives each
// finding with the day of its reading and the reading itself, whose id is empty for findings that compare several.
func (s *Shop) newestFindings(p *CarPage) ([]agenda.Seen, []ReadingFact) {
	if len(p.Rounds) == 0 {
		return nil, nil
	}
	type place struct{ point, at string }
	looked := map[place]Look{}
	newest := map[string]Look{} // by point
	var readings []round.Reading
	for i := range p.Items {
		it := &p.Items[i]
		if _, renewed := s.RenewedSince(p, it); renewed {
			continue
		}
		l := it.Looks[len(it.Looks)-1]
		looked[place{it.Point.ID, it.At}] = l
		if l.On >= newest[it.Point.ID].On {
			newest[it.Point.ID] = l
		}
		readings = append(readings, reading(l.Reading))
	}
	last, km := p.Rounds[0], max(p.NowKm, p.Rounds[0].Km)
	taken := round.Taken{On: day(last.On), AmbientC: last.AmbientC, Readings: readings}
	res := judge.Judge(s.cat, s.judgedCar(p.Car, km, p.Renewals), taken, point.Full)
	var seen []agenda.Seen
	var facts []ReadingFact
	for _, f := range res.Findings {
		l, ok := looked[place{f.Point.ID, f.At}]
		if !ok || f.Reading == nil {
			l = newest[f.Point.ID]
			l.Reading.ID = ""
		}
		seen, facts = append(seen, agenda.Seen{Finding: f, On: day(l.On)}), append(facts, l.Reading)
	}
	return seen, facts
}
