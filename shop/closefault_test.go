package shop_test

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
	"time"

	"witnessmark/blob"
	"witnessmark/catalogue"
	"witnessmark/shop"
	"witnessmark/store/sqlite"
)

// failing is a store whose n-th operation in a write transaction does not come about: fail says what happens instead.
type failing struct {
	shop.Store
	n    int
	fail func() error
}

type failingWriter struct {
	shop.Writer
	s *failing
}

func (s *failing) Update(ctx context.Context, f func(shop.Writer) error) error {
	err := s.Store.Update(ctx, func(w shop.Writer) error {
		if err := f(failingWriter{w, s}); err != nil {
			return err
		}
		return s.step() // just before the commit
	})
	if err == nil {
		err = s.step() // just after it
	}
	return err
}

func (s *failing) step() error {
	if s.n--; s.n == 0 {
		return s.fail()
	}
	return nil
}

func (w failingWriter) Put(ctx context.Context, f shop.Fact) (bool, error) {
	if err := w.s.step(); err != nil {
		return false, err
	}
	return w.Writer.Put(ctx, f)
}

func (w failingWriter) Records(ctx context.Context, f shop.RecordFilter) ([]shop.Record, error) {
	if err := w.s.step(); err != nil {
		return nil, err
	}
	return w.Writer.Records(ctx, f)
}

func (w failingWriter) Record(ctx context.Context, id string) (shop.Record, error) {
	if err := w.s.step(); err != nil {
		return shop.Record{}, err
	}
	return w.Writer.Record(ctx, id)
}

// closingOf prepares a car with agreed work and gives its close-out.
func (b *bench) closingOf(t testing.TB) shop.CloseOutInput {
	c := b.car(t, nil)
	r := b.worn(t, c.CarID)
	in := b.closing(b.agreed(t, c.CarID, r.ID, all...), "pads", "wash")
	in.Readings = padReadings("11.5")
	return in
}

var errFault = errors.New("the disk is on fire")

// TestCloseOutFaults lets the first operation of a close-out fail, then the second and so on until it goes through: whatever fails leaves
// the old state or, after the commit, the new one; sending the form again always brings the new one.
func TestCloseOutFaults(t *testing.T) {
	b := newBench(t)
	in := b.closingOf(t)
	old := b.facts(t)
	f := &failing{Store: b.store, fail: func() error { return errFault }}
	faulty := shop.New(shop.Config{Store: f, Catalogue: b.Catalogue(), Now: func() time.Time { return b.now }, NewID: b.id})
	failures := 0
	for n := 1; ; n++ {
		f.n = n
		err := faulty.CloseOut(ctx, in)
		if err == nil {
			break
		}
		failures++
		if !errors.Is(err, errFault) {
			t.Fatalf("operation %d: %v", n, err)
		}
		if now := b.facts(t); !slices.Equal(now, old) {
			checkClosed(t, b, in, len(old), now)
			break // the failure came after the commit
		}
	}
	if failures < 15 {
		t.Errorf("only %d failures", failures)
	}
	f.n = 0
	if err := faulty.CloseOut(ctx, in); err != nil {
		t.Fatal(err)
	}
	checkClosed(t, b, in, len(old), b.facts(t))
}

// checkClosed wants exactly the facts of the close-out beyond the old ones: itself, a renewal, a round with four readings and its end.
func checkClosed(t testing.TB, b *bench, in shop.CloseOutInput, old int, now []string) {
	t.Helper()
	if len(now) != old+8 {
		t.Fatalf("%d facts became %d, expected %d", old, len(now), old+8)
	}
	o, err := b.WorkOrder(ctx, in.DecisionID)
	if err != nil || o.Close == nil || o.Close.ID != in.ID {
		t.Fatalf("closed out: %+v, %v", o, err)
	}
}

// closeVariable makes this test a process that is going to be killed: its value is the folder with the database.
const closeVariable = "WITNESSMARK_TEST_CLOSE"

// TestCloseOutKilled kills the process at each operation of a close-out. What is in the database afterwards is the old state or the new one.
func TestCloseOutKilled(t *testing.T) {
	if dir := os.Getenv(closeVariable); dir != "" {
		n, _ := strconv.Atoi(os.Getenv(closeVariable + "_N"))
		closeAndDie(t, dir, n)
		return
	}
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	olds, news := 0, 0
	for n := 1; news == 0; n++ {
		dir := t.TempDir()
		b := openBench(t, dir)
		in := b.closingOf(t)
		old := b.facts(t)
		if err := b.store.Close(); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, "close.json"), jsonOf(t, in), 0o600); err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command(program, "-test.run=^TestCloseOutKilled$")
		cmd.Env = append(os.Environ(), closeVariable+"="+dir, closeVariable+"_N="+strconv.Itoa(n))
		out, err := cmd.CombinedOutput()
		var exit *exec.ExitError
		if !errors.As(err, &exit) || exit.Exited() {
			t.Fatalf("operation %d: the process was not killed: %v\n%s", n, err, out)
		}
		b = openBench(t, dir)
		if now := b.facts(t); slices.Equal(now, old) {
			olds++
			if err := b.CloseOut(ctx, in); err != nil {
				t.Fatalf("after being killed at operation %d: %v", n, err)
			}
		} else {
			news++
		}
		checkClosed(t, b, in, len(old), b.facts(t))
		if err := b.store.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if olds < 15 {
		t.Errorf("killed %d times before the commit, %d times after it", olds, news)
	}
}

// closeAndDie closes the prepared work out in a process that kills itself at the n-th operation.
func closeAndDie(t *testing.T, dir string, n int) {
	b := openBench(t, dir)
	data, err := os.ReadFile(filepath.Join(dir, "close.json"))
	if err != nil {
		t.Fatal(err)
	}
	var in shop.CloseOutInput
	if err := json.Unmarshal(data, &in); err != nil {
		t.Fatal(err)
	}
	f := &failing{Store: b.store, n: n, fail: func() error {
		p, err := os.FindProcess(os.Getpid())
		if err == nil {
			err = p.Kill()
		}
		time.Sleep(time.Minute)
		return err
	}}
	s := shop.New(shop.Config{Store: f, Catalogue: b.Catalogue(), Now: func() time.Time { return b.now }, NewID: b.id})
	t.Fatalf("it lived on: %v", s.CloseOut(ctx, in))
}

// openBench is newBench in a folder that outlives it.
func openBench(t testing.TB, dir string) *bench {
	t.Helper()
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	store, err := sqlite.Open(filepath.Join(dir, "w.db"))
	if err != nil {
		t.Fatal(err)
	}
	photos, err := blob.Open(filepath.Join(dir, "photos"), time.Now())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close(); photos.Close() })
	b := &bench{store: store, now: time.Date(2026, 3, 21, 9, 0, 0, 0, time.UTC)}
	b.Shop = shop.New(shop.Config{Store: store, Photos: photos, Catalogue: cat, Now: func() time.Time { return b.now }, NewID: b.id, Name: "Bench"})
	return b
}
