package sheet

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"slices"
	"testing"
	"time"

	"witnessmark/core/judge"
	"witnessmark/core/point"
	"witnessmark/core/verdict"
)

var update = flag.Bool("update", false, "write the golden files anew")

// judged reads a sheet file and writes its findings as the command does.
func judged(t *testing.T, cat *point.Catalogue, name string) ([]byte, Findings) {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	s, err := Read(f)
	if err != nil {
		t.Fatal(err)
	}
	car, taken, err := s.Resolve(cat, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	out := Write(judge.Judge(cat, car, taken, point.Full))
	// The catalogue's version changes with every word of it and is left out of the golden file.
	out.Coverage.Catalogue = ""
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	if err := enc.Encode(out); err != nil {
		t.Fatal(err)
	}
	return b.Bytes(), out
}

// TestContract judges the documented example and compares the bytes with the golden file, many times over, because the
// same sheet must give the same bytes on every run. Rewrite with: go test ./sheet -run Contract -update
func TestContract(t *testing.T) {
	cat := base(t)
	got, _ := judged(t, cat, "testdata/contract.json")
	if *update {
		if err := os.WriteFile("testdata/contract.golden.json", got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile("testdata/contract.golden.json")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("the findings of the documented sheet have changed; if that is meant, run with -update.\ngot\n%s", got)
	}
	for range 20 {
		again, _ := judged(t, base(t), "testdata/contract.json")
		if !bytes.Equal(again, got) {
			t.Fatal("the same sheet gave other bytes")
		}
	}
}

// TestContractSays checks the parts of the example that its description promises, apart from the golden file.
func TestContractSays(t *testing.T) {
	cat := base(t)
	_, out := judged(t, cat, "testdata/contract.json")
	want := []struct{ point, at, verdict, category string }{
		{"brake-fluid-look", "", "overdue", "major"}, {"coolant-level", "", "due", ""},
		{"tyre-tread", "FL/outer", "watch", ""}, {"tyre-date", "FL", "watch", ""},
	}
	if len(out.Findings) != len(want) {
		t.Fatalf("%d findings, want %d", len(out.Findings), len(want))
	}
	last := 9
	for i, f := range out.Findings {
		w := want[i]
		if f.Point != w.point || f.At != w.at || f.Verdict != w.verdict || f.Category != w.category {
			t.Errorf("finding %d is %+v, want %+v", i, f, w)
		}
		if f.Limit.Source == "" || f.Why == "" || f.Jobs == nil || f.Cautions == nil {
			t.Errorf("finding %d lacks source, reason, jobs or cautions: %+v", i, f)
		}
		if u := verdict.Verdict(f.Verdict).Urgency(); u > last {
			t.Errorf("finding %d is worse than the one before", i)
		} else {
			last = u
		}
	}
	if !slices.ContainsFunc(out.NotApplicable, func(n NotApplicable) bool {
		return n.Point == "fan-rock" && n.Reason == "fan-drive is electric (electric fan)"
	}) {
		t.Error("the fan that is electric is not listed as not applicable with its reason")
	}
	if c := out.Coverage; c.Places != c.LookedAt+c.NotLookedAt || c.LookedAt != 4 {
		t.Errorf("coverage does not add up: %+v", c)
	}
}
