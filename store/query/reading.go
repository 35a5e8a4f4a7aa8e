package query

import (
	"context"
	"fmt"

	"witnessmark/shop"
)

const (
	readingSelect = `SELECT id, round_id, car_id, point, place, state, code, figures, skipped, note, withdrawn, by_whom,
  taken_at, received_at, seq FROM reading`
	readingInsert = `INSERT INTO reading (seq, id, round_id, car_id, point, place, state, code, figures, skipped, note, withdrawn,
  by_whom, taken_at, received_at)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15)`
	readingByID     = readingSelect + ` WHERE id = $1`
	readingPage     = readingSelect + ` WHERE seq > $1 ORDER BY seq LIMIT $2`
	readingsOfRound = readingSelect + ` WHERE round_id = $1 ORDER BY seq`
	readingsOfCar   = readingSelect + ` WHERE car_id = $1 ORDER BY seq`
)

var readings = kind[shop.ReadingFact]{
	name:   "a reading",
	insert: readingInsert,
	byID:   readingByID,
	page:   readingPage,
	scan:   scanReading,
	id:     func(f shop.ReadingFact) string { return f.ID },
	tidy:   func(f shop.ReadingFact) shop.ReadingFact { f.ReceivedAt, f.Seq = 0, 0; return f },
	args: func(f shop.ReadingFact) ([]any, error) {
		figures, err := encode(f.Values)
		return []any{f.ID, f.RoundID, f.CarID, f.Point, f.At, f.State, f.Code, figures, f.Skipped, f.Note, f.Withdrawn,
			f.By, f.TakenAt, f.ReceivedAt}, err
	},
	// The car is in the reading so that a history needs no join; it must be the round's.
	check: func(ctx context.Context, w *Writer, f shop.ReadingFact) error {
		return checkRef(ctx, w, "round of this car", f.RoundID, roundHasCar, f.RoundID, f.CarID)
	},
	wrap: func(f *shop.ReadingFact) shop.Fact { return shop.Fact{Reading: f} },
}

func scanReading(r row, seq *int64) (f shop.ReadingFact, err error) {
	var figures string
	err = r.Scan(&f.ID, &f.RoundID, &f.CarID, &f.Point, &f.At, &f.State, &f.Code, &figures, &f.Skipped, &f.Note,
		&f.Withdrawn, &f.By, &f.TakenAt, &f.ReceivedAt, &f.Seq)
	if err != nil {
		return f, err
	}
	*seq = f.Seq
	if f.Values, err = decode[float64](figures); err != nil {
		return f, fmt.Errorf("values of the reading %q: %w", f.ID, err)
	}
	return f, nil
}

// Readings gives every reading of a round in order of arrival, corrected and withdrawn ones too.
func (r *Reader) Readings(ctx context.Context, roundID string) ([]shop.ReadingFact, error) {
	return many(ctx, r, "the readings of a round", readingsOfRound, readings.scan.plain, roundID)
}

// History gives every reading of a car in order of arrival.
func (r *Reader) History(ctx context.Context, carID string) ([]shop.ReadingFact, error) {
	return many(ctx, r, "the readings of a car", readingsOfCar, readings.scan.plain, carID)
}
