package catalogue

import (
	"maps"
	"math"
	"slices"

	"witnessmark/core/point"
)

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

// checkWear checks the law of a measured quantity against the point's values and limits.
func (b *builder) checkWear(c *point.Catalogue, l lawEntry, p *point.Point, within span) {
	v, line := l.raw.Wear.V, l.raw.Wear.Line
	say := func(format string, args ...any) { b.fault(l.e.file, line, "law "+l.raw.ID+": "+format, args...) }
	if p.Kind != point.Measure {
		say("point %s is of kind %s; expected life, because only measured points wear", p.ID, p.Kind)
		return
	}
	val := followed(p, v.Value)
	switch {
	case v.Value == "derived":
		if p.Derive == "" {
			say("point %s derives no value", p.ID)
		}
	case val == nil:
		say("value names %q, which is no value of %s", v.Value, p.ID)
		return
	case val.Companion:
		say("value %s is a companion; expected the figure that is read", val.Name)
	}
	low, high := math.Inf(-1), math.Inf(1)
	if val != nil {
		low, high = val.Min, val.Max
	}
	if !(v.New >= low && v.New <= high) || math.IsInf(v.New, 0) {
		say("new is %g; expected %g to %g", v.New, low, high)
	}
	room := math.Min(high-low, 1e6)
	within(line, "new-sd", v.NewSD, 0, room)
	within(line, "rate", v.Rate, 0, room)
	within(line, "spread", v.Spread, 1, mostSpread)
	within(line, "noise", v.Noise, 0, room)
	if !(v.Step >= 0 && v.Step <= room) {
		say("step is %g; expected 0 to %g", v.Step, room)
	}
	if l.law.Wear.Step == 0 && val != nil {
		l.law.Wear.Step = val.Step // the gauge's graduation
	}
	b.checkNewSpec(c, l, val)
	b.checkLimitSide(l, p, say)
}

// followed finds the value that a law follows; nil for the derived one and for a name that the point has not.
func followed(p *point.Point, name string) *point.Value {
	switch {
	case name == "" && len(p.Values) > 0:
		return &p.Values[0]
	case name == "" || name == "derived":
		return nil
	}
	return p.ValueByName(name)
}

func (b *builder) checkNewSpec(c *point.Catalogue, l lawEntry, val *point.Value) {
	id := l.raw.Wear.V.NewSpec
	if id == "" {
		return
	}
	spec := c.Specs[id]
	switch {
	case spec == nil:
		b.fault(l.e.file, l.raw.Wear.Line, "law %s: there is no specification %q", l.raw.ID, id)
	case spec.Text():
		b.fault(l.e.file, l.raw.Wear.Line, "law %s: specification %s is a text; expected a figure of a new part", l.raw.ID, id)
	case val != nil:
		if unit, _ := UnitOf(val.Name); unit != spec.Unit {
			b.fault(l.e.file, l.raw.Wear.Line, "law %s: specification %s is in %s; expected %s", l.raw.ID, id, spec.Unit, unit)
		}
	}
}

// checkLimitSide checks that the law runs towards the limits, not away from them.
func (b *builder) checkLimitSide(l lawEntry, p *point.Point, say func(string, ...any)) {
	v := l.raw.Wear.V
	falls, rises := sides(p, v.Value)
	word := map[bool]string{true: "rises", false: "falls"}[v.Rises]
	switch {
	case falls && !rises && v.Rises:
		say("the figure %s, but the limits of %s lie below it; expected rises: false", word, p.ID)
	case rises && !falls && !v.Rises:
		say("the figure %s, but the limits of %s lie above it; expected rises: true", word, p.ID)
	case !falls && !rises && v.Limit == 0:
		say("point %s has no limit on this value; expected limit", p.ID)
	}
	if v.Limit == 0 {
		return
	}
	if math.IsNaN(v.Limit) || math.IsInf(v.Limit, 0) || v.Rises != (v.Limit > v.New) || v.Limit == v.New {
		say("limit is %g and new is %g, but the figure %s", v.Limit, v.New, word)
	}
}

// sides reports on which sides of the followed value the point has limits. A limit on the first value takes the derived one
// where a point has no limits of its own on that.
func sides(p *point.Point, name string) (falls, rises bool) {
	first := ""
	if len(p.Values) > 0 {
		first = p.Values[0].Name
	}
	if name == first {
		name = ""
	}
	speaks := func(of string) bool { return of == name || name == "" && of == first }
	if name == "derived" && !slices.ContainsFunc(p.Limits, func(l point.Limit) bool { return l.Of == "derived" }) {
		speaks = func(of string) bool { return of == "" || of == first }
	}
	for _, l := range p.Limits {
		if !speaks(l.Of) {
			continue
		}
		falls, rises = falls || l.Is.Falls(), rises || !l.Is.Falls()
	}
	return falls, rises
}
