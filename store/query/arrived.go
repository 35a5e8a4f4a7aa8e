package query

import (
	"context"
	"fmt"

	"witnessmark/shop"
)

const (
	carIDs = `SELECT car_id FROM car WHERE car_id > $1 ORDER BY car_id LIMIT $2`
	// carSeq asks each table by its index; one with nothing of the car counts as 0.
	carSeq = `SELECT COALESCE(MAX(n.seq), 0) FROM (
  SELECT MAX(seq) AS seq FROM car_version WHERE car_id = $1
  UNION ALL SELECT MAX(seq) FROM reading WHERE car_id = $1
  UNION ALL SELECT MAX(seq) FROM round WHERE car_id = $1
  UNION ALL SELECT MAX(seq) FROM odometer WHERE car_id = $1
  UNION ALL SELECT MAX(seq) FROM renewal WHERE car_id = $1
  UNION ALL SELECT MAX(seq) FROM withdrawal WHERE car_id = $1
  UNION ALL SELECT MAX(e.seq) FROM round r JOIN round_end e ON e.round_id = r.id WHERE r.car_id = $1) n`
	readingsAfter = readingSelect + ` WHERE car_id = $1 AND seq > $2 ORDER BY seq`
	readingsSince = `SELECT COUNT(*) FROM reading WHERE seq > $1`
	lastSeq       = `SELECT value FROM counter WHERE name = 'arrival'`
)

// CarIDs lists the ids of cars after one, in order of the ids, at most so many.
func (r *Reader) CarIDs(ctx context.Context, after string, limit int) ([]string, error) {
	return many(ctx, r, "the cars", carIDs, scanText, after, limit)
}

// CarSeq gives the newest order of arrival among the facts of a car, its rounds' ends too; 0 for a car that does not exist.
func (r *Reader) CarSeq(ctx context.Context, carID string) (int64, error) {
	n, err := r.number(ctx, carSeq, carID)
	if err != nil {
		return 0, fmt.Errorf("look for the newest fact of a car: %w", err)
	}
	return n, nil
}

// HistoryAfter gives the readings of a car that arrived after a seq, in order of arrival.
func (r *Reader) HistoryAfter(ctx context.Context, carID string, seq int64) ([]shop.ReadingFact, error) {
	return many(ctx, r, "the readings of a car", readingsAfter, readings.scan.plain, carID, seq)
}

// LastSeq gives the newest order of arrival of all. Numbers that were reserved and not used may lie below it.
func (r *Reader) LastSeq(ctx context.Context) (int64, error) {
	n, err := r.number(ctx, lastSeq)
	if err != nil {
		return 0, fmt.Errorf("look for the newest fact: %w", err)
	}
	return n, nil
}

// ReadingsSince counts the readings that arrived after a seq.
func (r *Reader) ReadingsSince(ctx context.Context, seq int64) (int, error) {
	n, err := r.number(ctx, readingsSince, seq)
	if err != nil {
		return 0, fmt.Errorf("count the readings: %w", err)
	}
	return int(n), nil
}
