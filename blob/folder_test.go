package blob

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"witnessmark/shop"

	"pgregory.net/rapid"
)

var now = time.Date(2026, 3, 21, 9, 0, 0, 0, time.UTC)

func open(t testing.TB, dir string) *Folder {
	t.Helper()
	f, err := Open(dir, now)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

func get(t testing.TB, f *Folder, hash string) []byte {
	t.Helper()
	r, err := f.Get(context.Background(), hash)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	data, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func hashOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

func files(t testing.TB, dir string) (names []string) {
	t.Helper()
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			names = append(names, d.Name())
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}

func TestPutGivesTheHashAndGetTheBytes(t *testing.T) {
	f := open(t, t.TempDir())
	rapid.Check(t, func(r *rapid.T) {
		data := rapid.SliceOfN(rapid.Byte(), 1, 4000).Draw(r, "data")
		hash, err := f.Put(context.Background(), data)
		if err != nil {
			r.Fatal(err)
		}
		if hash != hashOf(data) {
			r.Fatalf("hash %s, expected %s", hash, hashOf(data))
		}
		if !bytes.Equal(get(t, f, hash), data) {
			r.Fatal("other bytes came back")
		}
	})
}

func TestTheSameBytesAreKeptOnce(t *testing.T) {
	dir := t.TempDir()
	f := open(t, dir)
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			if _, err := f.Put(context.Background(), []byte("one photo")); err != nil {
				t.Error(err)
			}
		})
	}
	group.Wait()
	if got := files(t, dir); len(got) != 1 || got[0] != hashOf([]byte("one photo")) {
		t.Errorf("files %q, expected one named by its hash", got)
	}
}

func TestFilesAreForTheOwnerOnly(t *testing.T) {
	dir := t.TempDir()
	hash, err := open(t, dir).Put(context.Background(), []byte("private"))
	if err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(filepath.Join(dir, place(hash)))
	if err != nil {
		t.Fatal(err)
	}
	if info.Mode().Perm() != 0o600 {
		t.Errorf("mode %v, expected 0600", info.Mode().Perm())
	}
}

func TestOnlyHashesNameAPhoto(t *testing.T) {
	dir := t.TempDir()
	f := open(t, filepath.Join(dir, "photos"))
	if err := os.WriteFile(filepath.Join(dir, "secret"), []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	upper := strings.ToUpper(hashOf([]byte("never stored")))
	for _, name := range []string{"", "..", "../secret", "/etc/hosts", strings.Repeat("../", 22)[:64], upper, hashOf([]byte("never stored")), "zz"} {
		if _, err := f.Get(context.Background(), name); !errors.Is(err, shop.ErrNotFound) {
			t.Errorf("Get(%q): %v, expected not found", name, err)
		}
	}
}

func TestDamageIsNoticedAndHealedByStoringAgain(t *testing.T) {
	dir := t.TempDir()
	f := open(t, dir)
	data := []byte("pads, front left")
	hash, err := f.Put(context.Background(), data)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, place(hash))
	for _, bad := range []string{"", "pads, front lefu", "pads, front left and more"} {
		if err := os.WriteFile(path, []byte(bad), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := f.Get(context.Background(), hash); !errors.Is(err, ErrDamaged) {
			t.Errorf("content %q: %v, expected damaged", bad, err)
		}
		if _, err := f.Put(context.Background(), data); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(get(t, f, hash), data) {
			t.Errorf("content %q: not healed", bad)
		}
	}
}

func TestSizesThatAreRefused(t *testing.T) {
	dir := t.TempDir()
	f := open(t, dir)
	for _, n := range []int{0, MaxBytes + 1} {
		if _, err := f.Put(context.Background(), make([]byte, n)); err == nil {
			t.Errorf("%d bytes were taken", n)
		}
	}
	if got := files(t, dir); len(got) != 0 {
		t.Errorf("left behind: %q", got)
	}
}

func TestLeftoversAreSweptOnOpen(t *testing.T) {
	dir := t.TempDir()
	keep, err := open(t, dir).Put(context.Background(), []byte("kept"))
	if err != nil {
		t.Fatal(err)
	}
	for name, age := range map[string]time.Duration{"part-old": 2 * time.Hour, "part-new": time.Minute, "note.txt": 50 * time.Hour} {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte("half"), 0o600); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(path, now.Add(-age), now.Add(-age)); err != nil {
			t.Fatal(err)
		}
	}
	f := open(t, dir)
	if got, want := fmt.Sprint(files(t, dir)), fmt.Sprint([]string{keep, "note.txt", "part-new"}); got != want {
		t.Errorf("files %s, expected %s", got, want)
	}
	get(t, f, keep)
}

// TestAFaultAtEveryStep lets the n-th step fail, for n = 1, 2, 3 ... until storing completes: afterwards the photo is
// whole or absent, no unfinished file is left, and storing again works.
func TestAFaultAtEveryStep(t *testing.T) {
	data := bytes.Repeat([]byte("lining "), 500)
	broken := errors.New("disk fault")
	for n := 1; ; n++ {
		dir := t.TempDir()
		f := open(t, dir)
		count, step := 0, ""
		f.fault = func(s string) error {
			if count++; count == n {
				step = s
				return broken
			}
			return nil
		}
		_, err := f.Put(context.Background(), data)
		f.fault = nil
		if step == "" {
			if err != nil || n < 8 {
				t.Fatalf("completed after %d steps with %v", n-1, err)
			}
			return
		}
		if !errors.Is(err, broken) {
			t.Fatalf("fault at step %d (%s): %v", n, step, err)
		}
		for _, name := range files(t, dir) {
			if name != hashOf(data) {
				t.Errorf("fault at step %d (%s) left %s behind", n, step, name)
			}
		}
		if r, err := f.Get(context.Background(), hashOf(data)); err == nil {
			r.Close()
		} else if !errors.Is(err, shop.ErrNotFound) {
			t.Errorf("fault at step %d (%s): then %v", n, step, err)
		}
		if _, err := f.Put(context.Background(), data); err != nil {
			t.Errorf("fault at step %d (%s): storing again: %v", n, step, err)
		}
	}
}

func TestACancelledCallStoresNothing(t *testing.T) {
	dir := t.TempDir()
	f := open(t, dir)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := f.Put(ctx, []byte("x")); !errors.Is(err, context.Canceled) {
		t.Errorf("Put: %v", err)
	}
	if _, err := f.Get(ctx, hashOf([]byte("x"))); !errors.Is(err, context.Canceled) {
		t.Errorf("Get: %v", err)
	}
	if got := files(t, dir); len(got) != 0 {
		t.Errorf("left behind: %q", got)
	}
}

func TestOpenNeedsADirectory(t *testing.T) {
	path := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(path, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(path, now); err == nil {
		t.Error("a file was opened as a folder")
	}
}

// Budget: 20 ms for a 400 kB photo on a disk that takes 5 ms to sync; 3 ms to read one back, checked.
func BenchmarkPutAndGet(b *testing.B) {
	f := open(b, b.TempDir())
	data := bytes.Repeat([]byte{1, 2, 3, 4}, 100_000)
	for i := 0; b.Loop(); i++ {
		copy(data, fmt.Sprint(i))
		hash, err := f.Put(context.Background(), data)
		if err != nil {
			b.Fatal(err)
		}
		r, err := f.Get(context.Background(), hash)
		if err != nil {
			b.Fatal(err)
		}
		r.Close()
	}
}
