package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// Backup writes a copy of one moment to a new file, while others go on reading and writing. The copy is read back and
// on the disk before it gets its name; after an error there is no file. The photos are not in it.
func (s *Store) Backup(ctx context.Context, path string) (err error) {
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("back up to %s: %w", path, errors.Join(err, fs.ErrExist))
	}
	part := path + ".part"
	if err := os.Remove(part); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("back up to %s: %w", path, err)
	}
	defer func() {
		if err != nil {
			os.Remove(part)
			err = fmt.Errorf("back up to %s: %w", path, explain(err))
		}
	}()
	if err := create(part); err != nil {
		return err
	}
	if err := copyInto(ctx, s.path, part); err != nil {
		return err
	}
	if err := verify(ctx, part); err != nil {
		return err
	}
	if err := syncFile(part); err != nil {
		return err
	}
	if err := os.Rename(part, path); err != nil {
		return err
	}
	return syncDir(filepath.Dir(path))
}

// copyInto copies a database of one moment into an empty file. It takes a connection of its own: the readers' may not
// write anything, not even elsewhere, and the writer's is for others.
func copyInto(ctx context.Context, from, to string) error {
	db, err := pool(from, "mode=ro&_pragma=busy_timeout(5000)", 1)
	if err != nil {
		return err
	}
	_, err = db.ExecContext(ctx, "VACUUM INTO $1", to)
	return errors.Join(err, db.Close())
}

// verify reads a whole database file and reports damage.
func verify(ctx context.Context, path string) error {
	db, err := pool(path, "mode=ro", 1)
	if err != nil {
		return err
	}
	return errors.Join(integrity(ctx, db), db.Close())
}

// Verify reads the whole database and reports damage.
func (s *Store) Verify(ctx context.Context) error { return integrity(ctx, s.readers) }

func integrity(ctx context.Context, db *sql.DB) error {
	var says string
	if err := db.QueryRowContext(ctx, "PRAGMA integrity_check(1)").Scan(&says); err != nil {
		return fmt.Errorf("check for damage: %w", err)
	}
	if says != "ok" {
		return fmt.Errorf("the database is damaged: %s", says)
	}
	rows, err := db.QueryContext(ctx, "PRAGMA foreign_key_check")
	if err != nil {
		return fmt.Errorf("check what facts refer to: %w", err)
	}
	defer rows.Close()
	if rows.Next() {
		return errors.New("the database is damaged: a fact refers to another that is missing")
	}
	return rows.Err()
}

func syncFile(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
