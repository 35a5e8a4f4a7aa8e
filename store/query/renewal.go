package query

import (
	"context"

	"witnessmark/shop"
)

const (
	renewalSelect = `SELECT id, car_id, item, place, on_day, km, note, by_whom, received_at, seq FROM renewal`
	renewalInsert = `INSERT INTO renewal (seq, id, car_id, item, place, on_day, km, note, by_whom, received_at)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`
	renewalByID   = renewalSelect + ` WHERE id = $1`
	renewalPage   = renewalSelect + ` WHERE seq > $1 ORDER BY seq LIMIT $2`
	renewalsOfCar = renewalSelect + ` WHERE car_id = $1
  AND NOT EXISTS (SELECT 1 FROM withdrawal w WHERE w.fact_id = renewal.id AND w.what = 'renewal') ORDER BY on_day, seq`
)

var renewals = kind[shop.RenewalFact]{
	name:   "a renewal",
	insert: renewalInsert,
	byID:   renewalByID,
	page:   renewalPage,
	scan:   scanRenewal,
	id:     func(f shop.RenewalFact) string { return f.ID },
	tidy: func(f shop.RenewalFact) shop.RenewalFact {
		f.Km, f.ReceivedAt = tidyNumber(f.Km), 0
		return f
	},
	args: func(f shop.RenewalFact) ([]any, error) {
		return []any{f.ID, f.CarID, f.Item, f.At, f.On, tidyNumber(f.Km), f.Note, f.By, f.ReceivedAt}, nil
	},
	check: func(ctx context.Context, w *Writer, f shop.RenewalFact) error { return checkCar(ctx, w, f.CarID) },
	wrap:  func(f *shop.RenewalFact) shop.Fact { return shop.Fact{Renewal: f} },
}

func scanRenewal(r row, seq *int64) (f shop.RenewalFact, err error) {
	err = r.Scan(&f.ID, &f.CarID, &f.Item, &f.At, &f.On, &f.Km, &f.Note, &f.By, &f.ReceivedAt, &f.Seq)
	*seq = f.Seq
	return f, err
}

// Renewals gives what was renewed on a car and not withdrawn by the day, on one day in order of arrival.
func (r *Reader) Renewals(ctx context.Context, carID string) ([]shop.RenewalFact, error) {
	return many(ctx, r, "the renewals of a car", renewalsOfCar, renewals.scan.plain, carID)
}
