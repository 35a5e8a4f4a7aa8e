package query

import (
	"context"
	"errors"
	"fmt"

	"witnessmark/shop"
)

const (
	carUpsert = `INSERT INTO car (car_id, version_id, plate_key, search, last_round_on, last_round_seq, last_round_id)
VALUES ($1, $2, $3, $4, $5, $6, $7)
ON CONFLICT (car_id) DO UPDATE SET version_id = excluded.version_id, plate_key = excluded.plate_key,
  search = excluded.search, last_round_on = excluded.last_round_on, last_round_seq = excluded.last_round_seq,
  last_round_id = excluded.last_round_id`
	carsClear    = `DELETE FROM car`
	carIDsPage   = `SELECT DISTINCT car_id FROM car_version WHERE car_id > $1 ORDER BY car_id LIMIT $2`
	modelVersion = `SELECT value FROM counter WHERE name = 'read-model'`
	modelSet     = `UPDATE counter SET value = $1 WHERE name = 'read-model'`
)

// refreshCar makes a car's row of the read model from its facts.
func (w *Writer) refreshCar(ctx context.Context, carID string) error {
	car, err := one(ctx, w.Reader, "the car", carVersionCurrent, scanner[shop.CarVersion](scanCarVersion).plain, carID)
	if err != nil {
		return w.fail(err)
	}
	var seq int64
	round, err := one(ctx, w.Reader, "the newest round", roundNewest,
		func(r row) (shop.RoundFact, error) { return scanRound(r, &seq) }, carID)
	if err != nil && !errors.Is(err, shop.ErrNotFound) {
		return w.fail(err)
	}
	return w.exec(ctx, "the list of cars", carUpsert,
		carID, car.ID, squeezed(car.Plate), searchText(car), round.On, seq, round.ID)
}

// Rebuild makes all read models again from the facts.
func (w *Writer) Rebuild(ctx context.Context) error {
	if err := w.exec(ctx, "the list of cars", carsClear); err != nil {
		return err
	}
	after := ""
	for {
		page, err := many(ctx, w.Reader, "the cars", carIDsPage, scanText, after, pageSize)
		if err != nil {
			return w.fail(err)
		}
		for _, carID := range page {
			if err := w.refreshCar(ctx, carID); err != nil {
				return err
			}
		}
		if len(page) < pageSize {
			return w.exec(ctx, "the version of the read models", modelSet, ModelVersion)
		}
		after = page[len(page)-1]
	}
}

// ModelCurrent reports whether the read models were made by this version's rules.
func (r *Reader) ModelCurrent(ctx context.Context) (bool, error) {
	n, err := r.number(ctx, modelVersion)
	if err != nil {
		return false, fmt.Errorf("read the version of the read models: %w", err)
	}
	return n == ModelVersion, nil
}

func scanText(r row) (s string, err error) {
	err = r.Scan(&s)
	return s, err
}
