package query

import (
	"context"

	"witnessmark/shop"
)

const (
	odometerSelect = `SELECT id, car_id, on_day, km, note, by_whom, received_at, seq FROM odometer`
	odometerInsert = `INSERT INTO odometer (seq, id, car_id, on_day, km, note, by_whom, received_at)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`
	odometerByID  = odometerSelect + ` WHERE id = $1`
	odometerPage  = odometerSelect + ` WHERE seq > $1 ORDER BY seq LIMIT $2`
	odometerOfCar = odometerSelect + ` WHERE car_id = $1
  AND NOT EXISTS (SELECT 1 FROM withdrawal w WHERE w.fact_id = odometer.id AND w.what = 'odometer') ORDER BY on_day, seq`
)

var odometers = kind[shop.OdometerFact]{
	name:   "an odometer reading",
	insert: odometerInsert,
	byID:   odometerByID,
	page:   odometerPage,
	scan:   scanOdometer,
	id:     func(f shop.OdometerFact) string { return f.ID },
	tidy: func(f shop.OdometerFact) shop.OdometerFact {
		f.Km, f.ReceivedAt = tidyNumber(f.Km), 0
		return f
	},
	args: func(f shop.OdometerFact) ([]any, error) {
		return []any{f.ID, f.CarID, f.On, tidyNumber(f.Km), f.Note, f.By, f.ReceivedAt}, nil
	},
	check: func(ctx context.Context, w *Writer, f shop.OdometerFact) error { return checkCar(ctx, w, f.CarID) },
	wrap:  func(f *shop.OdometerFact) shop.Fact { return shop.Fact{Odometer: f} },
}

func scanOdometer(r row, seq *int64) (f shop.OdometerFact, err error) {
	err = r.Scan(&f.ID, &f.CarID, &f.On, &f.Km, &f.Note, &f.By, &f.ReceivedAt, &f.Seq)
	*seq = f.Seq
	return f, err
}

// Odometer gives a car's odometer readings that were not withdrawn by their day, those of one day in order of arrival.
func (r *Reader) Odometer(ctx context.Context, carID string) ([]shop.OdometerFact, error) {
	return many(ctx, r, "the odometer readings of a car", odometerOfCar, odometers.scan.plain, carID)
}
