package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"

	"witnessmark/shop"
)

// table reads a whole table as text, in order of its first column.
func table(t *testing.T, db *sql.DB, name string) []string {
	t.Helper()
	rows, err := db.Query("SELECT * FROM " + name + " ORDER BY 1")
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	columns, err := rows.Columns()
	if err != nil {
		t.Fatal(err)
	}
	var lines []string
	for rows.Next() {
		values := make([]any, len(columns))
		for i := range values {
			values[i] = new(any)
		}
		if err := rows.Scan(values...); err != nil {
			t.Fatal(err)
		}
		var line []string
		for _, v := range values {
			line = append(line, fmt.Sprintf("%v", *v.(*any)))
		}
		lines = append(lines, strings.Join(line, "|"))
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	return lines
}

// fillMixed puts cars with versions and rounds in an order that no rebuild would see them in.
func fillMixed(t *testing.T, s *Store) {
	t.Helper()
	for from := 0; from < 700; from += 35 {
		var facts []shop.Fact
		for i := from; i < from+35; i++ {
			carID := fmt.Sprintf("c-%d", i%610)
			facts = append(facts, shop.Fact{Car: &shop.CarVersion{ID: fmt.Sprintf("v-%d", i), CarID: carID, Plate: fmt.Sprintf("P %d", i)}})
			if i%3 == 0 {
				facts = append(facts, shop.Fact{Round: &shop.RoundFact{ID: fmt.Sprintf("r-%d", i), CarID: carID, On: fmt.Sprintf("2026-01-%02d", 28-i%28)}})
			}
		}
		if err := putAll(t.Context(), s, facts, false); err != nil {
			t.Fatal(err)
		}
	}
}

func TestReadModelEqualsRebuild(t *testing.T) {
	s := fresh(t)
	fillMixed(t, s)
	kept := table(t, s.readers, "car")
	if len(kept) != 610 {
		t.Fatalf("%d cars", len(kept))
	}
	if err := s.Rebuild(t.Context()); err != nil {
		t.Fatal(err)
	}
	if got := table(t, s.readers, "car"); strings.Join(got, "\n") != strings.Join(kept, "\n") {
		t.Error("the read model that was kept is not the one that is rebuilt")
	}
}

func TestOpenRebuildsReadModelOfOtherRules(t *testing.T) {
	path := filepath.Join(t.TempDir(), "shop.db")
	s := reopen(t, path)
	fillMixed(t, s)
	kept := table(t, s.readers, "car")
	for _, wreck := range []string{"UPDATE counter SET value = 0 WHERE name = 'read-model'", "UPDATE car SET search = 'old rules'",
		"DELETE FROM car WHERE car_id LIKE '%7'"} {
		if _, err := s.writer.Exec(wreck); err != nil {
			t.Fatal(err)
		}
	}
	s.Close()
	s = reopen(t, path)
	if got := table(t, s.readers, "car"); strings.Join(got, "\n") != strings.Join(kept, "\n") {
		t.Error("the read model was not made again")
	}
}

func TestBackup(t *testing.T) {
	s := fresh(t)
	fillMixed(t, s)
	ctx := t.Context()
	path := filepath.Join(t.TempDir(), "copy's [1].db")
	if err := s.Backup(ctx, path); err != nil {
		t.Fatal(err)
	}
	if err := s.Backup(ctx, path); !errors.Is(err, fs.ErrExist) {
		t.Error("a backup was overwritten")
	}
	copied := reopen(t, path)
	for _, name := range []string{"car_version", "round", "car", "counter"} {
		if strings.Join(table(t, copied.readers, name), "\n") != strings.Join(table(t, s.readers, name), "\n") {
			t.Errorf("the table %s differs", name)
		}
	}
	if err := copied.Verify(ctx); err != nil {
		t.Error(err)
	}
}

func TestBackupLeavesNothingAfterAnError(t *testing.T) {
	s := fresh(t)
	dir := t.TempDir()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := s.Backup(ctx, filepath.Join(dir, "copy.db")); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestVerifyFindsMissingReference(t *testing.T) {
	s := fresh(t)
	if _, err := s.writer.Exec("PRAGMA foreign_keys = 0"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.writer.Exec("INSERT INTO share_end (id, seq, share_id, by_whom, received_at) VALUES ('z', 1, 'gone', '', 1)"); err != nil {
		t.Fatal(err)
	}
	if err := s.Verify(t.Context()); err == nil || !strings.Contains(err.Error(), "missing") {
		t.Errorf("got %v", err)
	}
}
