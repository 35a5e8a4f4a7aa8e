package sqlite

import (
	"io/fs"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/pressly/goose/v3"

	"witnessmark/shop"
	"witnessmark/store/migrations"
)

// TestOldDataOpen makes a database as the first version made it, with a renewal that knows no place, and opens it now.
func TestOldDataOpen(t *testing.T) {
	path := filepath.Join(t.TempDir(), "shop.db")
	if err := create(path); err != nil {
		t.Fatal(err)
	}
	first, err := fs.ReadFile(migrations.FS, "00001_facts.sql")
	if err != nil {
		t.Fatal(err)
	}
	db, err := pool(path, "_pragma=journal_mode(WAL)", 1)
	if err != nil {
		t.Fatal(err)
	}
	if err := claim(t.Context(), db); err != nil {
		t.Fatal(err)
	}
	old, err := goose.NewProvider(goose.DialectSQLite3, db, fstest.MapFS{"00001_facts.sql": {Data: first}},
		goose.WithDisableGlobalRegistry(true), goose.WithTableName(versionTable))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := old.Up(t.Context()); err != nil {
		t.Fatal(err)
	}
	for _, sql := range []string{
		`INSERT INTO car_version VALUES ('v', 1, 'c', 'AB 1', '', '', '', '', '', '2009-04', 'metric', '{}', '{}', 'kim', 1)`,
		`INSERT INTO renewal VALUES ('n', 2, 'c', 'pads', '2024-05-06', 81000, 'front axle', 'kim', 2)`,
		`UPDATE counter SET value = 2 WHERE name = 'arrival'`,
	} {
		if _, err := db.Exec(sql); err != nil {
			t.Fatal(err)
		}
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	s := reopen(t, path)
	err = s.View(t.Context(), func(r shop.Reader) error {
		list, err := r.Renewals(t.Context(), "c")
		if err == nil && (len(list) != 1 || list[0].At != "" || list[0].Km != 81000 || list[0].Note != "front axle") {
			t.Errorf("got %+v", list)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(table(t, s.readers, "car"), "\n"); !strings.Contains(got, "c|v|ab1") {
		t.Errorf("the list of cars is %q", got)
	}
}
