package catalogue

import (
	"cmp"
	"slices"

	"go.yaml.in/yaml/v4"

	"witnessmark/core/point"
	"witnessmark/core/verdict"
)

// reasonEntries are what reasons from findings to causes, on its way into the catalogue: each names others, so they are checked once
// all are read.
type reasonEntries struct {
	signs      []reasonEntry[rawSign, point.Sign]
	causes     []reasonEntry[rawCause, point.Cause]
	complaints []reasonEntry[rawComplaint, point.Complaint]
	quiet      []reasonEntry[rawQuiet, point.Quiet]
	families   []familyEntry
}

type reasonEntry[R, T any] struct {
	e   *entry
	raw *R
	to  *T
}

type familyEntry struct {
	e   *entry
	raw *rawFamily
	to  *point.Family
}

// reason decodes one sign, cause, complaint or quiet entry.
func (b *builder) reason(e *entry) {
	rs := &b.reasons
	switch e.kind {
	case "sign":
		var r rawSign
		if b.decode(e, &r) {
			rs.signs = append(rs.signs, reasonEntry[rawSign, point.Sign]{e, &r, sign(r)})
		}
	case "cause":
		var r rawCause
		if b.decode(e, &r) {
			rs.causes = append(rs.causes, reasonEntry[rawCause, point.Cause]{e, &r, b.cause(e, r)})
		}
	case "complaint":
		var r rawComplaint
		if b.decode(e, &r) {
			to := &point.Complaint{ID: r.ID, Name: r.Name, Asks: r.Asks, Raised: r.Raised, Also: r.Also, Causes: r.Causes}
			rs.complaints = append(rs.complaints, reasonEntry[rawComplaint, point.Complaint]{e, &r, to})
		}
	case "quiet":
		var r rawQuiet
		if b.decode(e, &r) {
			to := &point.Quiet{ID: r.ID, Group: r.Group, Points: r.Points, State: r.State, Because: r.Because}
			rs.quiet = append(rs.quiet, reasonEntry[rawQuiet, point.Quiet]{e, &r, to})
		}
	}
}

// practiced gives the source of a judgement of ours, which need not say that it is one.
func practiced(s *rawSource) point.Source {
	if s == nil {
		return point.Source{From: "practice"}
	}
	return source(*s)
}

func sign(r rawSign) *point.Sign {
	s := &point.Sign{ID: r.ID, Name: r.Name, Point: r.Point, States: r.States, Faint: r.Faint, Open: r.Open, Verdict: verdict.Verdict(r.Verdict),
		Side: r.Side, Value: r.Value, Least: r.Least, Most: r.Most, Pair: r.Pair, Axle: r.Axle, Sides: r.Sides, Every: r.Every, Told: r.Told,
		Check: r.Check, Minutes: r.Minutes, Money: r.Money, Cautions: r.Cautions, When: r.When.When, Source: practiced(r.Source)}
	if r.Leak != nil {
		s.Leak = *r.Leak
	}
	return s
}

func (b *builder) cause(e *entry, r rawCause) *point.Cause {
	c := &point.Cause{ID: r.ID, Name: r.Name, Says: r.Says, Prior: r.Prior, When: r.When.When, Jobs: r.Jobs, Minutes: r.Minutes, Money: r.Money,
		Unless: r.Unless, Cautions: r.Cautions, Source: practiced(r.Source)}
	if r.Explains.Kind == 0 {
		return c
	}
	if r.Explains.Kind != yaml.MappingNode {
		b.fault(e.file, r.Explains.Line, "cause %s: expected explains: {SIGN: PROBABILITY, …}", r.ID)
		return c
	}
	for i := 0; i+1 < len(r.Explains.Content); i += 2 {
		key, val := r.Explains.Content[i], r.Explains.Content[i+1]
		var q float64
		if val.Decode(&q) != nil {
			b.fault(e.file, val.Line, "cause %s: %s is %q; expected a probability", r.ID, key.Value, val.Value)
			continue
		}
		c.Explains = append(c.Explains, point.Explains{Sign: key.Value, Q: q})
	}
	return c
}

// allReasons completes and checks what reasons from findings to causes, and puts it into the catalogue, sorted by id.
func (b *builder) allReasons(c *point.Catalogue) {
	for _, x := range b.reasons.signs {
		c.Signs = append(c.Signs, x.to)
	}
	for _, x := range b.reasons.causes {
		c.Causes = append(c.Causes, x.to)
	}
	slices.SortFunc(c.Signs, func(x, y *point.Sign) int { return cmp.Compare(x.ID, y.ID) })
	slices.SortFunc(c.Causes, func(x, y *point.Cause) int { return cmp.Compare(x.ID, y.ID) })
	for _, x := range b.reasons.complaints {
		complete(c, x.to)
		c.Complaints = append(c.Complaints, x.to)
	}
	slices.SortFunc(c.Complaints, func(x, y *point.Complaint) int { return cmp.Compare(x.ID, y.ID) })
	for _, x := range b.reasons.quiet {
		c.Quiet = append(c.Quiet, *x.to)
	}
	slices.SortFunc(c.Quiet, func(x, y point.Quiet) int { return cmp.Compare(x.ID, y.ID) })
	b.checkReasons(c)
}

// complete gives a complaint that names no causes all that explain what raises it, and one that names no other signs all that its
// causes show.
func complete(c *point.Catalogue, x *point.Complaint) {
	if len(x.Causes) == 0 {
		for _, k := range c.Causes {
			if slices.ContainsFunc(k.Explains, func(e point.Explains) bool { return slices.Contains(x.Raised, e.Sign) }) {
				x.Causes = append(x.Causes, k.ID)
			}
		}
	}
	if len(x.Also) > 0 {
		return
	}
	for _, s := range c.Signs {
		if slices.Contains(x.Raised, s.ID) {
			continue
		}
		for _, id := range x.Causes {
			if k := c.Cause(id); k != nil && slices.ContainsFunc(k.Explains, func(e point.Explains) bool { return e.Sign == s.ID }) {
				x.Also = append(x.Also, s.ID)
				break
			}
		}
	}
}
