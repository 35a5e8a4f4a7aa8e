package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"witnessmark/shop"
	"witnessmark/store/query"
)

// Store keeps facts in one SQLite file. It implements shop.Store and can be used by many goroutines.
type Store struct {
	path            string
	writer, readers *sql.DB
	close           func() error
}

var _ shop.Store = (*Store)(nil)

// readerCount is how many read transactions run at once; more wait.
const readerCount = 4

// Open opens the database at path, creates it and its directory when there is none, and brings an older one up to
// date. It refuses a database that a newer version of the program or another program made, and one whose durability
// settings can't be had.
func Open(path string) (*Store, error) {
	if path == "" || strings.HasPrefix(path, ":") || strings.HasPrefix(path, "file:") {
		return nil, fmt.Errorf("open the database: %q is not the path of a file", path)
	}
	if err := create(path); err != nil {
		return nil, fmt.Errorf("open the database: %w", err)
	}
	s := &Store{path: path}
	s.close = sync.OnceValue(s.closeBoth)
	if err := s.open(context.Background()); err != nil {
		return nil, errors.Join(fmt.Errorf("open the database %s: %w", path, explain(err)), s.Close())
	}
	return s, nil
}

// open opens both pools. The writer comes first: readers can't create the files beside the database.
func (s *Store) open(ctx context.Context) (err error) {
	if s.writer, err = pool(s.path, writerQuery, 1); err != nil {
		return err
	}
	if err := checkSettings(ctx, s.writer, writerSettings); err != nil {
		return err
	}
	if err := migrate(ctx, s.writer); err != nil {
		return err
	}
	if err := makeQueue(ctx, s.writer); err != nil {
		return err
	}
	if s.readers, err = pool(s.path, readerQuery, readerCount); err != nil {
		return err
	}
	if err := checkSettings(ctx, s.readers, readerSettings); err != nil {
		return err
	}
	return s.refresh(ctx)
}

// refresh makes the read models again when other rules made them.
func (s *Store) refresh(ctx context.Context) error {
	current := false
	err := s.transact(ctx, s.readers, func(tx *sql.Tx) (err error) {
		current, err = query.NewReader(tx).ModelCurrent(ctx)
		return err
	})
	if err != nil || current {
		return err
	}
	return s.Rebuild(ctx)
}

// create makes an empty file that only its owner can read, and writes its name down for good. A file that exists
// keeps its permissions.
func create(path string) error {
	dir := filepath.Dir(path)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, os.ErrExist) {
		return nil
	}
	if err != nil {
		return err
	}
	return errors.Join(f.Close(), syncDir(dir))
}

// Close ends both pools. Transactions that are running end first. It can be called again.
func (s *Store) Close() error { return s.close() }

// closeBoth closes the readers first: the last connection clears the log away, and a reader may not write.
func (s *Store) closeBoth() error {
	var errs []error
	for _, db := range []*sql.DB{s.readers, s.writer} {
		if db != nil {
			errs = append(errs, db.Close())
		}
	}
	return errors.Join(errs...)
}
