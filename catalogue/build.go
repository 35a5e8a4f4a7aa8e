package catalogue

import (
	"go.yaml.in/yaml/v4"

	"witnessmark/core/facet"
	"witnessmark/core/point"
)

// build decodes every entry, then checks what they say of one another.
func (b *builder) build() *point.Catalogue {
	c := &point.Catalogue{Jobs: map[string]*point.Job{}, Cautions: map[string]*point.Caution{}, Sources: map[string]*point.Document{},
		Specs: map[string]*point.Spec{}, Facets: map[string]*facet.Definition{}, Tables: map[string]*point.Table{},
		Setups: map[string]*point.Setup{}, Parts: map[string]*point.PartKind{}, Work: map[string]*point.Work{}}
	for _, f := range b.families {
		b.extraPoints(f)
	}
	type later struct {
		e   *entry
		raw *rawPoint
	}
	var points []later
	for _, e := range b.entries {
		switch e.kind {
		case "point":
			var raw rawPoint
			if b.decode(e, &raw) {
				points = append(points, later{e, &raw})
			}
		default:
			b.simple(c, e)
		}
	}
	for _, l := range points {
		c.Points = append(c.Points, b.point(c, l.e, l.raw))
	}
	c.New()
	for _, f := range b.families {
		b.family(c, f)
	}
	for _, l := range points {
		b.checkPoint(c, l.e, l.raw)
	}
	b.checkRest(c)
	b.allLaws(c)
	b.allReasons(c)
	b.allWork(c)
	return c
}

// extraPoints leaves room for families that bring lists of their own in the same file: those are read as any other.
func (b *builder) extraPoints(f *entry) {
	if f.node.Kind != yaml.MappingNode {
		b.fault(f.file, f.node.Line, "expected family: with id, name and when")
	}
}

func (b *builder) decode(e *entry, out any) bool {
	ps := decode(e.file, e.node, out)
	b.problems = append(b.problems, ps...)
	return len(ps) == 0
}

func (b *builder) simple(c *point.Catalogue, e *entry) {
	switch e.kind {
	case "job":
		var r rawJob
		if b.decode(e, &r) {
			c.Jobs[r.ID] = b.job(e, r)
		}
	case "caution":
		var r rawCaution
		if b.decode(e, &r) {
			c.Cautions[r.ID] = &point.Caution{ID: r.ID, Say: r.Say}
		}
	case "source":
		var r rawDocument
		if b.decode(e, &r) {
			c.Sources[r.ID] = &point.Document{ID: r.ID, Title: r.Title, Says: r.Says, Year: r.Year}
		}
	case "spec":
		var r rawSpec
		if b.decode(e, &r) {
			c.Specs[r.ID] = &point.Spec{ID: r.ID, Name: r.Name, Ask: r.Ask, Unit: r.Unit, By: r.By, Values: r.Values, Min: r.Min, Max: r.Max, Default: r.Default}
		}
	case "facet":
		b.facet(c, e)
	case "table":
		b.table(c, e)
	case "law":
		b.law(e)
	case "sign", "cause", "complaint", "quiet":
		b.reason(e)
	case "setup", "part", "work":
		b.doing(c, e)
	case "regulation":
		var r rawRegulation
		if b.decode(e, &r) {
			reg := &point.Regulation{ID: r.ID, Title: r.Title}
			for _, i := range r.Items {
				reg.Items = append(reg.Items, point.Item{ID: i.ID, Title: i.Title, Applies: i.Applies, Status: i.Status, Heading: i.Heading})
			}
			c.Regulations = append(c.Regulations, reg)
		}
	}
}

func (b *builder) job(e *entry, r rawJob) *point.Job {
	j := &point.Job{ID: r.ID, Name: r.Name, Does: r.Does, Renews: r.Renews, Cautions: r.Cautions, Recheck: r.Recheck, When: r.When.When}
	for _, t := range r.Takes {
		if t.V.What == "" || (t.V.Spec == "") == (t.V.Rule == "") {
			b.fault(e.file, t.Line, "job %s: takes needs what, and either spec or rule", r.ID)
		}
		j.Takes = append(j.Takes, point.Take{What: t.V.What, Spec: t.V.Spec, Rule: t.V.Rule})
	}
	return j
}

