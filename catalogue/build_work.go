package catalogue

import (
	"fmt"
	"strconv"
	"strings"

	"witnessmark/core/point"
)

// workEntry is a job's work on its way into the catalogue.
type workEntry struct {
	e    *entry
	raw  *rawWork
	work *point.Work
}

// setupEntry is a preparation on its way into the catalogue.
type setupEntry struct {
	e     *entry
	raw   *rawSetup
	setup *point.Setup
}

// doing takes one entry that says how jobs are done; what it refers to is checked once all are read.
func (b *builder) doing(c *point.Catalogue, e *entry) {
	switch e.kind {
	case "setup":
		var r rawSetup
		if b.decode(e, &r) {
			s := &point.Setup{ID: r.ID, Name: r.Name, Does: r.Does, Undo: r.Undo, Minutes: r.Minutes, UndoMinutes: r.UndoMinutes,
				Order: r.Order, Axle: r.Axle, Under: r.Under, Last: r.Last, Fills: r.Fills, Cautions: r.Cautions}
			s.Parts, s.Fields, s.Follows = b.workParts(e, r.Parts), workFields(r.Fields), workFollows(r.Follows)
			c.Setups[r.ID] = s
			b.setups = append(b.setups, setupEntry{e, &r, s})
		}
	case "part":
		var r rawPart
		if b.decode(e, &r) {
			c.Parts[r.ID] = &point.PartKind{ID: r.ID, Name: r.Name, Unit: r.Unit, Fluid: r.Fluid, Sundry: r.Sundry, For: r.For, Circuit: r.Circuit, Thins: r.Thins}
			b.checkPart(e, c.Parts[r.ID])
		}
	case "work":
		var r rawWork
		if b.decode(e, &r) {
			w := b.workOf(e, &r)
			c.Work[r.ID] = w
			b.work = append(b.work, workEntry{e, &r, w})
		}
	}
}

func (b *builder) workOf(e *entry, r *rawWork) *point.Work {
	w := &point.Work{Job: r.ID, Setups: r.Setups, Per: r.Per, Baselines: r.Baselines, Parts: b.workParts(e, r.Parts),
		Fields: workFields(r.Fields), Follows: workFollows(r.Follows)}
	for _, s := range r.Steps {
		w.Steps = append(w.Steps, point.WorkStep{Say: s.V.Say, Minutes: s.V.Minutes, Cautions: s.V.Cautions, In: s.V.In, When: s.V.When.When})
	}
	return w
}

func (b *builder) workParts(e *entry, raw []at[rawWorkPart]) []point.WorkPart {
	var out []point.WorkPart
	for _, p := range raw {
		milli, err := thousandths(p.V.Amount.Value)
		if err != nil {
			b.fault(e.file, p.Line, "%s %s, part %s: %v", e.kind, e.id, p.V.Part, err)
		}
		out = append(out, point.WorkPart{Part: p.V.Part, Milli: milli, Maybe: p.V.Maybe, Circuit: p.V.Circuit, When: p.V.When.When})
	}
	return out
}

func workFields(raw []at[rawWorkField]) []point.WorkField {
	var out []point.WorkField
	for _, f := range raw {
		out = append(out, point.WorkField{Name: f.V.Name, Spec: f.V.Spec, Unit: f.V.Unit})
	}
	return out
}

func workFollows(raw []at[rawWorkFollow]) []point.WorkFollow {
	var out []point.WorkFollow
	for _, f := range raw {
		out = append(out, point.WorkFollow{Say: f.V.Say, Point: f.V.Point, Days: f.V.Days, Km: f.V.Km, Source: f.V.Source})
	}
	return out
}

// mostAmount bounds how much of a part one doing takes, in its unit.
const mostAmount = 1000

// thousandths reads an amount such as 0.25 exactly, in thousandths.
func thousandths(text string) (int64, error) {
	wrong := fmt.Errorf("amount is %q; expected a number above 0, at most %d, with at most three decimals", text, mostAmount)
	whole, part, _ := strings.Cut(text, ".")
	if len(part) > 3 || len(whole) > 4 || strings.Trim(whole+part, "0123456789") != "" || whole == "" {
		return 0, wrong
	}
	n, err := strconv.ParseInt(whole+part+strings.Repeat("0", 3-len(part)), 10, 64)
	if err != nil || n <= 0 || n > mostAmount*1000 {
		return 0, wrong
	}
	return n, nil
}

// allWork checks what preparations and work say of one another and of the rest, once everything is read.
func (b *builder) allWork(c *point.Catalogue) {
	for _, s := range b.setups {
		b.checkSetup(c, s)
	}
	for _, w := range b.work {
		b.checkWork(c, w)
	}
}
