package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// longCase is a case that no search proves in any time that a test has: loose room, many jobs much alike.
func longCase() string {
	r := rand.New(rand.NewPCG(1, 2))
	var visits, setups, jobs []string
	for v := range 60 {
		visits = append(visits, fmt.Sprintf(`{"id":"v%d","day":%d,"fixed_cost":80,"labour_capacity_h":6.5}`, v, 7*v))
	}
	for s := range 12 {
		setups = append(setups, fmt.Sprintf(`{"id":"s%d","cost":%d,"labour_h":0.5}`, s, 20+r.IntN(60)))
	}
	for j := range 160 {
		due := 20 + r.IntN(380)
		jobs = append(jobs, fmt.Sprintf(`{"id":"j%d","labour_h":%.1f,"cost":%d,"setups":["s%d","s%d"],"due_day":%d,"hard_day":%d,"life_days":700,"value":%d,"late_cost_per_day":%.2f}`,
			j, 0.5+float64(r.IntN(20))/10, 30+r.IntN(200), r.IntN(6), 6+r.IntN(6), due, due+120, 50+r.IntN(400), 0.5+r.Float64()))
	}
	return fmt.Sprintf(`{"visits":[%s],"setups":[%s],"jobs":[%s]}`, strings.Join(visits, ","), strings.Join(setups, ","), strings.Join(jobs, ","))
}

// TestVisitsInterrupted: a search that is interrupted writes what it has, and succeeds.
func TestVisitsInterrupted(t *testing.T) {
	file := filepath.Join(t.TempDir(), "long.json")
	if err := os.WriteFile(file, []byte(longCase()), 0o600); err != nil {
		t.Fatal(err)
	}
	// The test outlives a signal that comes before the command listens for it, or after it has ended.
	kept := make(chan os.Signal, 1)
	signal.Notify(kept, syscall.SIGTERM)
	defer signal.Stop(kept)
	var out, bad bytes.Buffer
	done := make(chan int, 1)
	go func() { done <- run([]string{"visits", file, "--json"}, console{strings.NewReader(""), &out, &bad}) }()
	tick := time.NewTicker(50 * time.Millisecond)
	defer tick.Stop()
	for {
		select {
		case <-tick.C:
			if err := syscall.Kill(os.Getpid(), syscall.SIGTERM); err != nil {
				t.Fatal(err)
			}
			continue
		case status := <-done:
			if status != 0 || bad.Len() > 0 {
				t.Fatalf("status %d: %s", status, bad.String())
			}
		}
		break
	}
	var a visitsAnswer
	if err := json.Unmarshal(out.Bytes(), &a); err != nil {
		t.Fatalf("%v: %s", err, out.String())
	}
	if a.Status != "feasible" && a.Status != "unknown" {
		t.Errorf("status %s; expected a search without its proof", a.Status)
	}
	if a.Status == "feasible" && (len(a.Assignment) != 160 || !(*a.Bound < *a.Objective)) {
		t.Errorf("%d jobs, bound %v, objective %v", len(a.Assignment), *a.Bound, *a.Objective)
	}
}
