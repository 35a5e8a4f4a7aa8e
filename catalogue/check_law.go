package catalogue

import (
	"slices"
	"strings"

	"witnessmark/core/point"
)

// The bounds of what a law may say. They catch slips (km typed for months, a spread typed as a share), not opinions.
const (
	mostRisk   = 0.5
	mostSpread = 10.0
	mostWeight = 1000.0
	mostKm     = 2e6
	mostMonths = 1200.0
)

// checkLaw checks one law against the points, items, facets and specifications that it names.
func (b *builder) checkLaw(c *point.Catalogue, l lawEntry, items map[string]bool) {
	r := l.raw
	say := func(line int, format string, args ...any) { b.fault(l.e.file, line, "law "+r.ID+": "+format, args...) }
	line := l.e.node.Line
	p := c.Point(l.law.Point)
	if p == nil {
		say(line, "there is no point %q; expected POINT, or POINT/AXLE such as pad-thickness/F", l.law.Point)
		return
	}
	b.checkLawAxle(l, p)
	if r.Item != "" && !items[r.Item] {
		say(line, "item is %q; expected what a job renews", r.Item)
	}
	most := mostMonths
	switch r.Unit {
	case "km":
		most = mostKm
	case "months":
	default:
		say(line, "unit is %q; expected km or months", r.Unit)
	}
	within := func(line int, what string, x, above, atMost float64) {
		if !(x > above && x <= atMost) {
			say(line, "%s is %g; expected above %g and at most %g", what, x, above, atMost)
		}
	}
	within(line, "step", r.Step, 0, most/10)
	within(line, "weight", r.Weight, 0, mostWeight)
	if r.Risk != 0 {
		within(line, "risk", r.Risk, 0, mostRisk)
	}
	if risk := c.Risks[p.Consequence]; r.Risk == 0 && risk == 0 {
		say(line, "no risk is accepted for %s; expected it under risks:", p.Consequence)
	}
	if (r.Planned != 0 || r.Failed != 0) && !(r.Planned > 0 && r.Failed > r.Planned && r.Failed <= mostWeight*r.Planned) {
		say(line, "planned %g, failed %g; expected failed above planned above 0, or neither", r.Planned, r.Failed)
	}
	b.checkCap(l)
	b.sourceOf(c, l.e.file, line, "law "+r.ID, r.Source, false)
	classes := b.classes(c, l)
	switch {
	case (r.Life == nil) == (r.Wear == nil):
		say(line, "expected either life or wear")
	case r.Life != nil:
		b.checkLife(l, p, classes, most, within)
	default:
		b.checkWear(c, l, p, within)
	}
}

// checkLawAxle checks the axle, and that no other law speaks of the same places.
func (b *builder) checkLawAxle(l lawEntry, p *point.Point) {
	line := l.e.node.Line
	if strings.Contains(l.raw.ID, "/") {
		if !slices.Contains(point.Axles, l.law.Axle) {
			b.fault(l.e.file, line, "law %s: axle is %q; expected F or R", l.raw.ID, l.law.Axle)
		} else if !slices.ContainsFunc(p.Positions.Groups, func(g point.PositionGroup) bool {
			return slices.ContainsFunc(g.At, func(at string) bool { return point.Axle(at) == l.law.Axle })
		}) {
			b.fault(l.e.file, line, "law %s: point %s has no positions on axle %s", l.raw.ID, p.ID, l.law.Axle)
		}
	}
	if l.law.Axle == "" {
		return
	}
	if other := b.byKey["law "+p.ID]; other != nil {
		b.fault(l.e.file, line, "law %s: the law at %s:%d speaks of every axle of %s already", l.raw.ID, other.file, other.node.Line, p.ID)
	}
}

func (b *builder) checkCap(l lawEntry) {
	s := l.law.Cap
	if s == nil {
		return
	}
	if !(s.Km >= 0 && s.Km <= mostKm && s.Months >= 0 && s.Months <= mostMonths) || s.Km == 0 && s.Months == 0 {
		b.fault(l.e.file, l.e.node.Line, "law %s: cap is %g km, %g months; expected km up to %g or months up to %g", l.raw.ID, s.Km, s.Months, mostKm, mostMonths)
	} else if x := s.In(l.law.Unit); x != 0 && x < l.law.Step {
		b.fault(l.e.file, l.e.node.Line, "law %s: cap %g is below the step %g", l.raw.ID, x, l.law.Step)
	}
}

// classes gives the values of the facet that divides cars, nil when there is none.
func (b *builder) classes(c *point.Catalogue, l lawEntry) []string {
	if l.raw.By == "" {
		return nil
	}
	d := c.Facets[l.raw.By]
	switch {
	case d == nil:
		b.fault(l.e.file, l.e.node.Line, "law %s: there is no facet %q", l.raw.ID, l.raw.By)
	case len(d.Values) == 0:
		b.fault(l.e.file, l.e.node.Line, "law %s: facet %s has no list of values to divide cars by", l.raw.ID, l.raw.By)
	default:
		return d.Values
	}
	return nil
}

// span checks a number: above one bound, at most the other, and no NaN.
type span func(line int, what string, x, above, atMost float64)

func (b *builder) checkLife(l lawEntry, p *point.Point, classes []string, most float64, within span) {
	v, line := l.raw.Life.V, l.raw.Life.Line
	say := func(format string, args ...any) { b.fault(l.e.file, line, "law "+l.raw.ID+": "+format, args...) }
	if len(p.States) == 0 {
		say("point %s is of kind %s and has no states to turn; expected wear", p.ID, p.Kind)
		return
	}
	shortest, longest := 0.3, 20.0 // Weibull shapes
	switch v.Model {
	case "weibull":
	case "lognormal":
		shortest, longest = 0.02, 3 // sigma of ln life
	default:
		say("model is %q; expected weibull or lognormal", v.Model)
	}
	within(line, "median", v.Median, 0, most)
	within(line, "spread", v.Spread, 1, mostSpread)
	within(line, "shape", v.Shape, shortest, longest)
	within(line, "shape-spread", v.ShapeSpread, 1, mostSpread)
	within(line, "sensitivity", v.Sensitivity, 0.5, 1)
	within(line, "specificity", v.Specificity, 0.5, 1)
	if len(v.Medians) > 0 && l.raw.By == "" {
		say("medians by class need by:")
	}
	for _, class := range sortedKeys(v.Medians) {
		within(line, "median of "+class, v.Medians[class], 0, most)
		if len(classes) > 0 && !slices.Contains(classes, class) {
			say("there is no class %q; expected one of %s", class, strings.Join(classes, ", "))
		}
	}
	for _, id := range v.Turned {
		if p.StateByID(id) == nil {
			say("turned names %q, which is no state of %s", id, p.ID)
		}
	}
	if len(v.Turned) == 0 && !slices.ContainsFunc(p.States, func(s point.StateOf) bool { return needsJob(string(s.Verdict)) }) {
		say("no state of %s is due or worse; expected turned", p.ID)
	}
	if len(v.Turned) == len(p.States) {
		say("every state counts as turned")
	}
}
