package catalogue

import (
	"slices"
	"strings"

	"witnessmark/core/point"
)

func (b *builder) checkCovers(c *point.Catalogue, e *entry, r *rawPoint) {
	for _, cover := range r.Covers {
		if !coverExists(c, cover) {
			b.fault(e.file, e.node.Line, "point %s: covers %q, which is no item of a regulation (expected REGULATION:ITEM)", r.ID, cover)
		}
	}
}

func coverExists(c *point.Catalogue, cover string) bool {
	reg, item, _ := strings.Cut(cover, ":")
	for _, g := range c.Regulations {
		if g.ID == reg {
			return slices.ContainsFunc(g.Items, func(i point.Item) bool { return i.ID == item })
		}
	}
	return false
}

func (b *builder) checkPositions(c *point.Catalogue, e *entry, r *rawPoint) {
	p := c.Point(r.ID)
	if p == nil {
		return
	}
	say := func(format string, args ...any) {
		b.fault(e.file, e.node.Line, "point "+r.ID+": "+format, args...)
	}
	for _, g := range p.Positions.Groups {
		for _, at := range g.At {
			if !point.ValidPosition(at) {
				say("position %q; expected FL FR RL RR, F R, spare or a number", at)
			}
		}
	}
	for i := range r.Positions {
		var g rawGroup
		if r.Positions[i].Kind != 0 && r.Positions[i].Decode(&g) == nil {
			b.when(c, e.file, g.When)
		}
	}
	for _, pl := range r.Places {
		if !slices.Contains(point.Places, pl) {
			say("place %q; expected inner, middle or outer", pl)
		}
	}
	if len(r.Places) > 0 && len(r.Positions) == 0 {
		say("places need positions")
	}
	if r.Count != "" && (c.Facets[r.Count] == nil || c.Facets[r.Count].Number == nil) {
		say("count names %q, which is no number facet", r.Count)
	}
}

func (b *builder) checkStates(c *point.Catalogue, e *entry, r *rawPoint) {
	stately := r.Kind == "state" || r.Kind == "level"
	if stately && len(r.States) < 2 {
		b.fault(e.file, e.node.Line, "point %s: kind %s needs two states or more, best first", r.ID, r.Kind)
	}
	if !stately && len(r.States) > 0 {
		b.fault(e.file, r.States[0].Line, "point %s: kind %s has no states", r.ID, r.Kind)
	}
	seen := map[string]bool{}
	for _, s := range r.States {
		who := "point " + r.ID + ", state " + s.V.ID
		if s.V.ID == "" || seen[s.V.ID] {
			b.fault(e.file, s.Line, "%s: a state needs an id of its own", who)
		}
		seen[s.V.ID] = true
		if s.V.Say == "" || s.V.Why == "" {
			b.fault(e.file, s.Line, "%s: say and why are needed", who)
		}
		b.verdict(e.file, s.Line, who, s.V.Verdict)
		b.category(e.file, s.Line, who, s.V.Verdict, s.V.Category)
		b.references(c, e.file, s.Line, who, s.V.Jobs, s.V.Cautions)
		if s.V.Item != "" && !coverExists(c, s.V.Item) {
			b.fault(e.file, s.Line, "%s: item %q is no item of a regulation", who, s.V.Item)
		}
		if s.V.Source != nil {
			b.sourceOf(c, e.file, s.Line, who, *s.V.Source, false)
		}
		if needsJob(s.V.Verdict) && len(s.V.Jobs) == 0 && len(r.Jobs) == 0 {
			b.fault(e.file, s.Line, "%s: verdict %s needs a job", who, s.V.Verdict)
		}
	}
}

func needsJob(v string) bool { return v == "due" || v == "overdue" || v == "unsafe" }

