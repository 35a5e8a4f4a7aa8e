package query

import (
	"context"

	"witnessmark/shop"
)

const (
	lookSelect = `SELECT id, round_id, car_id, sign, answer, by_whom, received_at, seq FROM look`
	lookInsert = `INSERT INTO look (seq, id, round_id, car_id, sign, answer, by_whom, received_at)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`
	lookByID     = lookSelect + ` WHERE id = $1`
	lookPage     = lookSelect + ` WHERE seq > $1 ORDER BY seq LIMIT $2`
	looksOfRound = lookSelect + ` WHERE round_id = $1 ORDER BY seq`
)

var looks = kind[shop.LookFact]{
	name:   "a look",
	insert: lookInsert,
	byID:   lookByID,
	page:   lookPage,
	scan:   scanLook,
	id:     func(f shop.LookFact) string { return f.ID },
	tidy:   func(f shop.LookFact) shop.LookFact { f.ReceivedAt, f.Seq = 0, 0; return f },
	args: func(f shop.LookFact) ([]any, error) {
		return []any{f.ID, f.RoundID, f.CarID, f.Sign, f.Answer, f.By, f.ReceivedAt}, nil
	},
	check: func(ctx context.Context, w *Writer, f shop.LookFact) error {
		return checkRef(ctx, w, "round of this car", f.RoundID, roundHasCar, f.RoundID, f.CarID)
	},
	wrap: func(f *shop.LookFact) shop.Fact { return shop.Fact{Look: f} },
}

func scanLook(r row, seq *int64) (f shop.LookFact, err error) {
	err = r.Scan(&f.ID, &f.RoundID, &f.CarID, &f.Sign, &f.Answer, &f.By, &f.ReceivedAt, &f.Seq)
	*seq = f.Seq
	return f, err
}

// Looks gives what was put on a round's list of looks, and answered there, in order of arrival.
func (r *Reader) Looks(ctx context.Context, roundID string) ([]shop.LookFact, error) {
	return many(ctx, r, "the looks of a round", looksOfRound, looks.scan.plain, roundID)
}
