package shop

import (
	"context"

	"witnessmark/core/judge"
	"witnessmark/core/point"
	"witnessmark/core/round"
)

// Judged is a round with what its readings say.
type Judged struct {
	Car      CarVersion
	Round    RoundFact
	Result   judge.Result
	Photos   []PhotoFact
	Readings []ReadingFact
}

// Findings judges a round's readings as they count now. The same facts and catalogue give the same result.
func (s *Shop) Findings(ctx context.Context, roundID string) (*Judged, error) {
	var j Judged
	var renewals []RenewalFact
	err := s.store.View(ctx, func(r Reader) (err error) {
		if j.Round, err = roundOf(ctx, r, roundID); err != nil {
			return err
		}
		if j.Car, err = r.Car(ctx, j.Round.CarID); err != nil {
			return err
		}
		if renewals, err = r.Renewals(ctx, j.Round.CarID); err != nil {
			return err
		}
		if j.Readings, err = r.Readings(ctx, roundID); err != nil {
			return err
		}
		photos, err := r.Photos(ctx, roundID)
		j.Photos = photosNow(photos)
		return err
	})
	if err != nil {
		return nil, err
	}
	j.Result = s.judge(j.Car, j.Round, current(j.Readings), renewals)
	return &j, nil
}

// judge judges readings of one round.
func (s *Shop) judge(c CarVersion, r RoundFact, facts []ReadingFact, renewals []RenewalFact) judge.Result {
	taken := round.Taken{On: day(r.On), AmbientC: r.AmbientC}
	for _, f := range facts {
		if s.cat.Point(f.Point) != nil { // a point that an overlay has since dropped stays in the history
			taken.Readings = append(taken.Readings, reading(f))
		}
	}
	out := judge.Judge(s.cat, s.judgedCar(c, r.Km, renewals), taken, point.Depth(r.Depth))
	if r.Baseline() { // it asked for nothing but what was read
		out.Looked, out.Places = len(taken.Readings), len(taken.Readings)
	}
	return out
}
