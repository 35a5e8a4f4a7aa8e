// Command tally reads what `go test -json` writes, shows the output of what failed and nothing of what passed, and
// writes the two counts "passed failed" into a file. A skipped test counts as failed: it has shown nothing.
package main

import (
	"bufio"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"
)

// event is one line of `go test -json`.
type event struct {
	Action     string
	Package    string
	ImportPath string
	Test       string
	Output     string
	Elapsed    float64
}

// tally counts the tests of a run. Only leaves count: a test with subtests stands for them.
type tally struct {
	out            io.Writer
	lines          map[string][]string
	parent         map[string]bool
	broken         map[string]bool // packages with a failed test
	passed, failed int
}

func newTally(out io.Writer) *tally {
	return &tally{out: out, lines: map[string][]string{}, parent: map[string]bool{}, broken: map[string]bool{}}
}

func main() {
	counts := flag.String("counts", "", "file for the two counts")
	flag.Parse()
	t := newTally(os.Stdout)
	if err := t.read(os.Stdin); err != nil {
		fmt.Fprintln(os.Stderr, "tally:", err)
		os.Exit(2)
	}
	fmt.Printf("%d tests passed, %d failed\n", t.passed, t.failed)
	if *counts != "" {
		if err := os.WriteFile(*counts, fmt.Appendf(nil, "%d %d\n", t.passed, t.failed), 0o600); err != nil {
			fmt.Fprintln(os.Stderr, "tally:", err)
			os.Exit(2)
		}
	}
	if t.failed > 0 || t.passed == 0 {
		os.Exit(1)
	}
}

// read takes every line. A line that is no event (a build error on some versions) is shown as it is.
func (t *tally) read(r io.Reader) error {
	in := bufio.NewScanner(r)
	in.Buffer(nil, 16<<20)
	for in.Scan() {
		var e event
		if json.Unmarshal(in.Bytes(), &e) != nil {
			fmt.Fprintln(t.out, in.Text())
			continue
		}
		t.take(e)
	}
	return in.Err()
}

func (t *tally) take(e event) {
	key := e.Package + "\x00" + e.Test
	switch e.Action {
	case "run":
		if i := strings.LastIndexByte(e.Test, '/'); i > 0 {
			t.parent[e.Package+"\x00"+e.Test[:i]] = true
		}
	case "output":
		t.lines[key] = append(t.lines[key], e.Output)
	case "build-output":
		fmt.Fprint(t.out, e.Output)
	case "pass":
		if e.Test != "" && !t.parent[key] {
			t.passed++
		}
		delete(t.lines, key)
	case "fail":
		t.lost(e, key)
	case "skip":
		if e.Test != "" {
			t.lines[key] = append(t.lines[key], "    skipped, which counts as failed\n")
			t.lost(e, key)
		}
	}
}

// lost counts a failure and shows what the test printed. A package that fails without a failed test (it did not
// build, it ran out of time, its TestMain failed) is one failure.
func (t *tally) lost(e event, key string) {
	if e.Test == "" {
		if !t.broken[e.Package] {
			t.failed++
		}
		fmt.Fprintf(t.out, "FAIL %s\n%s", e.Package, strings.Join(t.lines[key], ""))
		return
	}
	t.broken[e.Package] = true
	if !t.parent[key] {
		t.failed++
	}
	fmt.Fprintf(t.out, "FAIL %s %s\n%s", e.Package, e.Test, strings.Join(t.lines[key], ""))
	delete(t.lines, key)
}
