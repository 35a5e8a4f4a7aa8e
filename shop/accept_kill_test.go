package shop_test

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"witnessmark/catalogue"
	"witnessmark/shop"
	"witnessmark/store/sqlite"
)

// killVariable makes this test program do one thing to a workshop and be killed on the way: "what database token step delay".
const killVariable = "WITNESSMARK_TEST_KILLED"

func TestMain(m *testing.M) {
	if job := os.Getenv(killVariable); job != "" {
		if err := beKilled(strings.Fields(job)); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// killedAt is when the killed child thinks it is: ten minutes after the estimate was made.
var killedAt = time.Date(2026, 3, 21, 9, 10, 0, 0, time.UTC)

// beKilled does the thing and kills itself so long after it came to a step, or not at all when it never comes there. Without a delay
// nothing more happens after the step.
func beKilled(job []string) error {
	at, err := strconv.Atoi(job[3])
	delay, err2 := time.ParseDuration(job[4])
	store, err3 := sqlite.Open(job[1])
	cat, err4 := catalogue.Default()
	if err := errors.Join(err, err2, err3, err4); err != nil {
		return err
	}
	self, err := os.FindProcess(os.Getpid())
	if err != nil {
		return err
	}
	n := 0
	s := shop.New(shop.Config{Catalogue: cat, Now: func() time.Time { return killedAt }, Store: &stepped{store, func(string) error {
		if n++; n != at {
			return nil
		}
		if delay == 0 {
			self.Kill()
			select {}
		}
		time.AfterFunc(delay, func() { self.Kill() })
		return nil
	}}})
	if err := acceptings[job[0]](s, job[2]); err != nil {
		return err
	}
	if n >= at {
		time.Sleep(time.Second) // the kill is under way
	}
	return store.Close()
}

// TestKilledAccepting kills the process at every step of accepting, on the page and spoken, and a little after the commit has begun. What
// is found afterwards is exactly the old state or the new one, and the form can be sent again.
func TestKilledAccepting(t *testing.T) {
	for _, what := range []string{"accepting", "speaking"} {
		kills, olds, news := 0, 0, 0
		var steps int
		for at := 1; ; at++ {
			found, killed := killedOnce(t, what, at, 0)
			if !killed {
				if found != 1 {
					t.Errorf("%s: not killed, and %d decisions", what, found)
				}
				break
			}
			steps, kills = at, kills+1
			if found == 1 {
				news++
			} else {
				olds++
			}
		}
		// The last step comes after the commit, so its state is the new one; that before it is the commit.
		if news != 1 || olds != steps-1 {
			t.Errorf("%s: %d steps, %d old states, %d new ones", what, steps, olds, news)
		}
		for _, delay := range []time.Duration{50, 150, 400, 800, 1500, 3000} {
			if found, _ := killedOnce(t, what, steps-1, delay*time.Microsecond); found == 1 {
				news++
			}
			kills++
		}
		t.Logf("%s: %d steps, %d kills, %d new states", what, steps, kills, news)
	}
}

// killedOnce gives how many decisions are there after a child was killed at a step, and whether it was.
func killedOnce(t *testing.T, what string, at int, delay time.Duration) (decisions int, killed bool) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "w.db")
	b := benchAt(t, path)
	car := b.car(t, nil)
	b.drawUp(t, car.CarID, asked("E-1", 1))
	b.drawUp(t, car.CarID, asked("E-1", 2))
	token := b.offer(t, "E-1")
	before := everything(t, b.store)
	b.store.Close()

	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), fmt.Sprintf("%s=%s %s %s %d %s", killVariable, what, path, token, at, delay))
	out, err := cmd.CombinedOutput()
	if exit := (*exec.ExitError)(nil); errors.As(err, &exit) && exit.ExitCode() == -1 {
		killed = true
	} else if err != nil {
		t.Fatalf("%s, step %d: %v\n%s", what, at, err, out)
	}
	b = benchAt(t, path)
	defer b.store.Close()
	if s, ok := b.store.(*sqlite.Store); !ok || s.Verify(ctx) != nil {
		t.Fatalf("%s, step %d: the database is damaged", what, at)
	}
	b.now = killedAt
	decisions = b.kinds(t, shop.KindDecision)
	if after := everything(t, b.store); decisions == 0 && after != before || decisions > 1 {
		t.Errorf("%s, step %d: %d decisions and\n%s\nbefore:\n%s", what, at, decisions, after, before)
	}
	if err := acceptings[what](b.Shop, token); err != nil {
		t.Errorf("%s, step %d, sent again: %v", what, at, err)
	}
	if n := b.kinds(t, shop.KindDecision); n != 1 {
		t.Errorf("%s, step %d, sent again: %d decisions", what, at, n)
	}
	return decisions, killed
}

// benchAt is a workshop on a database that outlives it.
func benchAt(t *testing.T, path string) *bench {
	t.Helper()
	store, err := sqlite.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	b := &bench{store: store, now: time.Date(2026, 3, 21, 9, 0, 0, 0, time.UTC)}
	b.Shop = shop.New(shop.Config{Store: store, Catalogue: cat, Now: func() time.Time { return b.now }, NewID: b.id, Name: "Bench"})
	return b
}
