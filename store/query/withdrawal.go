package query

import (
	"context"

	"witnessmark/shop"
)

const (
	withdrawalSelect = `SELECT id, car_id, what, fact_id, why, by_whom, received_at, seq FROM withdrawal`
	withdrawalInsert = `INSERT INTO withdrawal (seq, id, car_id, what, fact_id, why, by_whom, received_at)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`
	withdrawalByID   = withdrawalSelect + ` WHERE id = $1`
	withdrawalPage   = withdrawalSelect + ` WHERE seq > $1 ORDER BY seq LIMIT $2`
	withdrawalsOfCar = withdrawalSelect + ` WHERE car_id = $1 ORDER BY seq`
	renewalHasCar    = `SELECT 1 FROM renewal WHERE id = $1 AND car_id = $2`
	odometerHasCar   = `SELECT 1 FROM odometer WHERE id = $1 AND car_id = $2`
)

var withdrawals = kind[shop.WithdrawalFact]{
	name:   "a withdrawal",
	insert: withdrawalInsert,
	byID:   withdrawalByID,
	page:   withdrawalPage,
	scan:   scanWithdrawal,
	id:     func(f shop.WithdrawalFact) string { return f.ID },
	tidy:   func(f shop.WithdrawalFact) shop.WithdrawalFact { f.ReceivedAt, f.Seq = 0, 0; return f },
	args: func(f shop.WithdrawalFact) ([]any, error) {
		return []any{f.ID, f.CarID, f.What, f.FactID, f.Why, f.By, f.ReceivedAt}, nil
	},
	check: checkWithdrawal,
	after: func(ctx context.Context, w *Writer, f shop.WithdrawalFact) error {
		if f.What != shop.OfRound {
			return nil
		}
		return w.refreshCar(ctx, f.CarID) // its newest round may be another one now
	},
	wrap: func(f *shop.WithdrawalFact) shop.Fact { return shop.Fact{Withdrawal: f} },
}

// checkWithdrawal finds out whether what is withdrawn is there and the car's.
func checkWithdrawal(ctx context.Context, w *Writer, f shop.WithdrawalFact) error {
	query, known := map[string]string{shop.OfRenewal: renewalHasCar, shop.OfOdometer: odometerHasCar, shop.OfRound: roundHasCar}[f.What]
	if !known {
		return shop.Invalid{{Field: "what", Text: "A fact of this kind can't be withdrawn."}}
	}
	return checkRef(ctx, w, f.What+" of this car", f.FactID, query, f.FactID, f.CarID)
}

func scanWithdrawal(r row, seq *int64) (f shop.WithdrawalFact, err error) {
	err = r.Scan(&f.ID, &f.CarID, &f.What, &f.FactID, &f.Why, &f.By, &f.ReceivedAt, &f.Seq)
	*seq = f.Seq
	return f, err
}

// Withdrawals gives what was withdrawn of a car in order of arrival.
func (r *Reader) Withdrawals(ctx context.Context, carID string) ([]shop.WithdrawalFact, error) {
	return many(ctx, r, "the withdrawals of a car", withdrawalsOfCar, withdrawals.scan.plain, carID)
}
