package query

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"unicode/utf8"

	"witnessmark/shop"
)

const (
	recordSelect = `SELECT id, kind, car_id, ref_id, COALESCE(once_key, ''), body, by_whom, received_at, seq FROM record`
	recordInsert = `INSERT INTO record (seq, id, kind, car_id, ref_id, once_key, body, by_whom, received_at)
VALUES ($1, $2, $3, $4, $5, NULLIF($6, ''), $7, $8, $9)`
	recordByID   = recordSelect + ` WHERE id = $1`
	recordPage   = recordSelect + ` WHERE seq > $1 ORDER BY seq LIMIT $2`
	recordExists = `SELECT 1 FROM record WHERE id = $1 AND kind = $2 AND car_id = $3`
	recordOnce   = `SELECT 1 FROM record WHERE once_key = $1`
)

var recordsKind = kind[shop.Record]{
	name:   "a record",
	insert: recordInsert,
	byID:   recordByID,
	page:   recordPage,
	scan:   scanRecord,
	id:     func(f shop.Record) string { return f.ID },
	tidy:   func(f shop.Record) shop.Record { f.ReceivedAt, f.Seq = 0, 0; return f },
	args: func(f shop.Record) ([]any, error) {
		var text bytes.Buffer
		if err := json.Compact(&text, f.Body); err != nil {
			return nil, shop.Invalid{{Field: "body", Text: "This is no JSON."}}
		}
		return []any{f.ID, f.Kind, f.CarID, f.Ref, f.Once, text.String(), f.By, f.ReceivedAt}, nil
	},
	check: checkRecord,
	wrap:  func(f *shop.Record) shop.Fact { return shop.Fact{Record: f} },
}

// checkRecord finds out whether what a record refers to is there, of the right kind and of the same car, and whether its key is free.
func checkRecord(ctx context.Context, w *Writer, f shop.Record) error {
	if !utf8.Valid(f.Body) || bytes.IndexByte(f.Body, 0) >= 0 {
		return shop.Invalid{{Field: "body", Text: "The text has characters that can't be stored."}}
	}
	refers, known := shop.RecordRefers(f.Kind)
	if !known {
		return shop.Invalid{{Field: "kind", Text: "There is no such kind of record."}}
	}
	if f.CarID != "" {
		if err := checkRef(ctx, w, "car", f.CarID, carExists, f.CarID); err != nil {
			return err
		}
	}
	if refers != "" {
		if err := checkRef(ctx, w, refers+" of this car", f.Ref, recordExists, f.Ref, refers, f.CarID); err != nil {
			return err
		}
	}
	if f.Once == "" {
		return nil
	}
	taken, err := w.exists(ctx, recordOnce, f.Once)
	if err != nil {
		return fmt.Errorf("look for %q: %w", f.Once, err)
	}
	if taken {
		return fmt.Errorf("a record with the key %q is there already: %w", f.Once, shop.ErrConflict)
	}
	return nil
}

func scanRecord(r row, seq *int64) (f shop.Record, err error) {
	var body string
	err = r.Scan(&f.ID, &f.Kind, &f.CarID, &f.Ref, &f.Once, &body, &f.By, &f.ReceivedAt, &f.Seq)
	*seq, f.Body = f.Seq, json.RawMessage(body)
	return f, err
}

// Record gives one record of any kind.
func (r *Reader) Record(ctx context.Context, id string) (shop.Record, error) {
	return one(ctx, r, "a record", recordByID, recordsKind.scan.plain, id)
}

// Records lists records in order of arrival.
func (r *Reader) Records(ctx context.Context, f shop.RecordFilter) ([]shop.Record, error) {
	query, args := recordList(f)
	return many(ctx, r, "records", query, recordsKind.scan.plain, args...)
}

// recordList is the statement for a filter. Only what narrows stands in it, so that each combination uses its index.
func recordList(f shop.RecordFilter) (string, []any) {
	var where []string
	var args []any
	narrow := func(condition string, value any) {
		args = append(args, value)
		where = append(where, fmt.Sprintf(condition, len(args)))
	}
	if f.Kind != "" {
		narrow("kind = $%d", f.Kind)
	}
	if f.CarID != "" {
		narrow("car_id = $%d", f.CarID)
	}
	if f.Ref != "" {
		narrow("ref_id = $%d", f.Ref)
	}
	if f.Once != "" {
		narrow("once_key = $%d", f.Once)
	}
	if f.After != 0 {
		narrow("seq > $%d", f.After)
	}
	query := recordSelect
	if len(where) > 0 {
		query += " WHERE " + strings.Join(where, " AND ")
	}
	query += " ORDER BY seq"
	if f.Last {
		query += " DESC"
	}
	if f.Limit > 0 {
		args = append(args, f.Limit)
		query += fmt.Sprintf(" LIMIT $%d", len(args))
	}
	return query, args
}
