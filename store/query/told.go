package query

import (
	"context"
	"encoding/json"
	"fmt"

	"witnessmark/shop"
)

const (
	toldSelect = `SELECT id, round_id, car_id, words, signs, withdraws, by_whom, received_at, seq FROM told`
	toldInsert = `INSERT INTO told (seq, id, round_id, car_id, words, signs, withdraws, by_whom, received_at)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`
	toldByID      = toldSelect + ` WHERE id = $1`
	toldPage      = toldSelect + ` WHERE seq > $1 ORDER BY seq LIMIT $2`
	toldOfRound   = toldSelect + ` WHERE round_id = $1 ORDER BY seq`
	toldWithdrawn = `SELECT 1 FROM told WHERE id = $1 AND round_id = $2 AND withdraws = ''`
)

var tolds = kind[shop.ToldFact]{
	name:   "a complaint",
	insert: toldInsert,
	byID:   toldByID,
	page:   toldPage,
	scan:   scanTold,
	id:     func(f shop.ToldFact) string { return f.ID },
	tidy:   func(f shop.ToldFact) shop.ToldFact { f.ReceivedAt, f.Seq = 0, 0; return f },
	args: func(f shop.ToldFact) ([]any, error) {
		signs, err := encodeList(f.Signs)
		return []any{f.ID, f.RoundID, f.CarID, f.Words, signs, f.Withdraws, f.By, f.ReceivedAt}, err
	},
	check: func(ctx context.Context, w *Writer, f shop.ToldFact) error {
		if err := checkRef(ctx, w, "round of this car", f.RoundID, roundHasCar, f.RoundID, f.CarID); err != nil || f.Withdraws == "" {
			return err
		}
		return checkRef(ctx, w, "complaint of this round", f.Withdraws, toldWithdrawn, f.Withdraws, f.RoundID)
	},
	wrap: func(f *shop.ToldFact) shop.Fact { return shop.Fact{Told: f} },
}

func scanTold(r row, seq *int64) (f shop.ToldFact, err error) {
	var signs string
	err = r.Scan(&f.ID, &f.RoundID, &f.CarID, &f.Words, &signs, &f.Withdraws, &f.By, &f.ReceivedAt, &f.Seq)
	if err != nil {
		return f, err
	}
	*seq = f.Seq
	if f.Signs, err = decodeList(signs); err != nil {
		return f, fmt.Errorf("signs of the complaint %q: %w", f.ID, err)
	}
	return f, nil
}

// Told gives what an owner said at a round in order of arrival, withdrawals too.
func (r *Reader) Told(ctx context.Context, roundID string) ([]shop.ToldFact, error) {
	return many(ctx, r, "the complaints of a round", toldOfRound, tolds.scan.plain, roundID)
}

// encodeList writes a list as JSON text; an empty one is [].
func encodeList(list []string) (string, error) {
	if len(list) == 0 {
		return "[]", nil
	}
	data, err := json.Marshal(list)
	return string(data), err
}

// decodeList reads what encodeList wrote; [] is a nil list.
func decodeList(text string) (list []string, err error) {
	if text == "[]" {
		return nil, nil
	}
	err = json.Unmarshal([]byte(text), &list)
	return list, err
}
