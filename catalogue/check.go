package catalogue

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark/core/facet"
	"witnessmark/core/point"
	"witnessmark/core/verdict"
)

// Units are the units that a value's name may end in.
var Units = []string{"mm", "degC", "percent", "V", "A", "bar", "km", "months", "fraction", "L", "cycles", "per_m", "lambda", "s", "N", "kPa",
	"minutes", "degrees", "rpm", "ppm"}

var derivations = []string{"share-of-rating", "tyre-age", "pressure-against-placard", "charge", "balance-of-forces", "efficiency-of-forces"}
var rules = []string{"low-brake-fluid", "unreadable-when-low", "interval-too-long", "wear-shape"}

// UnitOf gives the unit of a value name: the name itself, or what follows a word and an underscore.
func UnitOf(name string) (string, bool) {
	if slices.Contains(Units, name) {
		return name, true
	}
	if _, u, ok := strings.Cut(name, "_"); ok && slices.Contains(Units, u) {
		return u, true
	}
	return "", false
}

// checkPoint checks one point against the rest of the catalogue.
func (b *builder) checkPoint(c *point.Catalogue, e *entry, r *rawPoint) {
	say := func(line int, format string, args ...any) {
		b.fault(e.file, line, "point %s: %s", r.ID, fmt.Sprintf(format, args...))
	}
	line := e.node.Line
	for _, f := range []struct{ name, text string }{{"name", r.Name}, {"ask", r.Ask}, {"method", r.Method}, {"means", r.Means}, {"wait", r.Wait}} {
		if strings.TrimSpace(f.text) == "" {
			say(line, "%s is missing", f.name)
		}
	}
	oneOf := func(what, got string, want ...string) {
		if !slices.Contains(want, got) {
			say(line, "%s is %q; expected one of %s", what, got, strings.Join(want, ", "))
		}
	}
	oneOf("station", r.Station, words(point.Stations[:])...)
	oneOf("group", r.Group, point.Groups[:]...)
	oneOf("kind", r.Kind, "state", "level", "measure", "code")
	oneOf("consequence", r.Consequence, "people", "machine", "comfort")
	for _, d := range r.Depths {
		oneOf("depth", d, "full", "quick", "driveway")
	}
	if !slices.Contains(r.Depths, "full") {
		say(line, "depths must hold full")
	}
	if r.Derive != "" {
		oneOf("derive", r.Derive, derivations...)
	}
	b.when(c, e.file, r.Applies)
	b.references(c, e.file, line, "point "+r.ID, r.Jobs, r.Cautions)
	b.sourceOf(c, e.file, line, "point "+r.ID, r.Source, r.Kind == "measure" || r.Kind == "code")
	b.checkCovers(c, e, r)
	b.checkPositions(c, e, r)
	b.checkStates(c, e, r)
	b.checkValues(c, e, r)
	b.checkLimits(c, e, r)
	b.checkSeveral(c, e, r)
}

func words[T ~string](ws []T) []string {
	out := make([]string, len(ws))
	for i, w := range ws {
		out[i] = string(w)
	}
	return out
}

// when checks a condition's facets and words.
func (b *builder) when(c *point.Catalogue, file string, w rawWhen) {
	err := w.Walk(func(t facet.Test) error {
		d := c.Facets[t.Facet]
		if d == nil {
			return fmt.Errorf("there is no facet %q", t.Facet)
		}
		if t.Range != nil {
			if d.Number == nil {
				return fmt.Errorf("facet %s is not a number, so it has no range", t.Facet)
			}
			return nil
		}
		for _, v := range t.Is {
			if err := d.Check(v); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		b.fault(file, w.Line, "condition: %v", err)
	}
}

func (b *builder) references(c *point.Catalogue, file string, line int, who string, jobs, cautions []string) {
	for _, j := range jobs {
		if c.Jobs[j] == nil {
			b.fault(file, line, "%s: there is no job %q", who, j)
		}
	}
	for _, id := range cautions {
		if c.Cautions[id] == nil {
			b.fault(file, line, "%s: there is no caution %q", who, id)
		}
	}
}

// sourceOf checks a source; empty is allowed when optional.
func (b *builder) sourceOf(c *point.Catalogue, file string, line int, who string, s rawSource, optional bool) {
	switch s.From {
	case "practice", "car":
		return
	case "":
		if !optional {
			b.fault(file, line, "%s: source is missing; expected {from: practice} or a document", who)
		}
		return
	}
	if c.Sources[s.From] == nil {
		b.fault(file, line, "%s: there is no source %q", who, s.From)
	}
	if s.Status != "verified" && s.Status != "memory" {
		b.fault(file, line, "%s: source %s has status %q; expected verified or memory", who, s.From, s.Status)
	}
}

func (b *builder) verdict(file string, line int, who, v string) {
	if _, err := verdict.Parse(v); err != nil || v == "unjudged" {
		b.fault(file, line, "%s: verdict is %q; expected sound, watch, due, overdue or unsafe", who, v)
	}
}

// category checks a regulation's own class against our verdict: a class that is graver than the verdict would hide it.
func (b *builder) category(file string, line int, who, v string, cat map[string]string) {
	floor := map[string]map[string]verdict.Verdict{"eu": {"minor": verdict.Watch, "major": verdict.Overdue, "dangerous": verdict.Unsafe}, "us": {"not met": verdict.Overdue}}
	for reg, class := range cat {
		least, ok := floor[reg][class]
		if !ok {
			b.fault(file, line, "%s: category {%s: %s}; expected eu: minor, major or dangerous, or us: not met", who, reg, class)
		} else if least.Worse(verdict.Verdict(v)) {
			b.fault(file, line, "%s: category %s asks for verdict %s or worse, not %s", who, class, least, v)
		}
	}
}
