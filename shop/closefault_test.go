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

// atOnce is one action that is whole or not there: it prepares a workshop, gives the form, and checks the state after it.
type atOnce struct {
	name    string
	prepare func(b *bench, t testing.TB) []byte
	do      func(s *shop.Shop, form []byte) error
	// check wants exactly the facts of the step beyond so many old ones.
	check func(t testing.TB, b *bench, form []byte, old, now int)
	least int // operations that can fail
}

var wholes = []atOnce{
	{"close out", func(b *bench, t testing.TB) []byte { return jsonOf(t, b.closingOf(t)) },
		func(s *shop.Shop, form []byte) error { return s.CloseOut(ctx, formOf[shop.CloseOutInput](form)) }, checkClosed, 15},
	{"take back", func(b *bench, t testing.TB) []byte {
		in, _ := b.closed(t)
		return jsonOf(t, b.back(in))
	}, func(s *shop.Shop, form []byte) error {
		return s.TakeBackCloseOut(ctx, formOf[shop.CloseBackInput](form))
	}, checkBack, 15},
	{"close out again", func(b *bench, t testing.TB) []byte {
		in := b.closingOf(t)
		if err := b.CloseOut(ctx, in); err != nil {
			t.Fatal(err)
		}
		if err := b.TakeBackCloseOut(ctx, b.back(in)); err != nil {
			t.Fatal(err)
		}
		in.ID = b.id()
		return jsonOf(t, in)
	}, func(s *shop.Shop, form []byte) error { return s.CloseOut(ctx, formOf[shop.CloseOutInput](form)) }, checkClosed, 15},
}

func formOf[T any](form []byte) (in T) {
	if err := json.Unmarshal(form, &in); err != nil {
		panic(err)
	}
	return in
}

// TestCloseOutFaults lets the first operation of a close-out fail, then the second and so on until it goes through, and so of its taking
// back: whatever fails leaves the old state or, after the commit, the new one; sending the form again always brings the new one.
func TestCloseOutFaults(t *testing.T) {
	for _, c := range wholes {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t)
			form := c.prepare(b, t)
			old := b.facts(t)
			f := &failing{Store: b.store, fail: func() error { return errFault }}
			faulty := shop.New(shop.Config{Store: f, Catalogue: b.Catalogue(), Now: func() time.Time { return b.now }, NewID: b.id})
			failures := 0
			for n := 1; ; n++ {
				f.n = n
				err := c.do(faulty, form)
				if err == nil {
					break
				}
				failures++
				if !errors.Is(err, errFault) {
					t.Fatalf("operation %d: %v", n, err)
				}
				if now := b.facts(t); !slices.Equal(now, old) {
					c.check(t, b, form, len(old), len(now))
					break // the failure came after the commit
				}
			}
			if failures < c.least {
				t.Errorf("only %d failures", failures)
			}
			f.n = 0
			if err := c.do(faulty, form); err != nil {
				t.Fatal(err)
			}
			c.check(t, b, form, len(old), len(b.facts(t)))
		})
	}
}

// checkClosed wants exactly the facts of the close-out beyond the old ones: itself, a renewal, a round with four readings and its end.
func checkClosed(t testing.TB, b *bench, form []byte, old, now int) {
	t.Helper()
	if now != old+8 {
		t.Fatalf("%d facts became %d, expected %d", old, now, old+8)
	}
	in := formOf[shop.CloseOutInput](form)
	o, err := b.WorkOrder(ctx, in.DecisionID)
	if err != nil || o.Close == nil || o.Close.ID != in.ID {
		t.Fatalf("closed out: %+v, %v", o, err)
	}
}

// checkBack wants the end of the close-out, and the withdrawal of its renewal, its four readings, its round and its cause.
func checkBack(t testing.TB, b *bench, form []byte, old, now int) {
	t.Helper()
	if now != old+8 {
		t.Fatalf("%d facts became %d, expected %d", old, now, old+8)
	}
	in := formOf[shop.CloseBackInput](form)
	o, err := b.WorkOrder(ctx, in.DecisionID)
	if err != nil || o.Close != nil || len(o.Back) != 1 || o.Back[0].End.ID != in.ID {
		t.Fatalf("taken back: %+v, %v", o, err)
	}
	if s := b.carSight(t, in.DecisionID); len(s.Page.Renewals)+len(s.Causes)+len(s.Follows)+len(s.NotDone) > 0 || len(s.Page.Rounds) != 1 {
		t.Fatalf("something is left: %s", jsonOf(t, s))
	}
}

// closeVariable makes this test a process that is going to be killed: its value is the folder with the database.
const closeVariable = "WITNESSMARK_TEST_CLOSE"

// TestCloseOutKilled kills the process at each operation of a close-out and of its taking back. What is in the database afterwards is the
// old state or the new one.
func TestCloseOutKilled(t *testing.T) {
	if dir := os.Getenv(closeVariable); dir != "" {
		n, _ := strconv.Atoi(os.Getenv(closeVariable + "_N"))
		i, _ := strconv.Atoi(os.Getenv(closeVariable + "_STEP"))
		wholes[i].die(t, dir, n)
		return
	}
	for i, c := range wholes[:2] {
		t.Run(c.name, func(t *testing.T) { c.killed(t, i) })
	}
}

// killed lets processes die at the first operation of a step, then the second and so on until one dies after the commit.
func (c *atOnce) killed(t *testing.T, i int) {
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	olds, news := 0, 0
	for n := 1; news == 0; n++ {
		dir := t.TempDir()
		b := openBench(t, dir)
		form := c.prepare(b, t)
		old := b.facts(t)
		if err := b.store.Close(); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, "form.json"), form, 0o600); err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command(program, "-test.run=^TestCloseOutKilled$")
		cmd.Env = append(os.Environ(), closeVariable+"="+dir, closeVariable+"_N="+strconv.Itoa(n), closeVariable+"_STEP="+strconv.Itoa(i))
		out, err := cmd.CombinedOutput()
		var exit *exec.ExitError
		if !errors.As(err, &exit) || exit.Exited() {
			t.Fatalf("operation %d: the process was not killed: %v\n%s", n, err, out)
		}
		b = openBench(t, dir)
		if now := b.facts(t); slices.Equal(now, old) {
			olds++
			if err := c.do(b.Shop, form); err != nil {
				t.Fatalf("after being killed at operation %d: %v", n, err)
			}
		} else {
			news++
		}
		c.check(t, b, form, len(old), len(b.facts(t)))
		if err := b.store.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if olds < c.least {
		t.Errorf("killed %d times before the commit, %d times after it", olds, news)
	}
}

// die does the step in a process that kills itself at the n-th operation.
func (c *atOnce) die(t *testing.T, dir string, n int) {
	b := openBench(t, dir)
	form, err := os.ReadFile(filepath.Join(dir, "form.json"))
	if err != nil {
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
	t.Fatalf("it lived on: %v", c.do(s, form))
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
