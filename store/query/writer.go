package query

import (
	"context"
	"database/sql"
	"fmt"

	"witnessmark/shop"
)

// Writer adds facts inside one write transaction. It implements shop.Writer.
type Writer struct {
	*Reader
	broken error
	// next and last are arrival numbers that this transaction has reserved and not used yet.
	next, last int64
	queue      NewQueue
}

var _ shop.Writer = (*Writer)(nil)

// NewWriter writes inside a transaction. The transaction stays the caller's to end; it must not be committed when
// Broken gives an error.
func NewWriter(tx *sql.Tx, queue NewQueue) *Writer {
	return &Writer{Reader: NewReader(tx), queue: queue}
}

// Broken is the first failure of a statement that was to change something. A fact may be half there, and the engine
// may already have ended the transaction by itself, as SQLite does when the disk is full; so nothing more is written
// and nothing may be committed, even when the caller swallowed the error.
func (w *Writer) Broken() error { return w.broken }

// exec runs a statement that changes something.
func (w *Writer) exec(ctx context.Context, what, query string, args ...any) error {
	if w.broken != nil {
		return w.broken
	}
	s, err := w.prepare(ctx, query)
	if err == nil {
		_, err = s.ExecContext(ctx, args...)
	}
	if err != nil {
		w.broken = fmt.Errorf("write %s: %w", what, err)
	}
	return w.broken
}

// fail keeps an error as the first failure: something was changed already, and what belongs to it can't be.
func (w *Writer) fail(err error) error {
	if w.broken == nil {
		w.broken = err
	}
	return err
}

// Numbers that a transaction reserves at once. The first fact takes one alone, since most transactions hold one fact;
// a transaction that goes on takes blocks. Unused numbers leave gaps, which mean nothing.
const arrivalBlock = 256

// arrival gives the next number of arrival. On an engine with several writers the changed row keeps the others
// waiting until this transaction ends, so numbers become visible in their order.
func (w *Writer) arrival(ctx context.Context) (int64, error) {
	if w.broken != nil {
		return 0, w.broken
	}
	if w.next != 0 && w.next <= w.last {
		w.next++
		return w.next - 1, nil
	}
	size := int64(1)
	if w.last != 0 {
		size = arrivalBlock
	}
	n, err := w.number(ctx, `UPDATE counter SET value = value + $1 WHERE name = 'arrival' RETURNING value`, size)
	if err != nil {
		w.broken = fmt.Errorf("number a fact: %w", err)
		return 0, w.broken
	}
	w.next, w.last = n-size+2, n
	return n - size + 1, nil
}
