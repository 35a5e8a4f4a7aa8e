package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"github.com/pressly/goose/v3"

	"witnessmark/store/migrations"
)

// applicationID marks our files in their header: "WtMk".
const applicationID = 0x57744d6b

// versionTable is where the schema's version is kept.
const versionTable = "schema_version"

var (
	// ErrNewer says that a newer version of the program made the database.
	ErrNewer = errors.New("a newer version of the program made this database")
	// ErrForeign says that the database belongs to another program.
	ErrForeign = errors.New("this database belongs to another program")
)

// migrate brings the schema up to date. It changes nothing in a database that it refuses.
func migrate(ctx context.Context, db *sql.DB) error {
	if err := claim(ctx, db); err != nil {
		return err
	}
	provider, err := goose.NewProvider(goose.DialectSQLite3, db, migrations.FS,
		goose.WithDisableGlobalRegistry(true), goose.WithTableName(versionTable))
	if err != nil {
		return err
	}
	has, knows, err := provider.GetVersions(ctx)
	if err != nil {
		return fmt.Errorf("read the schema's version: %w", err)
	}
	if has > knows {
		return fmt.Errorf("%w (schema %d, this one knows up to %d): use that version", ErrNewer, has, knows)
	}
	if _, err := provider.Up(ctx); err != nil {
		return fmt.Errorf("bring the schema up to date: %w", err)
	}
	return nil
}

// claim marks an empty file as ours and refuses one that has something else in it.
func claim(ctx context.Context, db *sql.DB) error {
	var id, things int64
	if err := db.QueryRowContext(ctx, "PRAGMA application_id").Scan(&id); err != nil {
		return err
	}
	if id == applicationID {
		return nil
	}
	if err := db.QueryRowContext(ctx, "SELECT COUNT(*) FROM sqlite_schema").Scan(&things); err != nil {
		return err
	}
	if id != 0 || things > 0 {
		return ErrForeign
	}
	_, err := db.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d", applicationID))
	return err
}
