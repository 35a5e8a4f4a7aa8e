package script

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"witnessmark/core/judge"
)

// finding looks for a finding with the verdict that meets all clauses.
func (r *run) finding(e expectation) string {
	var why string
	for _, f := range r.result.Findings {
		if f.Point.ID != e.point || f.At != e.at {
			continue
		}
		lacks := lacking(f, e)
		if lacks == "" {
			return ""
		}
		why += lacks + "\n    but: " + describe(f) + "\n    "
	}
	if why == "" {
		return "there is no such finding; of this point there is " + r.all(e.point)
	}
	return strings.TrimSpace(why)
}

func lacking(f judge.Finding, e expectation) string {
	if f.Verdict != e.verdict {
		return fmt.Sprintf("the verdict is %s", f.Verdict)
	}
	for _, c := range e.clauses {
		if c.holds(f) == c.not {
			return fmt.Sprintf("%s %q does not hold", c.what, c.text)
		}
	}
	return ""
}

// holds reports whether the finding has what the clause names.
func (c clause) holds(f judge.Finding) bool {
	switch c.what {
	case "why":
		return strings.Contains(f.Why, c.text)
	case "job":
		return slices.Contains(f.Jobs, c.text)
	case "jobs":
		return len(f.Jobs) > 0
	case "category":
		if c.text == "" {
			return f.Category != ""
		}
		return f.Category == c.text
	case "regulation":
		return strings.Contains(f.Regulation, c.text)
	case "source":
		return strings.Contains(f.Source, c.text)
	case "recheck":
		if c.text == "" {
			return f.Recheck != ""
		}
		return strings.Contains(f.Recheck, c.text)
	case "caution":
		return slices.ContainsFunc(f.Cautions, func(s string) bool { return strings.Contains(s, c.text) })
	case "means":
		return strings.Contains(f.Means, c.text)
	case "limit":
		return f.Limit != nil && (c.text == "" || math.Abs(f.Limit.Value-c.limit) < 1e-6 && f.Limit.Unit == c.text)
	}
	return false
}

// describe writes a finding on one line.
func describe(f judge.Finding) string {
	out := strings.TrimSpace(f.Point.ID+" "+f.At) + " " + string(f.Verdict) + " \"" + f.Why + "\" [" + f.Source + "]"
	if f.Limit != nil {
		out += fmt.Sprintf(", limit %v %s", f.Limit.Value, f.Limit.Unit)
	}
	if len(f.Jobs) > 0 {
		out += ", jobs " + strings.Join(f.Jobs, " ")
	}
	if f.Category != "" {
		out += ", category " + f.Category + " of " + f.Regulation
	}
	if f.Recheck != "" {
		out += ", recheck \"" + f.Recheck + "\""
	}
	return out
}

// all writes the findings of one point, or of all.
func (r *run) all(id string) string {
	var out []string
	for _, f := range r.result.Findings {
		if id == "" || f.Point.ID == id {
			out = append(out, describe(f))
		}
	}
	if len(out) == 0 {
		return "none"
	}
	return strings.Join(out, "; ")
}
