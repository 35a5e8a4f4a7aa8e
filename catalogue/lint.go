package catalogue

import (
	"fmt"
	"slices"

	"witnessmark/core/point"
	"witnessmark/core/verdict"
)

// Unexplained lists what a point can show that is not sound, that leads to no cause, and of which no quiet entry says why not: a
// finding with which the reasoning would leave the technician alone. It is sorted as the points are.
func Unexplained(c *point.Catalogue) []string {
	var out []string
	for _, p := range c.Points {
		for _, what := range leadsNowhere(c, p) {
			if !quiet(c, p, what) {
				out = append(out, fmt.Sprintf("point %s, %s: no sign leads from it to a cause, and no quiet entry says why", p.ID, what))
			}
		}
	}
	return out
}

func quiet(c *point.Catalogue, p *point.Point, what string) bool {
	return slices.ContainsFunc(c.Quiet, func(q point.Quiet) bool {
		return q.Group == p.Group || slices.Contains(q.Points, p.ID) && (q.State == "" || what == "state "+q.State)
	})
}

// leadsNowhere lists the states, limits and differences of a point that are not sound and that no explained sign takes up.
func leadsNowhere(c *point.Catalogue, p *point.Point) []string {
	var out []string
	signs := explained(c, p)
	for i := range p.States {
		s := &p.States[i]
		if s.Verdict != verdict.Sound && !slices.ContainsFunc(signs, func(x *point.Sign) bool { return takesState(x, s) }) {
			out = append(out, "state "+s.ID)
		}
	}
	for i := range p.Limits {
		l := &p.Limits[i]
		if !slices.ContainsFunc(signs, func(x *point.Sign) bool { return takesLimit(x, l) }) {
			out = append(out, fmt.Sprintf("limit %d (%s, %s)", i+1, l.Is, l.Verdict))
		}
	}
	for _, q := range p.Pairs {
		if !slices.ContainsFunc(signs, func(x *point.Sign) bool { return x.Pair == q.Between }) {
			out = append(out, "difference "+q.Between)
		}
	}
	return out
}

// explained lists the signs of a point that some cause of some complaint explains.
func explained(c *point.Catalogue, p *point.Point) []*point.Sign {
	var out []*point.Sign
	for _, s := range c.Signs {
		if s.Point != p.ID {
			continue
		}
		if slices.ContainsFunc(c.Complaints, func(x *point.Complaint) bool {
			return slices.ContainsFunc(x.Causes, func(k string) bool { return explains(c.Cause(k), s.ID) })
		}) {
			out = append(out, s)
		}
	}
	return out
}

func takesState(x *point.Sign, s *point.StateOf) bool {
	if x.Numeric() {
		return false
	}
	yes, ratio := x.Shows(s)
	return yes || ratio > 1
}

// takesLimit says whether breaking the limit shows the sign, at least faintly.
func takesLimit(x *point.Sign, l *point.Limit) bool {
	if x.Side == "below" && !l.Is.Falls() || x.Side == "above" && l.Is.Falls() {
		return false
	}
	if x.Least != nil || x.Most != nil {
		return l.Is.Falls() == (x.Most != nil)
	}
	return x.Verdict != "" && (!x.Verdict.Worse(l.Verdict) || x.Faint[string(l.Verdict)] > 1)
}
