package catalogue

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark/core/point"
)

// The longest preparation and the longest step, in minutes: more is a slip, or ought to be several steps.
const (
	mostSetup = 240
	mostStep  = 480
)

// The furthest follow-up look: what comes later belongs to the rounds.
const (
	mostLookDays = 400
	mostLookKm   = 20000
)

// partUnits are what parts are counted in.
var partUnits = []string{"piece", "set", "L", "kg", "m"}

// fieldUnits are what figures of a job are given in, beside the units of values.
var fieldUnits = []string{"Nm", "g"}

func (b *builder) checkPart(e *entry, p *point.PartKind) {
	line := e.node.Line
	if p.Name == "" {
		b.fault(e.file, line, "part %s: name is missing", p.ID)
	}
	if !slices.Contains(partUnits, p.Unit) {
		b.fault(e.file, line, "part %s: unit is %q; expected one of %s", p.ID, p.Unit, strings.Join(partUnits, ", "))
	}
	if len(p.For) > 0 && !p.Fluid {
		b.fault(e.file, line, "part %s: for names what jobs take, which is filled; expected fluid: true", p.ID)
	}
	if (p.Circuit != "" || p.Thins) && !p.Fluid || p.Circuit != "" && p.Thins {
		b.fault(e.file, line, "part %s: circuit or thins, not both, stand with a fluid; expected fluid: true", p.ID)
	}
	if p.Fluid && p.Unit != "L" && p.Unit != "kg" {
		b.fault(e.file, line, "part %s: a fluid is counted in L or kg, not %s", p.ID, p.Unit)
	}
}

func (b *builder) checkSetup(c *point.Catalogue, s setupEntry) {
	who, line := "setup "+s.setup.ID, s.e.node.Line
	say := func(format string, args ...any) {
		b.fault(s.e.file, line, "%s: %s", who, fmt.Sprintf(format, args...))
	}
	x := s.setup
	if x.Name == "" || x.Does == "" {
		say("name and does are needed")
	}
	if x.Minutes < 1 || x.Minutes > mostSetup {
		say("minutes is %d; expected 1 to %d", x.Minutes, mostSetup)
	}
	if x.UndoMinutes < 0 || x.UndoMinutes >= x.Minutes && x.Minutes > 0 {
		say("undo-minutes is %d; expected less than the %d minutes that it is a share of", x.UndoMinutes, x.Minutes)
	}
	if (x.Undo == "") != (x.UndoMinutes == 0) {
		say("undo and undo-minutes come together")
	}
	if x.Axle != "" && !slices.Contains(point.Axles, x.Axle) {
		say("axle is %q; expected F or R", x.Axle)
	}
	if x.Last && x.Axle != "" {
		say("what comes last concerns the whole car; expected no axle")
	}
	if x.Fills != "" && c.FluidPart(x.Fills) == nil {
		say("fills is %q; expected a fluid that a part is bought for", x.Fills)
	}
	for _, id := range x.Under {
		switch u := c.Setups[id]; {
		case u == nil:
			say("there is no setup %q", id)
		case u.Order >= x.Order:
			say("order is %d; expected more than the %d of %s, under which it comes", x.Order, u.Order, id)
		case u.Axle != "" && u.Axle != x.Axle:
			say("it comes under %s, which concerns axle %s; expected the same axle", id, u.Axle)
		case u.Last != x.Last:
			say("it comes under %s; expected both to come last, or neither", id)
		}
	}
	b.references(c, s.e.file, line, who, nil, x.Cautions)
	at := func(line int, format string, args ...any) {
		b.fault(s.e.file, line, "%s: %s", who, fmt.Sprintf(format, args...))
	}
	b.checkParts(c, s.e.file, s.raw.Parts, at)
	checkFields(c, s.raw.Fields, at)
	checkFollows(c, s.raw.Follows, at)
}

func (b *builder) checkWork(c *point.Catalogue, w workEntry) {
	who, line := "work "+w.raw.ID, w.e.node.Line
	say := func(line int, format string, args ...any) {
		b.fault(w.e.file, line, "%s: %s", who, fmt.Sprintf(format, args...))
	}
	if c.Jobs[w.raw.ID] == nil {
		say(line, "there is no job %q", w.raw.ID)
	}
	if !slices.Contains([]string{"", "axle", "corner", "piece"}, w.raw.Per) {
		say(line, "per is %q; expected axle, corner or piece, or nothing for the car", w.raw.Per)
	}
	if len(w.raw.Steps) == 0 {
		say(line, "expected a step or more")
	}
	b.checkWorkSetups(c, w, say)
	for _, s := range w.raw.Steps {
		if strings.TrimSpace(s.V.Say) == "" {
			say(s.Line, "a step says nothing")
		}
		if s.V.Minutes < 1 || s.V.Minutes > mostStep {
			say(s.Line, "minutes is %d; expected 1 to %d", s.V.Minutes, mostStep)
		}
		if in := c.Setups[s.V.In]; s.V.In != "" && (in == nil || !in.Last || !slices.Contains(w.raw.Setups, s.V.In)) {
			say(s.Line, "in is %q; expected one of the work's setups that come last", s.V.In)
		}
		b.references(c, w.e.file, s.Line, who, nil, s.V.Cautions)
		b.when(c, w.e.file, s.V.When)
	}
	b.checkParts(c, w.e.file, w.raw.Parts, say)
	checkTaken(c, w, say)
	checkFields(c, w.raw.Fields, say)
	checkFollows(c, w.raw.Follows, say)
	checkBaselines(c, w, say)
}

