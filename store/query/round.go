package query

import (
	"context"
	"database/sql"
	"fmt"

	"witnessmark/shop"
)

// A round can be ended twice when two phones end it offline. The first end to arrive counts, so that what an owner
// was shown does not move.
const (
	roundColumns = `r.id, r.car_id, r.depth, r.on_day, r.km, r.ambient_c, r.engine_hot, r.by_whom, r.received_at,
  COALESCE((SELECT e.received_at FROM round_end e WHERE e.round_id = r.id ORDER BY e.seq LIMIT 1), 0),
  EXISTS (` + roundGone + `), r.seq`
	roundGone   = `SELECT 1 FROM withdrawal w WHERE w.fact_id = r.id AND w.what = 'round'`
	roundSelect = `SELECT ` + roundColumns + ` FROM round r`
	roundInsert = `INSERT INTO round (seq, id, car_id, depth, on_day, km, ambient_c, engine_hot, by_whom, received_at)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`
	roundByID   = roundSelect + ` WHERE r.id = $1`
	roundPage   = roundSelect + ` WHERE r.seq > $1 ORDER BY r.seq LIMIT $2`
	roundsOfCar = roundSelect + ` WHERE r.car_id = $1 AND NOT EXISTS (` + roundGone + `) ORDER BY r.on_day DESC, r.seq DESC`
	roundNewest = roundsOfCar + ` LIMIT 1`
	roundExists = `SELECT 1 FROM round WHERE id = $1`
	roundHasCar = `SELECT 1 FROM round WHERE id = $1 AND car_id = $2`
)

var rounds = kind[shop.RoundFact]{
	name:   "a round",
	insert: roundInsert,
	byID:   roundByID,
	page:   roundPage,
	scan:   scanRound,
	id:     func(f shop.RoundFact) string { return f.ID },
	tidy:   tidyRound,
	args: func(f shop.RoundFact) ([]any, error) {
		t := tidyRound(f)
		return []any{t.ID, t.CarID, t.Depth, t.On, t.Km, t.AmbientC, t.EngineHot, t.By, f.ReceivedAt}, nil
	},
	check: func(ctx context.Context, w *Writer, f shop.RoundFact) error { return checkCar(ctx, w, f.CarID) },
	after: func(ctx context.Context, w *Writer, f shop.RoundFact) error { return w.refreshCar(ctx, f.CarID) },
	// The end and the withdrawal are facts of their own.
	wrap: func(f *shop.RoundFact) shop.Fact { f.EndedAt, f.Withdrawn = 0, false; return shop.Fact{Round: f} },
}

func tidyRound(f shop.RoundFact) shop.RoundFact {
	f.Km, f.ReceivedAt = tidyNumber(f.Km), 0
	if f.AmbientC != nil {
		c := tidyNumber(*f.AmbientC)
		f.AmbientC = &c
	}
	return f
}

func scanRound(r row, seq *int64) (f shop.RoundFact, err error) {
	var ambient sql.NullFloat64
	err = r.Scan(&f.ID, &f.CarID, &f.Depth, &f.On, &f.Km, &ambient, &f.EngineHot, &f.By, &f.ReceivedAt, &f.EndedAt, &f.Withdrawn, &f.Seq)
	*seq = f.Seq
	if ambient.Valid {
		f.AmbientC = &ambient.Float64
	}
	return f, err
}

// checkRound is the check of a fact that belongs to a round.
func checkRound(ctx context.Context, w *Writer, roundID string) error {
	return checkRef(ctx, w, "round", roundID, roundExists, roundID)
}

// checkRef finds a thing by a query, or says that there is none.
func checkRef(ctx context.Context, w *Writer, what, id, query string, args ...any) error {
	found, err := w.exists(ctx, query, args...)
	if err != nil {
		return fmt.Errorf("look for the %s %q: %w", what, id, err)
	}
	if !found {
		return fmt.Errorf("the %s %q: %w", what, id, shop.ErrNotFound)
	}
	return nil
}

// Round gives one round, with the moment that it was ended, and whether it was withdrawn.
func (r *Reader) Round(ctx context.Context, roundID string) (shop.RoundFact, error) {
	return one(ctx, r, "the round", roundByID, rounds.scan.plain, roundID)
}

// Rounds gives a car's rounds that were not withdrawn, newest first.
func (r *Reader) Rounds(ctx context.Context, carID string) ([]shop.RoundFact, error) {
	return many(ctx, r, "the rounds of a car", roundsOfCar, rounds.scan.plain, carID)
}