func (b *builder) facet(c *point.Catalogue, e *entry) {
	var r rawFacet
	if !b.decode(e, &r) {
		return
	}
	d := &facet.Definition{ID: r.ID, Name: r.Name, Ask: r.Ask, Values: r.Values, Default: r.Default.Value}
	if r.Number != nil {
		d.Number = &facet.Range{From: r.Number.Min, To: r.Number.Max}
	}
	if d.Default != "" {
		if err := d.Check(d.Default); err != nil {
			b.fault(e.file, r.Default.Line, "default: %v", err)
		}
	}
	c.Facets[r.ID] = d
	c.FacetOrder = append(c.FacetOrder, r.ID)
}

func (b *builder) table(c *point.Catalogue, e *entry) {
	var r rawTable
	if !b.decode(e, &r) {
		return
	}
	t := &point.Table{ID: r.ID, By: r.By, Gives: r.Gives, Line: r.Between == "line", Source: source(r.Source)}
	if r.Between != "" && r.Between != "line" && r.Between != "step" {
		b.fault(e.file, e.node.Line, "table %s: between is %q; expected step or line", r.ID, r.Between)
	}
	if len(r.Rows) == 0 {
		b.fault(e.file, e.node.Line, "table %s has no rows", r.ID)
	}
	for _, row := range r.Rows {
		if len(row) != 2 {
			b.fault(e.file, e.node.Line, "table %s: expected rows of two", r.ID)
			continue
		}
		b.row(t, e, row)
	}
	c.Tables[r.ID] = t
}

func (b *builder) row(t *point.Table, e *entry, row []yaml.Node) {
	var x, y float64
	if err := row[1].Decode(&y); err != nil {
		b.fault(e.file, row[1].Line, "table %s: expected a number, not %q", t.ID, row[1].Value)
		return
	}
	if row[0].Decode(&x) != nil {
		if t.Words == nil {
			t.Words = map[string]float64{}
		}
		t.Words[row[0].Value] = y
		return
	}
	if n := len(t.Rows); n > 0 && t.Rows[n-1].X >= x {
		b.fault(e.file, row[0].Line, "table %s: rows must rise, %g comes after %g", t.ID, x, t.Rows[n-1].X)
	}
	t.Rows = append(t.Rows, point.Row{X: x, Y: y})
}

func (b *builder) family(c *point.Catalogue, e *entry) {
	var r rawFamily
	if !b.decode(e, &r) {
		return
	}
	f := &point.Family{ID: r.ID, Name: r.Name, When: r.When.When, Facets: r.Facets}
	b.when(c, e.file, r.When)
	for _, w := range r.WeakSpots {
		if c.Point(w.V.Point) == nil {
			b.fault(e.file, w.Line, "family %s: there is no point %q", r.ID, w.V.Point)
		}
		f.WeakSpots = append(f.WeakSpots, point.WeakSpot{Point: w.V.Point, Say: w.V.Say, Order: w.V.Order})
	}
	for _, s := range r.Specs {
		spec := c.Specs[s.V.ID]
		if spec == nil {
			b.fault(e.file, s.Line, "family %s: there is no specification %q", r.ID, s.V.ID)
			continue
		}
		fs := point.FamilySpec{ID: s.V.ID, Text: s.V.Value.Value, Origin: s.V.Origin}
		if !spec.Text() && s.V.Value.Decode(&fs.Value) != nil {
			b.fault(e.file, s.Line, "family %s: %s is %q; expected a number", r.ID, s.V.ID, fs.Text)
		}
		f.Specs = append(f.Specs, fs)
	}
	b.reasons.families = append(b.reasons.families, familyEntry{e, &r, f})
	for id, v := range r.Facets {
		d := c.Facets[id]
		if d == nil {
			b.fault(e.file, e.node.Line, "family %s: there is no facet %q", r.ID, id)
		} else if err := d.Check(v); err != nil {
			b.fault(e.file, e.node.Line, "family %s: %v", r.ID, err)
		}
	}
	c.Families = append(c.Families, f)
}

func source(r rawSource) point.Source {
	return point.Source{From: r.From, Section: r.Section, Status: r.Status}
}
