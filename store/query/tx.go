package query

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"sync"

	"witnessmark/shop"
)

// Reader answers questions inside one transaction. It implements shop.Reader.
type Reader struct {
	tx *sql.Tx

	mu         sync.Mutex
	statements map[string]*sql.Stmt
}

var _ shop.Reader = (*Reader)(nil)

// NewReader reads inside a transaction. The transaction stays the caller's to end.
func NewReader(tx *sql.Tx) *Reader {
	return &Reader{tx: tx, statements: map[string]*sql.Stmt{}}
}

// prepare keeps a statement for the rest of the transaction: an import runs the same few a million times.
func (r *Reader) prepare(ctx context.Context, query string) (*sql.Stmt, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if s, ok := r.statements[query]; ok {
		return s, nil
	}
	s, err := r.tx.PrepareContext(ctx, query)
	if err != nil {
		return nil, err
	}
	r.statements[query] = s
	return s, nil
}

// number runs a query that gives one whole number.
func (r *Reader) number(ctx context.Context, query string, args ...any) (int64, error) {
	s, err := r.prepare(ctx, query)
	if err != nil {
		return 0, err
	}
	var n int64
	err = s.QueryRowContext(ctx, args...).Scan(&n)
	return n, err
}

// exists reports whether a query gives a row.
func (r *Reader) exists(ctx context.Context, query string, args ...any) (bool, error) {
	_, err := r.number(ctx, query, args...)
	if errors.Is(err, sql.ErrNoRows) {
		return false, nil
	}
	return err == nil, err
}

// row is what a scan function reads from: *sql.Row or *sql.Rows.
type row interface{ Scan(dest ...any) error }

// one runs a query for one row; no row is shop.ErrNotFound.
func one[T any](ctx context.Context, r *Reader, what, query string, scan func(row) (T, error), args ...any) (T, error) {
	var none T
	s, err := r.prepare(ctx, query)
	if err != nil {
		return none, fmt.Errorf("read %s: %w", what, err)
	}
	v, err := scan(s.QueryRowContext(ctx, args...))
	if errors.Is(err, sql.ErrNoRows) {
		return none, fmt.Errorf("%s: %w", what, shop.ErrNotFound)
	}
	if err != nil {
		return none, fmt.Errorf("read %s: %w", what, err)
	}
	return v, nil
}

// many runs a query for a list.
func many[T any](ctx context.Context, r *Reader, what, query string, scan func(row) (T, error), args ...any) ([]T, error) {
	s, err := r.prepare(ctx, query)
	if err != nil {
		return nil, fmt.Errorf("list %s: %w", what, err)
	}
	rows, err := s.QueryContext(ctx, args...)
	if err != nil {
		return nil, fmt.Errorf("list %s: %w", what, err)
	}
	defer rows.Close()
	var list []T
	for rows.Next() {
		v, err := scan(rows)
		if err != nil {
			return nil, fmt.Errorf("list %s: %w", what, err)
		}
		list = append(list, v)
	}
	if err := rows.Err(); err != nil {
		return nil, fmt.Errorf("list %s: %w", what, err)
	}
	return list, nil
}