func (b *builder) checkWorkSetups(c *point.Catalogue, w workEntry, say faultAt) {
	line := w.e.node.Line
	for i, id := range w.raw.Setups {
		s := c.Setups[id]
		if s == nil {
			say(line, "there is no setup %q", id)
			continue
		}
		if slices.Contains(w.raw.Setups[:i], id) {
			say(line, "setup %s stands twice", id)
		}
		for _, u := range s.Under {
			if !slices.Contains(w.raw.Setups, u) {
				say(line, "setup %s needs %s too; expected it in setups", id, u)
			}
		}
	}
}

// faultAt lays a fault to a line of the entry that is being checked.
type faultAt func(line int, format string, args ...any)

func (b *builder) checkParts(c *point.Catalogue, file string, parts []at[rawWorkPart], say faultAt) {
	for i, p := range parts {
		if c.Parts[p.V.Part] == nil {
			say(p.Line, "there is no part %q", p.V.Part)
			continue
		}
		if p.V.Circuit != "" && !c.Parts[p.V.Part].Fluid {
			say(p.Line, "part %s: circuit is what a fluid goes into; expected none", p.V.Part)
		}
		b.when(c, file, p.V.When)
		if slices.ContainsFunc(parts[:i], func(o at[rawWorkPart]) bool {
			return o.V.Part == p.V.Part && o.V.When.Zero() && p.V.When.Zero()
		}) {
			say(p.Line, "part %s stands twice", p.V.Part)
		}
	}
}

// checkTaken refuses a part for what the job's takes count already.
func checkTaken(c *point.Catalogue, w workEntry, say faultAt) {
	j := c.Jobs[w.raw.ID]
	for _, p := range w.raw.Parts {
		kind := c.Parts[p.V.Part]
		if j != nil && kind != nil && slices.ContainsFunc(j.Takes, func(t point.Take) bool { return slices.Contains(kind.For, t.What) }) {
			say(p.Line, "part %s is taken already, by the job's takes", p.V.Part)
		}
	}
}

func checkFields(c *point.Catalogue, fields []at[rawWorkField], say faultAt) {
	for _, f := range fields {
		if f.V.Name == "" {
			say(f.Line, "a field needs a name")
		}
		spec := c.Specs[f.V.Spec]
		switch {
		case f.V.Spec != "" && spec == nil:
			say(f.Line, "there is no specification %q", f.V.Spec)
		case spec != nil && spec.Unit != f.V.Unit:
			say(f.Line, "specification %s is in %q, not %q", f.V.Spec, spec.Unit, f.V.Unit)
		case f.V.Unit != "" && !slices.Contains(Units, f.V.Unit) && !slices.Contains(fieldUnits, f.V.Unit):
			say(f.Line, "unit is %q; expected one of %s", f.V.Unit, strings.Join(append(slices.Clone(fieldUnits), Units...), ", "))
		}
	}
}

func checkFollows(c *point.Catalogue, follows []at[rawWorkFollow], say faultAt) {
	for _, f := range follows {
		if strings.TrimSpace(f.V.Say) == "" {
			say(f.Line, "a follow-up look says nothing")
		}
		if f.V.Point != "" && c.Point(f.V.Point) == nil {
			say(f.Line, "there is no point %q", f.V.Point)
		}
		if f.V.Days < 0 || f.V.Days > mostLookDays || f.V.Km < 0 || f.V.Km > mostLookKm {
			say(f.Line, "follow-up after %d days, %d km; expected 0 to %d days and 0 to %d km", f.V.Days, f.V.Km, mostLookDays, mostLookKm)
		}
		switch {
		case f.V.Source == "":
			say(f.Line, "source is missing; expected practice or a document")
		case f.V.Source != "practice" && c.Sources[f.V.Source] == nil:
			say(f.Line, "there is no source %q", f.V.Source)
		}
	}
}

// checkBaselines checks the readings that begin with the work.
func checkBaselines(c *point.Catalogue, w workEntry, say faultAt) {
	for i, id := range w.raw.Baselines {
		if c.Point(id) == nil {
			say(w.e.node.Line, "there is no point %q", id)
		}
		if slices.Contains(w.raw.Baselines[:i], id) {
			say(w.e.node.Line, "baseline %s stands twice", id)
		}
	}
}
