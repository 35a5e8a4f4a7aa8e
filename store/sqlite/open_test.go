package sqlite

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// fresh opens a new store that is closed with the test.
func fresh(t testing.TB) *Store {
	t.Helper()
	return reopen(t, filepath.Join(t.TempDir(), "shop.db"))
}

func reopen(t testing.TB, path string) *Store {
	t.Helper()
	s, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

func TestOpenCreatesDirectoryAndPrivateFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a b", "100% ours?", "shop #1.db")
	reopen(t, path)
	for _, name := range []string{path, path + "-wal", path + "-shm"} {
		info, err := os.Stat(name)
		if err != nil {
			t.Fatal(err)
		}
		if runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
			t.Errorf("%s has the permissions %v", filepath.Base(name), info.Mode().Perm())
		}
	}
}

func TestOpenRefusesWhatIsNoPath(t *testing.T) {
	for _, path := range []string{"", ":memory:", "file::memory:"} {
		if s, err := Open(path); err == nil {
			s.Close()
			t.Errorf("Open(%q) took it", path)
		}
	}
}

func TestOpenRefusesNewerDatabase(t *testing.T) {
	path := filepath.Join(t.TempDir(), "shop.db")
	s := reopen(t, path)
	if _, err := s.writer.Exec("INSERT INTO schema_version (version_id, is_applied) VALUES (900, 1)"); err != nil {
		t.Fatal(err)
	}
	s.Close()
	before := contentOf(t, path)
	_, err := Open(path)
	if !errors.Is(err, ErrNewer) || !strings.Contains(err.Error(), "schema 900") {
		t.Fatalf("got %v", err)
	}
	if contentOf(t, path) != before {
		t.Error("the refused database was changed")
	}
}

func TestOpenRefusesForeignDatabase(t *testing.T) {
	path := filepath.Join(t.TempDir(), "other.db")
	if err := create(path); err != nil {
		t.Fatal(err)
	}
	db, err := pool(path, "", 1)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec("CREATE TABLE theirs (x TEXT)"); err != nil {
		t.Fatal(err)
	}
	db.Close()
	if _, err := Open(path); !errors.Is(err, ErrForeign) {
		t.Fatalf("got %v", err)
	}
}

func TestOpenRefusesWhatIsNoDatabase(t *testing.T) {
	path := filepath.Join(t.TempDir(), "letter.db")
	letter := strings.Repeat("This is a letter, not a database. ", 100)
	if err := os.WriteFile(path, []byte(letter), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(path); err == nil || !strings.Contains(err.Error(), "not a database") {
		t.Fatalf("got %v", err)
	}
	if contentOf(t, path) != letter {
		t.Error("the refused file was changed")
	}
}

func TestSettingsAreReadBack(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	for _, wrong := range []string{
		"PRAGMA synchronous = NORMAL", "PRAGMA foreign_keys = 0", "PRAGMA busy_timeout = 0", "PRAGMA fullfsync = 0",
	} {
		if err := checkSettings(ctx, s.writer, writerSettings); err != nil {
			t.Fatal(err)
		}
		if _, err := s.writer.Exec(wrong); err != nil {
			t.Fatal(err)
		}
		if err := checkSettings(ctx, s.writer, writerSettings); err == nil {
			t.Errorf("%s went unnoticed", wrong)
		}
		s.writer.Exec("PRAGMA synchronous = FULL")
		s.writer.Exec("PRAGMA foreign_keys = 1")
		s.writer.Exec("PRAGMA busy_timeout = 5000")
		s.writer.Exec("PRAGMA fullfsync = 1")
	}
	if _, err := s.readers.Exec("INSERT INTO counter (name, value) VALUES ('x', 1)"); err == nil {
		t.Error("a reader could write")
	}
}

func TestEveryConnectionHasTheSettings(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	for range readerCount {
		conn, err := s.readers.Conn(ctx)
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		var synchronous, only int
		if err := conn.QueryRowContext(ctx, "PRAGMA synchronous").Scan(&synchronous); err != nil {
			t.Fatal(err)
		}
		if err := conn.QueryRowContext(ctx, "PRAGMA query_only").Scan(&only); err != nil {
			t.Fatal(err)
		}
		if synchronous != 2 || only != 1 {
			t.Errorf("synchronous %d, query_only %d", synchronous, only)
		}
	}
}

func TestCloseAgain(t *testing.T) {
	s := fresh(t)
	if err := errors.Join(s.Close(), s.Close()); err != nil {
		t.Fatal(err)
	}
}

func contentOf(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}
