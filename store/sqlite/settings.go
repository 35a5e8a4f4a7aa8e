package sqlite

import (
	"context"
	"database/sql"
	"fmt"
	"net/url"
	"path/filepath"
	"strings"

	_ "modernc.org/sqlite" // the driver
)

// setting is a pragma with the value that it must read back as.
type setting struct{ name, want string }

// The driver ignores a pragma that it can't apply without a word, so all that durability rests on is read back.
// synchronous 2 is FULL: the log is on the disk before a commit returns. fullfsync does the same for a disk's cache
// on systems where a plain sync does not.
var (
	writerSettings = []setting{{"journal_mode", "wal"}, {"synchronous", "2"}, {"foreign_keys", "1"},
		{"busy_timeout", "5000"}, {"fullfsync", "1"}, {"query_only", "0"}}
	readerSettings = []setting{{"journal_mode", "wal"}, {"synchronous", "2"}, {"foreign_keys", "1"},
		{"busy_timeout", "5000"}, {"query_only", "1"}}
)

// The writer begins with the write lock: a transaction that asks for it later can fail without waiting.
const (
	common      = "&_pragma=synchronous(FULL)&_pragma=foreign_keys(1)&_pragma=cache_size(-16384)"
	writerQuery = "_pragma=busy_timeout(5000)&_txlock=immediate&_pragma=journal_mode(WAL)&_pragma=fullfsync(1)" +
		"&_pragma=journal_size_limit(67108864)" + common
	readerQuery = "_pragma=busy_timeout(5000)&mode=ro&_pragma=query_only(1)" + common
)

// pool opens a pool of connections that all have the settings of the query.
func pool(path, query string, connections int) (*sql.DB, error) {
	db, err := sql.Open("sqlite", "file:"+uriPath(path)+"?"+query)
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(connections)
	db.SetMaxIdleConns(connections)
	return db, nil
}

// uriPath escapes a path for the engine's file names.
func uriPath(path string) string {
	path = filepath.ToSlash(path)
	if filepath.VolumeName(path) != "" {
		path = "/" + path
	}
	parts := strings.Split(path, "/")
	for i := range parts {
		parts[i] = url.PathEscape(parts[i])
	}
	return strings.Join(parts, "/")
}

// checkSettings refuses to run with other settings than asked for.
func checkSettings(ctx context.Context, db *sql.DB, settings []setting) error {
	for _, s := range settings {
		var got string
		if err := db.QueryRowContext(ctx, "PRAGMA "+s.name).Scan(&got); err != nil {
			return fmt.Errorf("read the setting %s: %w", s.name, err)
		}
		if got != s.want {
			return fmt.Errorf("the setting %s is %q and should be %q: is the file on a local disk?", s.name, got, s.want)
		}
	}
	return nil
}
