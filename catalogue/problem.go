package catalogue

import (
	"fmt"
	"sort"
	"strings"
)

// Problem is one fault in the data: where it is, and what was expected.
type Problem struct {
	File string
	Line int
	Text string
}

// Error writes the problem as "file:line: text".
func (p Problem) Error() string { return fmt.Sprintf("%s:%d: %s", p.File, p.Line, p.Text) }

// Problems is every fault that was found, in order of file and line.
type Problems []Problem

// Error writes one problem a line.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.Error()
	}
	return strings.Join(lines, "\n")
}

func (ps Problems) sorted() Problems {
	sort.SliceStable(ps, func(i, j int) bool {
		if ps[i].File != ps[j].File {
			return ps[i].File < ps[j].File
		}
		return ps[i].Line < ps[j].Line
	})
	return ps
}
