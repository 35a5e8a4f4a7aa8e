package query

import (
	"context"
	"fmt"

	"witnessmark/shop"
)

const (
	confirmedSelect = `SELECT id, round_id, car_id, complaint, cause, seen, note, withdraws, by_whom, received_at, seq FROM confirmed`
	confirmedInsert = `INSERT INTO confirmed (seq, id, round_id, car_id, complaint, cause, seen, note, withdraws, by_whom, received_at)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`
	confirmedByID      = confirmedSelect + ` WHERE id = $1`
	confirmedPage      = confirmedSelect + ` WHERE seq > $1 ORDER BY seq LIMIT $2`
	confirmedAll       = confirmedSelect + ` ORDER BY seq`
	confirmedLast      = `SELECT COALESCE(MAX(seq), 0) FROM confirmed`
	confirmedWithdrawn = `SELECT 1 FROM confirmed WHERE id = $1 AND round_id = $2 AND withdraws = ''`
)

var confirmations = kind[shop.ConfirmedFact]{
	name:   "a confirmed cause",
	insert: confirmedInsert,
	byID:   confirmedByID,
	page:   confirmedPage,
	scan:   scanConfirmed,
	id:     func(f shop.ConfirmedFact) string { return f.ID },
	tidy:   func(f shop.ConfirmedFact) shop.ConfirmedFact { f.ReceivedAt, f.Seq = 0, 0; return f },
	args: func(f shop.ConfirmedFact) ([]any, error) {
		seen, err := encode(f.Seen)
		return []any{f.ID, f.RoundID, f.CarID, f.Complaint, f.Cause, seen, f.Note, f.Withdraws, f.By, f.ReceivedAt}, err
	},
	check: func(ctx context.Context, w *Writer, f shop.ConfirmedFact) error {
		if err := checkRef(ctx, w, "round of this car", f.RoundID, roundHasCar, f.RoundID, f.CarID); err != nil || f.Withdraws == "" {
			return err
		}
		return checkRef(ctx, w, "confirmed cause of this round", f.Withdraws, confirmedWithdrawn, f.Withdraws, f.RoundID)
	},
	wrap: func(f *shop.ConfirmedFact) shop.Fact { return shop.Fact{Confirmed: f} },
}

func scanConfirmed(r row, seq *int64) (f shop.ConfirmedFact, err error) {
	var seen string
	err = r.Scan(&f.ID, &f.RoundID, &f.CarID, &f.Complaint, &f.Cause, &seen, &f.Note, &f.Withdraws, &f.By, &f.ReceivedAt, &f.Seq)
	if err != nil {
		return f, err
	}
	*seq = f.Seq
	if f.Seen, err = decode[bool](seen); err != nil {
		return f, fmt.Errorf("what was seen of the confirmed cause %q: %w", f.ID, err)
	}
	return f, nil
}

// Confirmed gives the causes that were confirmed at all rounds in order of arrival, withdrawals too.
func (r *Reader) Confirmed(ctx context.Context) ([]shop.ConfirmedFact, error) {
	return many(ctx, r, "the confirmed causes", confirmedAll, confirmations.scan.plain)
}

// ConfirmedSeq gives the newest order of arrival among them; 0 for none.
func (r *Reader) ConfirmedSeq(ctx context.Context) (int64, error) {
	n, err := r.number(ctx, confirmedLast)
	if err != nil {
		return 0, fmt.Errorf("look for the newest confirmed cause: %w", err)
	}
	return n, nil
}