func (b *builder) checkValues(c *point.Catalogue, e *entry, r *rawPoint) {
	if r.Kind == "measure" && len(r.Values) == 0 {
		b.fault(e.file, e.node.Line, "point %s: kind measure needs values", r.ID)
	}
	for i, v := range r.Values {
		who := "point " + r.ID + ", value " + v.V.Name
		if _, ok := UnitOf(v.V.Name); !ok {
			b.fault(e.file, v.Line, "%s: the name must end in a unit: %s", who, strings.Join(Units, " "))
		}
		if v.V.Min == nil || v.V.Max == nil || *v.V.Min >= *v.V.Max {
			b.fault(e.file, v.Line, "%s: expected min below max", who)
		}
		if v.V.Label == "" {
			b.fault(e.file, v.Line, "%s: label is missing", who)
		}
		if v.V.Remember != "" && c.Specs[v.V.Remember] == nil {
			b.fault(e.file, v.Line, "%s: there is no specification %q", who, v.V.Remember)
		}
		if i == 0 && v.V.Companion && r.Kind == "measure" {
			b.fault(e.file, v.Line, "%s: the first value is the reading itself", who)
		}
	}
	if r.Kind == "code" && r.Pattern == "" {
		b.fault(e.file, e.node.Line, "point %s: kind code needs a pattern", r.ID)
	}
}

func (b *builder) checkLimits(c *point.Catalogue, e *entry, r *rawPoint) {
	if (r.Kind == "measure" || r.Kind == "code") && len(r.Limits) == 0 {
		b.fault(e.file, e.node.Line, "point %s: kind %s needs limits", r.ID, r.Kind)
	}
	for _, l := range r.Limits {
		who := "point " + r.ID + ", limit"
		b.verdict(e.file, l.Line, who, l.V.Verdict)
		b.category(e.file, l.Line, who, l.V.Verdict, l.V.Category)
		b.when(c, e.file, l.V.When)
		b.references(c, e.file, l.Line, who, l.V.Jobs, nil)
		b.sourceOf(c, e.file, l.Line, who, l.V.Source, false)
		if l.V.Item != "" && !coverExists(c, l.V.Item) {
			b.fault(e.file, l.Line, "%s: item %q is no item of a regulation", who, l.V.Item)
		}
		b.checkFigure(c, e, r, l)
		for _, pos := range l.V.At {
			if !point.ValidPosition(pos) {
				b.fault(e.file, l.Line, "%s: at %q; expected FL FR RL RR, F R, spare or a number", who, pos)
			}
		}
		if needsJob(l.V.Verdict) && len(l.V.Jobs) == 0 && len(r.Jobs) == 0 {
			b.fault(e.file, l.Line, "%s: verdict %s needs a job", who, l.V.Verdict)
		}
	}
}

func (b *builder) checkFigure(c *point.Catalogue, e *entry, r *rawPoint, l at[rawLimit]) {
	say := func(format string, args ...any) { b.fault(e.file, l.Line, "point "+r.ID+", limit: "+format, args...) }
	if !slices.Contains([]string{"below", "at-or-below", "above", "at-or-above"}, l.V.Is) {
		say("is %q; expected below, at-or-below, above or at-or-above", l.V.Is)
	}
	figures := 0
	for _, has := range []bool{l.V.Value != nil, l.V.Spec != "", l.V.Table != ""} {
		if has {
			figures++
		}
	}
	if figures != 1 {
		say("expected one of value, spec or table")
	}
	hasValue := func(name string) bool {
		return slices.ContainsFunc(r.Values, func(v at[rawValue]) bool { return v.V.Name == name })
	}
	if l.V.Of == "derived" && r.Derive == "" || l.V.Of != "" && l.V.Of != "derived" && !hasValue(l.V.Of) {
		say("of names %q, which is no value of the point", l.V.Of)
	}
	if l.V.Spec != "" && c.Specs[l.V.Spec] == nil {
		say("there is no specification %q", l.V.Spec)
	}
	if l.V.Table != "" {
		t := c.Tables[l.V.Table]
		spec := c.Specs[l.V.By]
		switch {
		case t == nil:
			say("there is no table %q", l.V.Table)
		case t.Words != nil && (spec == nil || !spec.Text()):
			say("table %s goes by words; by must name a text specification", l.V.Table)
		case t.Words == nil && !hasValue(l.V.By) && spec == nil:
			say("by names %q, which is no value of the point and no specification", l.V.By)
		}
	}
}

