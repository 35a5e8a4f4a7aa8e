package query

import (
	"context"

	"witnessmark/shop"
)

const (
	roundEndSelect = `SELECT id, round_id, catalogue, by_whom, received_at, seq FROM round_end`
	roundEndInsert = `INSERT INTO round_end (seq, id, round_id, catalogue, by_whom, received_at)
VALUES ($1, $2, $3, $4, $5, $6)`
	roundEndByID = roundEndSelect + ` WHERE id = $1`
	roundEndPage = roundEndSelect + ` WHERE seq > $1 ORDER BY seq LIMIT $2`
)

var roundEnds = kind[shop.RoundEnd]{
	name:   "the end of a round",
	insert: roundEndInsert,
	byID:   roundEndByID,
	page:   roundEndPage,
	scan:   scanRoundEnd,
	id:     func(f shop.RoundEnd) string { return f.ID },
	tidy:   func(f shop.RoundEnd) shop.RoundEnd { f.ReceivedAt = 0; return f },
	args: func(f shop.RoundEnd) ([]any, error) {
		return []any{f.ID, f.RoundID, f.Catalogue, f.By, f.ReceivedAt}, nil
	},
	check: func(ctx context.Context, w *Writer, f shop.RoundEnd) error {
		// Zero means that a round is open, so an end without its moment would leave it open.
		if f.ReceivedAt <= 0 {
			return shop.Invalid{{Field: "received_at", Text: "The moment that the round was ended is missing."}}
		}
		return checkRound(ctx, w, f.RoundID)
	},
	wrap: func(f *shop.RoundEnd) shop.Fact { return shop.Fact{RoundEnd: f} },
}

func scanRoundEnd(r row, seq *int64) (f shop.RoundEnd, err error) {
	err = r.Scan(&f.ID, &f.RoundID, &f.Catalogue, &f.By, &f.ReceivedAt, seq)
	return f, err
}
