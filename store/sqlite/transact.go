package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"witnessmark/shop"
	"witnessmark/store/query"
)

// View runs f in a read transaction: it sees the facts of one moment, whatever is written meanwhile.
func (s *Store) View(ctx context.Context, f func(shop.Reader) error) error {
	return s.transact(ctx, s.readers, func(tx *sql.Tx) error { return f(query.NewReader(tx)) })
}

// Update runs f in the write transaction; others wait. When it gives nil, all that f put is on the disk; when it gives
// an error, nothing is, except that a failure while the last of it was written may leave everything: put it again.
func (s *Store) Update(ctx context.Context, f func(shop.Writer) error) error {
	return s.update(ctx, func(w *query.Writer) error { return f(w) })
}

// Rebuild makes the read models again from the facts.
func (s *Store) Rebuild(ctx context.Context) error {
	return s.update(ctx, func(w *query.Writer) error { return w.Rebuild(ctx) })
}

func (s *Store) update(ctx context.Context, f func(*query.Writer) error) error {
	return s.transact(ctx, s.writer, func(tx *sql.Tx) error {
		w := query.NewWriter(tx, s.queue)
		if err := f(w); err != nil {
			return err
		}
		return w.Broken()
	})
}

// transact commits when f gives nil and rolls back when it gives an error or panics.
func (s *Store) transact(ctx context.Context, db *sql.DB, f func(*sql.Tx) error) (err error) {
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return fmt.Errorf("begin: %w", explain(err))
	}
	// After a commit this does nothing.
	defer tx.Rollback()
	if err := f(tx); err != nil {
		return explain(err)
	}
	if err := tx.Commit(); err != nil {
		return fmt.Errorf("commit: %w", explain(err))
	}
	return nil
}

// explain puts what a person can do about it before an error of the engine.
func explain(err error) error {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return err
	}
	switch e.Code() & 0xff {
	case sqlite3.SQLITE_FULL:
		return fmt.Errorf("nothing was saved, the disk is full: make room and try again: %w", err)
	case sqlite3.SQLITE_IOERR:
		return fmt.Errorf("nothing was saved, the disk could not be read or written: %w", err)
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM:
		return fmt.Errorf("the database can't be written, look at the permissions of the file and its directory: %w", err)
	case sqlite3.SQLITE_BUSY:
		return fmt.Errorf("another program keeps the database locked: %w", err)
	case sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB:
		return fmt.Errorf("the file is damaged or not a database, restore a backup: %w", err)
	}
	return err
}
