package catalogue

import (
	"slices"
	"strings"
	"unicode"

	"witnessmark/core/point"
)

// mostTimes bounds how much a family moves a prior's odds, both ways.
const mostTimes = 100.0

func (b *builder) checkComplaint(c *point.Catalogue, e *entry, r *rawComplaint, x *point.Complaint) {
	say := func(format string, args ...any) { b.fault(e.file, e.node.Line, "complaint "+x.ID+": "+format, args...) }
	if x.Name == "" || x.Asks == "" {
		say("name and asks are needed")
	}
	if len(x.Raised) == 0 {
		say("raised is missing; expected the signs that bring it up")
	}
	for _, id := range append(slices.Clone(r.Raised), r.Also...) {
		if c.Sign(id) == nil {
			say("there is no sign %q", id)
		}
	}
	for _, id := range r.Causes {
		if c.Cause(id) == nil {
			say("there is no cause %q", id)
		}
	}
	if len(x.Causes) == 0 {
		say("no cause explains what raises it")
	}
	for _, id := range r.Raised {
		if c.Sign(id) != nil && !slices.ContainsFunc(x.Causes, func(k string) bool { return explains(c.Cause(k), id) }) {
			say("none of its causes explains %s, which raises it", id)
		}
	}
}

func explains(k *point.Cause, sign string) bool {
	return k != nil && slices.ContainsFunc(k.Explains, func(e point.Explains) bool { return e.Sign == sign })
}

func (b *builder) checkQuiet(c *point.Catalogue, e *entry, q *point.Quiet) {
	say := func(format string, args ...any) { b.fault(e.file, e.node.Line, "quiet "+q.ID+": "+format, args...) }
	if strings.TrimSpace(q.Because) == "" {
		say("because is missing; expected why no cause follows")
	}
	if (q.Group == "") == (len(q.Points) == 0) {
		say("expected either group or points")
	}
	if q.Group != "" && !slices.Contains(point.Groups[:], q.Group) {
		say("group is %q; expected one of %s", q.Group, strings.Join(point.Groups[:], ", "))
	}
	for _, id := range q.Points {
		if p := c.Point(id); p == nil {
			say("there is no point %q", id)
		} else if q.State != "" && p.StateByID(q.State) == nil {
			say("%q is no state of %s", q.State, id)
		} else if len(open(c, p, q)) == 0 {
			say("everything that %s can show leads to a cause already; expected no word of it", id)
		}
	}
	if q.State != "" && len(q.Points) == 0 {
		say("a state needs points")
	}
}

// open lists what of a point the quiet entry has to account for: what leads to no cause.
func open(c *point.Catalogue, p *point.Point, q *point.Quiet) []string {
	var out []string
	for _, what := range leadsNowhere(c, p) {
		if q.State == "" || what == "state "+q.State {
			out = append(out, what)
		}
	}
	return out
}

func (b *builder) familyCauses(c *point.Catalogue, x familyEntry) {
	for _, t := range x.raw.Causes {
		if c.Cause(t.V.Cause) == nil {
			b.fault(x.e.file, t.Line, "family %s: there is no cause %q", x.raw.ID, t.V.Cause)
		}
		if !(t.V.Times >= 1/mostTimes && t.V.Times <= mostTimes) {
			b.fault(x.e.file, t.Line, "family %s: %s is %g times likelier; expected %g to %g", x.raw.ID, t.V.Cause, t.V.Times, 1/mostTimes, mostTimes)
		}
		x.to.Causes = append(x.to.Causes, point.FamilyCause{Cause: t.V.Cause, Times: t.V.Times})
	}
}

// tellingWords are the words of a phrase.
func tellingWords(s string) []string {
	return strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}
