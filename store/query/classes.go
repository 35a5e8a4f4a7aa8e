package query

import (
	"bytes"
	"context"
	"encoding/json"
	"unicode/utf8"

	"witnessmark/shop"
)

const (
	classesSelect = `SELECT id, through, catalogue, cars, looks, fitted, by_whom, received_at, seq FROM classes`
	classesInsert = `INSERT INTO classes (seq, id, through, catalogue, cars, looks, fitted, by_whom, received_at)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`
	classesByID = classesSelect + ` WHERE id = $1`
	classesPage = classesSelect + ` WHERE seq > $1 ORDER BY seq LIMIT $2`
	classesLast = classesSelect + ` ORDER BY seq DESC LIMIT 1`
)

var classes = kind[shop.ClassesFact]{
	name:   "what was learned",
	insert: classesInsert,
	byID:   classesByID,
	page:   classesPage,
	scan:   scanClasses,
	id:     func(f shop.ClassesFact) string { return f.ID },
	tidy:   func(f shop.ClassesFact) shop.ClassesFact { f.ReceivedAt, f.Seq = 0, 0; return f },
	args: func(f shop.ClassesFact) ([]any, error) {
		var text bytes.Buffer
		if err := json.Compact(&text, f.Fitted); err != nil {
			return nil, err
		}
		return []any{f.ID, f.Through, f.Catalogue, f.Cars, f.Looks, text.String(), f.By, f.ReceivedAt}, nil
	},
	check: func(_ context.Context, _ *Writer, f shop.ClassesFact) error {
		if !utf8.Valid(f.Fitted) {
			return shop.Invalid{{Field: "fitted", Text: "The text has characters that can't be stored."}}
		}
		return nil
	},
	wrap: func(f *shop.ClassesFact) shop.Fact { return shop.Fact{Classes: f} },
}

func scanClasses(r row, seq *int64) (f shop.ClassesFact, err error) {
	var fitted string
	err = r.Scan(&f.ID, &f.Through, &f.Catalogue, &f.Cars, &f.Looks, &fitted, &f.By, &f.ReceivedAt, &f.Seq)
	*seq, f.Fitted = f.Seq, json.RawMessage(fitted)
	return f, err
}

// Classes gives what was learned last.
func (r *Reader) Classes(ctx context.Context) (shop.ClassesFact, error) {
	return one(ctx, r, "what was learned", classesLast, classes.scan.plain)
}
