package sqlite

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"witnessmark/shop"
)

// writerVariable makes this test program a writer that is going to be killed: its value is the database.
const writerVariable = "WITNESSMARK_TEST_WRITER"

// benchDir is where benchmarks keep their database; it is removed when the tests end.
var benchDir string

func TestMain(m *testing.M) {
	if path := os.Getenv(writerVariable); path != "" {
		fmt.Fprintln(os.Stderr, writeForEver(path, os.Getenv(writerVariable+"_NAME")))
		os.Exit(1)
	}
	code := m.Run()
	if benchDir != "" {
		os.RemoveAll(benchDir)
	}
	os.Exit(code)
}

// perTransaction is how many readings the writer puts at once.
const perTransaction = 3

// writeForEver prints the number of a transaction as soon as it was acknowledged.
func writeForEver(path, name string) error {
	ctx := context.Background()
	s, err := Open(path)
	if err != nil {
		return err
	}
	for i := 0; ; i++ {
		err := s.Update(ctx, func(w shop.Writer) error {
			for j := range perTransaction {
				f := shop.Fact{Reading: &shop.ReadingFact{ID: fmt.Sprintf("%s-%d-%d", name, i, j), RoundID: "r", CarID: "c"}}
				if _, err := w.Put(ctx, f); err != nil {
					return err
				}
			}
			// A record goes with its task, like everything that is to be done because of what was stored.
			id := fmt.Sprintf("%s-%d", name, i)
			if _, err := w.Put(ctx, shop.Fact{Record: &shop.Record{ID: id, Kind: shop.KindFeed, Body: []byte(`{"token_hash":"x","name":""}`)}}); err != nil {
				return err
			}
			return w.Enqueue(ctx, shop.Task{Kind: "feed", Ref: id})
		})
		if err != nil {
			return err
		}
		fmt.Println(i)
	}
}

// TestKilledWriter kills a writing process again and again. Whatever it had acknowledged must be there, and of the
// transaction that was under way all or nothing.
func TestKilledWriter(t *testing.T) {
	path := filepath.Join(t.TempDir(), "shop.db")
	s := reopen(t, path)
	if err := putAll(t.Context(), s, []shop.Fact{{Car: &shop.CarVersion{ID: "v", CarID: "c"}},
		{Round: &shop.RoundFact{ID: "r", CarID: "c", On: "2026-03-21"}}}, false); err != nil {
		t.Fatal(err)
	}
	s.Close()
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 1))
	acknowledged := map[string]int{}
	kills, total := 0, 0
	for end := time.Now().Add(4 * time.Second); time.Now().Before(end); kills++ {
		name := fmt.Sprintf("life%d", kills)
		acknowledged[name] = killedLife(t, path, name, 1+random.IntN(60), time.Duration(random.IntN(4000))*time.Microsecond)
		total += acknowledged[name]
		checkSurvivors(t, path, acknowledged)
	}
	t.Logf("%d kills, %d acknowledged transactions", kills, total)
	if kills < 3 || total < kills {
		t.Errorf("only %d kills and %d acknowledged transactions", kills, total)
	}
}

// killedLife starts a writer, kills it some time after so many acknowledged transactions and gives their number.
func killedLife(t *testing.T, path, name string, after int, delay time.Duration) (acknowledged int) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), writerVariable+"="+path, writerVariable+"_NAME="+name)
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	for lines := bufio.NewScanner(out); lines.Scan(); {
		if got := lines.Text(); got != fmt.Sprint(acknowledged) {
			break // the last line may be cut
		}
		if acknowledged++; acknowledged == after {
			time.AfterFunc(delay, func() { cmd.Process.Kill() })
		}
	}
	cmd.Wait()
	if acknowledged < after {
		t.Fatalf("the writer gave up after %d transactions", acknowledged)
	}
	return acknowledged
}

// TestKilledWhileOpening kills a process while it makes a new database. The next start must be able to go on.
func TestKilledWhileOpening(t *testing.T) {
	dir := t.TempDir()
	for i := range 12 {
		path := filepath.Join(dir, fmt.Sprintf("shop%d.db", i))
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), writerVariable+"="+path, writerVariable+"_NAME=x")
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		for {
			if _, err := os.Stat(path); err == nil {
				break
			}
			time.Sleep(time.Millisecond / 4)
		}
		time.Sleep(time.Duration(i) * 2 * time.Millisecond)
		cmd.Process.Kill()
		cmd.Wait()
		s, err := Open(path)
		if err != nil {
			t.Fatalf("killed %d ms after the file was made: %v", 2*i, err)
		}
		err = putAll(t.Context(), s, bigFacts("after"), false)
		if err := errors.Join(err, s.Verify(t.Context()), s.Close()); err != nil {
			t.Fatalf("killed %d ms after the file was made: %v", 2*i, err)
		}
	}
}

func checkSurvivors(t *testing.T, path string, acknowledged map[string]int) {
	t.Helper()
	s, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if err := s.Verify(t.Context()); err != nil {
		t.Fatal(err)
	}
	there := map[string]bool{}
	err = s.View(t.Context(), func(r shop.Reader) error {
		all, err := r.Readings(t.Context(), "r")
		for _, f := range all {
			there[f.ID] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	expected := 0
	for name, n := range acknowledged {
		// Any number of later ones may have been committed without the answer being read, but none in part.
		for i := 0; i < n || there[fmt.Sprintf("%s-%d-0", name, i)]; i++ {
			for j := range perTransaction {
				if id := fmt.Sprintf("%s-%d-%d", name, i, j); !there[id] {
					t.Fatalf("the reading %s is lost", id)
				}
				expected++
			}
		}
	}
	if len(there) != expected {
		t.Fatalf("%d readings, of them %d of whole transactions", len(there), expected)
	}
	records, tasks := refs(t, s)
	if !slices.Equal(records, tasks) {
		t.Fatalf("%d records and %d tasks differ", len(records), len(tasks))
	}
	if len(records)*perTransaction != expected {
		t.Fatalf("%d records, %d readings", len(records), expected)
	}
}