func (b *builder) checkSeveral(c *point.Catalogue, e *entry, r *rawPoint) {
	if r.Renewal != nil {
		who := "point " + r.ID + ", renewal"
		v := r.Renewal.V
		b.verdict(e.file, r.Renewal.Line, who, v.Verdict)
		b.sourceOf(c, e.file, r.Renewal.Line, who, v.Source, false)
		b.references(c, e.file, r.Renewal.Line, who, v.Jobs, nil)
		if v.Item == "" || v.Months <= 0 && v.Km <= 0 {
			b.fault(e.file, r.Renewal.Line, "%s: expected item, and months or km", who)
		}
	}
	for _, q := range r.Pairs {
		who := "point " + r.ID + ", pair"
		b.verdict(e.file, q.Line, who, q.V.Verdict)
		b.sourceOf(c, e.file, q.Line, who, q.V.Source, false)
		b.references(c, e.file, q.Line, who, q.V.Jobs, nil)
		if q.V.Between != "left-right" && q.V.Between != "inner-outer" || q.V.Beyond <= 0 || q.V.Why == "" {
			b.fault(e.file, q.Line, "%s: expected between: left-right or inner-outer, beyond above 0, and why", who)
		}
	}
	if len(r.Pairs) > 0 && len(r.Values) == 0 {
		b.fault(e.file, r.Pairs[0].Line, "point %s, pair: a difference needs a value", r.ID)
	}
	for _, q := range r.Rules {
		if !slices.Contains(rules, q.V.Rule) {
			b.fault(e.file, q.Line, "point %s: rule %q; expected one of %s", r.ID, q.V.Rule, strings.Join(rules, ", "))
		}
		if q.V.LevelPoint != "" && c.Point(q.V.LevelPoint) == nil {
			b.fault(e.file, q.Line, "point %s: rule: there is no point %q", r.ID, q.V.LevelPoint)
		}
	}
}

// checkRest checks what jobs and tables refer to.
func (b *builder) checkRest(c *point.Catalogue) {
	for _, e := range b.entries {
		line := e.node.Line
		switch e.kind {
		case "job":
			if j := c.Jobs[e.id]; j != nil {
				b.references(c, e.file, line, "job "+e.id, nil, j.Cautions)
				b.when(c, e.file, rawWhen{When: j.When, Line: line})
				if j.Name == "" || j.Does == "" {
					b.fault(e.file, line, "job %s: name and does are needed", e.id)
				}
				b.checkTakes(c, e, j)
			}
		case "caution":
			if x := c.Cautions[e.id]; x != nil && x.Say == "" {
				b.fault(e.file, line, "caution %s says nothing", e.id)
			}
		case "table":
			if t := c.Tables[e.id]; t != nil {
				b.sourceOf(c, e.file, line, "table "+e.id, rawSource{From: t.Source.From, Section: t.Source.Section, Status: t.Source.Status}, false)
			}
		}
	}
}

// takeRules are the rules by which a job's litres are computed.
var takeRules = []string{"shortfall", "coolant-mix", "coolant-fresh"}

func (b *builder) checkTakes(c *point.Catalogue, e *entry, j *point.Job) {
	for _, t := range j.Takes {
		if spec := c.Specs[t.Spec]; t.Spec != "" && (spec == nil || spec.Unit != "L") {
			b.fault(e.file, e.node.Line, "job %s: takes names %q, which is no specification in L", j.ID, t.Spec)
		}
		if t.Rule != "" && !slices.Contains(takeRules, t.Rule) {
			b.fault(e.file, e.node.Line, "job %s: takes has rule %q; expected one of %s", j.ID, t.Rule, strings.Join(takeRules, ", "))
		}
	}
}
