package script

import (
	"fmt"
	"strings"
)

// File is a file of scenarios; the steps before the first scenario belong to each of them.
type File struct {
	Before    []Step
	Scenarios []Scenario
}

// Scenario is a car, what was seen on it and what must be said of it.
type Scenario struct {
	Name  string
	Line  int
	Steps []Step
}

// Step is one line: a verb and its parts, which stood between commas.
type Step struct {
	Line  int
	Verb  string
	Parts [][]Word
}

// maxBytes bounds a file of scenarios; they are written by hand.
const maxBytes = 1 << 20

// Parse reads a file of scenarios. The error names the line and what was expected; every line is checked for its form,
// so that what is left for the run is only whether the catalogue knows the names.
func Parse(text string) (*File, error) {
	if len(text) > maxBytes {
		return nil, fmt.Errorf("the file is larger than %d MB", maxBytes>>20)
	}
	f := &File{}
	for i, line := range strings.Split(text, "\n") {
		if err := f.line(i+1, line); err != nil {
			return nil, fmt.Errorf("line %d: %w", i+1, err)
		}
	}
	return f, nil
}

func (f *File) line(no int, text string) error {
	parts, err := words(text)
	if err != nil || len(parts) == 0 {
		return err
	}
	verb := parts[0][0]
	if verb.Quoted {
		return fmt.Errorf("expected one of %s, not %s", verbs(), verb)
	}
	parts[0] = parts[0][1:]
	if verb.Text == "scenario" {
		if len(parts) != 1 || len(parts[0]) != 1 || !parts[0][0].Quoted {
			return fmt.Errorf(`expected scenario "what it is about"`)
		}
		f.Scenarios = append(f.Scenarios, Scenario{Name: parts[0][0].Text, Line: no})
		return nil
	}
	s := Step{Line: no, Verb: verb.Text, Parts: parts}
	carry, known := steps[s.Verb]
	if !known {
		return fmt.Errorf("there is no %q; expected one of %s", s.Verb, verbs())
	}
	if err := carry(&stage{}, s); err != nil {
		return err
	}
	if n := len(f.Scenarios); n > 0 {
		f.Scenarios[n-1].Steps = append(f.Scenarios[n-1].Steps, s)
		return nil
	}
	if s.Verb == "expect" {
		return fmt.Errorf("an expectation needs a scenario before it")
	}
	f.Before = append(f.Before, s)
	return nil
}

// String writes the file in its plain form, without comments: what it gives parses to the same file.
func (f *File) String() string {
	var b strings.Builder
	for _, s := range f.Before {
		fmt.Fprintln(&b, s)
	}
	for _, sc := range f.Scenarios {
		fmt.Fprintf(&b, "\nscenario \"%s\"\n", sc.Name)
		for _, s := range sc.Steps {
			fmt.Fprintln(&b, s)
		}
	}
	return b.String()
}

// String writes the step as a line.
func (s Step) String() string {
	out := make([]string, len(s.Parts))
	for i, p := range s.Parts {
		ws := make([]string, len(p))
		for j, w := range p {
			ws[j] = w.String()
		}
		out[i] = strings.Join(ws, " ")
	}
	return s.Verb + " " + strings.Join(out, ", ")
}
