package sums

import (
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// TestWorkshop asks the sums of testdata/workshop.txt and compares the answers, line by line.
func TestWorkshop(t *testing.T) {
	text, err := os.ReadFile("testdata/workshop.txt")
	if err != nil {
		t.Fatal(err)
	}
	asked, answers := 0, 0
	var question string
	var result Result
	var failed error
	for i, line := range strings.Split(string(text), "\n") {
		place := fmt.Sprintf("workshop.txt:%d: %s", i+1, question)
		switch {
		case strings.TrimSpace(line) == "" || strings.HasPrefix(line, "#"):
		case !strings.HasPrefix(line, "\t"):
			question = line
			result, failed = ask(t, line)
			asked++
		case strings.HasPrefix(line, "\trefused "):
			want := strings.TrimPrefix(line, "\trefused ")
			if failed == nil || !strings.Contains(failed.Error(), want) || len(result.Fields) != 0 {
				t.Errorf("%s: %v, %v; want it refused with %q", place, result.Fields, failed, want)
			}
			answers++
		default:
			if failed != nil {
				t.Errorf("%s: %v", place, failed)
			} else if problem := compare(result, strings.TrimSpace(line)); problem != "" {
				t.Errorf("%s: %s", place, problem)
			}
			answers++
		}
	}
	if asked < 40 || answers < 90 {
		t.Errorf("only %d questions with %d answers were found", asked, answers)
	}
}

// ask runs a question as it is typed; an underscore stands for a space inside a value.
func ask(t *testing.T, line string) (Result, error) {
	t.Helper()
	words := strings.Fields(line)
	s, ok := Find(words[0])
	if !ok {
		t.Fatalf("there is no sum %q", words[0])
	}
	return s.Run(arguments(words[1:]))
}

func arguments(words []string) map[string]string {
	args := map[string]string{}
	for _, w := range words {
		key, value, _ := strings.Cut(w, "=")
		if key == "class" || key == "cap" || key == "bottle" || key == "own" || key == "other" {
			value = strings.ReplaceAll(value, "_", " ")
		}
		args[key] = value
	}
	return args
}

// compare checks one answer: "field value" or "field value ~tolerance".
func compare(r Result, line string) string {
	field, want, _ := strings.Cut(line, " ")
	want, tolerance, _ := strings.Cut(want, " ~")
	got := r.Value(field)
	if got == nil {
		return field + " is not in the answer"
	}
	w, err := strconv.ParseFloat(want, 64)
	if g, ok := number64(got); ok && err == nil {
		tol, _ := strconv.ParseFloat(tolerance, 64)
		if math.Abs(g-w) > tol+1e-9 {
			return fmt.Sprintf("%s is %v, want %s", field, got, want)
		}
		return ""
	}
	if fmt.Sprint(got) != want {
		return fmt.Sprintf("%s is %v, want %s", field, got, want)
	}
	return ""
}

func number64(v any) (float64, bool) {
	switch v := v.(type) {
	case float64:
		return v, true
	case int:
		return float64(v), true
	}
	return 0, false
}
