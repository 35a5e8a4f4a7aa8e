package shop

import (
	"context"
	"slices"
	"strconv"

	"witnessmark/core/estimate"
	"witnessmark/core/facet"
	"witnessmark/core/money"
	"witnessmark/core/point"
	"witnessmark/core/unit"
	"witnessmark/core/work"
)

// WorkSheet is agreed work laid out in the order in which it is done, with what is ticked.
type WorkSheet struct {
	*WorkOrder
	Facets facet.Set
	Lines  []WorkLine
	// States are how the accepted items stand, in their order.
	States []WorkItem
	Fields []WorkField
	Parts  []WorkPartLine
	// Follows are looks that the work calls for, Baselines what is read when it is done.
	Follows   []work.Follow
	Baselines []work.Baseline
	// Minutes is what the catalogue expects, every preparation once; Ticked of Steps lines are done.
	Minutes, Ticked, Steps int
}

// WorkLine is one line of a sheet. Item and Step name it in notes; Item is empty for preparations.
type WorkLine struct {
	work.Line
	Item, Step string
	// Warn are the cautions of the step, as sentences.
	Warn []string
	// Where names the place in words; empty for the whole car.
	Where string
	Done  bool
	By    string
	// Off is true when every item that needs the line can't be done.
	Off bool
}

// WorkItem is how an accepted item stands.
type WorkItem struct {
	estimate.Item
	// Doing is what it does; Known is false when the catalogue does not say how.
	Doing work.Doing
	Known bool
	// Where names the place in words; empty for the whole car.
	Where string
	// Cannot is the reason why it can't be done, empty while it can.
	Cannot string
	// Done is true when the item or all its steps are ticked.
	Done    bool
	Minutes int
	// Ticked of Steps lines of its own are done.
	Ticked, Steps int
	// Elsewhere says where else it is agreed, or was done; the latter stands first.
	Elsewhere []Elsewhere
}

// WorkField is a figure that the work needs.
type WorkField struct {
	Name string
	// Value is the car's figure with its unit and where it comes from; empty when it stands in the maker's papers.
	Value, Origin string
	Unit          string
	// Spec is the id of the car's specification that would hold it; may be empty.
	Spec string
	// For names the jobs that need it.
	For []string
}

// WorkPartLine is one part of the picking list.
type WorkPartLine struct {
	// Step names it in notes; Line is the estimate's line, empty for what is laid ready and fitted only when needed, beyond what was agreed.
	Step, Line   string
	Name, Number string
	Unit         string
	Milli        money.Milli
	Maybe        bool
	// Items are the accepted items that take it.
	Items  []string
	Fitted *Fitted
	By     string
}

// Much is how much of it is agreed or laid ready, in words.
func (p *WorkPartLine) Much() string { return muchOf(p.Milli, p.Unit) }

// FittedMuch is how much of it was fitted, in words; empty when none was.
func (p *WorkPartLine) FittedMuch() string {
	if p.Fitted == nil {
		return ""
	}
	return muchOf(p.Fitted.Milli, p.Unit)
}

func muchOf(q money.Milli, u string) string {
	l := estimate.Line{Milli: q, Unit: u}
	return l.Much()
}

// FittedMuch is how much of a part was fitted, in words, by the unit that the picking list gives it.
func (w *WorkSheet) FittedMuch(f *Fitted) string {
	if u := w.unitOf(f.Line, f.Name); u != "" {
		return muchOf(f.Milli, u)
	}
	return f.Milli.String()
}

// unitOf is the unit of a fitted part: of its line, or of what was laid ready by that name; empty when the list has it no longer.
func (w *WorkSheet) unitOf(line, name string) string {
	for i := range w.Parts {
		if p := &w.Parts[i]; p.Line == line && (line != "" || p.Name == name) {
			return p.Unit
		}
	}
	return ""
}

// WorkSheet lays agreed work out; ErrNotFound when the decision agreed to nothing.
func (s *Shop) WorkSheet(ctx context.Context, decisionID string) (*WorkSheet, error) {
	o, err := s.WorkOrder(ctx, decisionID)
	if err != nil {
		return nil, err
	}
	return s.sheetOf(o), nil
}

// sheetOf lays the accepted items out with what was noted.
func (s *Shop) sheetOf(o *WorkOrder) *WorkSheet {
	w := &WorkSheet{WorkOrder: o, Facets: s.FacetsOf(o.Car)}
	owner := map[work.Doing]string{}
	var doings []work.Doing
	for _, it := range o.Items {
		d := work.Doing{Job: it.Job, At: it.At}
		known := s.cat.Work[it.Job] != nil && owner[d] == ""
		if known {
			owner[d] = it.ID
			doings = append(doings, d)
		}
		w.States = append(w.States, WorkItem{Item: it, Doing: d, Known: known, Where: s.cat.JobWhere(it.Job, it.At, w.Facets), Elsewhere: o.elsewhere(it.ID)})
	}
	sheet := work.SheetOf(s.cat, doings, w.Facets)
	w.Minutes = sheet.Minutes
	for _, l := range sheet.Lines {
		w.Lines = append(w.Lines, s.workLine(l, owner, w.Facets))
	}
	for _, it := range w.States {
		if !it.Known {
			w.Lines = append(w.Lines, s.loneLine(&it))
		}
	}
	w.Fields = s.workFields(o.Car, doings)
	w.Parts = s.workParts(w, doings)
	w.Follows = work.Follows(s.cat, doings)
	w.Baselines = work.Baselines(s.cat, doings, w.Facets)
	w.tick()
	w.judgeItems(s.cat)
	return w
}

func (s *Shop) workLine(l work.Line, owner map[work.Doing]string, facets facet.Set) WorkLine {
	out := WorkLine{Line: l, Warn: s.cautionTexts(l.Cautions), Where: s.cat.JobWhere(l.Doing.Job, l.Doing.At, facets)}
	switch l.Kind {
	case work.Step:
		out.Item, out.Step = owner[l.Doing], strconv.Itoa(l.Step)
	default:
		out.Step = string(l.Kind) + "/" + l.Setup
	}
	return out
}

// loneLine is the one line of an item of which the catalogue does not say how it is done.
func (s *Shop) loneLine(it *WorkItem) WorkLine {
	l := WorkLine{Line: work.Line{Kind: work.Step, Name: it.Name, Say: it.Name}, Item: it.ID, Step: "0", Where: it.Where}
	if j := s.cat.Jobs[it.Job]; j != nil {
		l.Warn = s.cautionTexts(j.Cautions)
	}
	return l
}

// workFields are the figures of the work, filled from the car where it has them.
func (s *Shop) workFields(c CarVersion, doings []work.Doing) []WorkField {
	specs := s.judgedCar(c, -1, nil).Specs
	var out []WorkField
	for _, f := range work.Fields(s.cat, doings) {
		w := WorkField{Name: f.Name, Unit: f.Unit, Spec: f.Spec}
		if e, ok := specs[f.Spec]; ok && f.Spec != "" {
			w.Value, w.Origin = e.Text, e.Origin
			for _, d := range f.Of {
				if x, ok := e.At(d.At); ok {
					w.Value = specFigure(c, s.cat.Specs[f.Spec], x)
					break
				}
			}
		}
		for _, d := range f.Of {
			if j := s.cat.Jobs[d.Job]; j != nil {
				w.For = appendOnce(w.For, j.Name)
			}
		}
		out = append(out, w)
	}
	return out
}

// specFigure writes a figure of the car the user's way.
func specFigure(c CarVersion, d *point.Spec, x float64) string {
	if d == nil {
		return strconv.FormatFloat(x, 'g', 6, 64)
	}
	if u, ok := unit.ByName(d.Unit); ok {
		return unit.Format(x, u, system(c), 2)
	}
	return strconv.FormatFloat(x, 'g', 6, 64) + " " + d.Unit
}

// workParts is the picking list: the parts and fluids agreed to, then what is laid ready.
func (s *Shop) workParts(w *WorkSheet, doings []work.Doing) []WorkPartLine {
	var out []WorkPartLine
	take := func(lines []estimate.Line, items []string) {
		for _, l := range lines {
			if l.Kind == estimate.Part || l.Kind == estimate.Fluid {
				out = append(out, WorkPartLine{Step: "line/" + l.ID, Line: l.ID, Name: l.Name, Number: l.Number, Unit: l.Unit, Milli: l.Milli, Items: items})
			}
		}
	}
	for _, it := range w.Items {
		take(it.Lines, []string{it.ID})
	}
	for _, sh := range w.Draft.Said.Estimate.Shared {
		items := slices.DeleteFunc(slices.Clone(sh.Items), func(id string) bool { return w.Item(id) == nil })
		if len(items) > 0 {
			take(sh.Lines, items)
		}
	}
	for _, p := range work.Pick(s.cat, doings, w.Facets) {
		k := s.cat.Parts[p.Part]
		if !p.Maybe || k == nil {
			continue
		}
		l := WorkPartLine{Step: "maybe/" + p.Part, Name: k.Name, Unit: k.Unit, Milli: money.Milli(p.Milli), Maybe: true}
		for _, st := range w.States {
			if slices.Contains(p.Of, st.Doing) && st.Known {
				l.Items = append(l.Items, st.ID)
			}
		}
		out = append(out, l)
	}
	return out
}

// tick lays the notes that count over the sheet.
func (w *WorkSheet) tick() {
	last := w.lastNotes()
	for i := range w.Lines {
		l := &w.Lines[i]
		if n := last[noted{l.Item, l.Step}]; n != nil && n.Said.What == WorkDone && n.Said.Note == l.Say {
			l.Done, l.By = true, n.By
		}
	}
	for i := range w.Parts {
		p := &w.Parts[i]
		if n := last[noted{"", p.Step}]; n != nil && n.Said.What == WorkPart {
			p.Fitted, p.By = n.Said.Part, n.By
		}
	}
	for i := range w.States {
		st := &w.States[i]
		if n := last[noted{st.ID, ""}]; n != nil {
			st.Done = n.Said.What == WorkDone
			if n.Said.What == WorkCannot {
				st.Cannot = n.Said.Note
			}
		}
		if n := last[noted{st.ID, notedMinutes}]; n != nil {
			st.Minutes = n.Said.Minutes
		}
	}
}

// judgeItems counts ticks, and sets off what nothing needs any more.
func (w *WorkSheet) judgeItems(cat *point.Catalogue) {
	needed := map[string]bool{}
	for i := range w.States {
		st := &w.States[i]
		for _, l := range w.Lines {
			if l.Item != st.ID {
				continue
			}
			st.Steps++
			if l.Done {
				st.Ticked++
			}
		}
		st.Done = st.Cannot == "" && (st.Done || st.Steps > 0 && st.Ticked == st.Steps)
		if st.Cannot == "" && st.Known {
			for _, u := range work.SetupsOf(cat, st.Doing) {
				needed[u.ID] = true
			}
		}
	}
	for i := range w.Lines {
		l := &w.Lines[i]
		if l.Kind == work.Step {
			l.Off = slices.ContainsFunc(w.States, func(st WorkItem) bool { return st.ID == l.Item && st.Cannot != "" })
		} else {
			// What was begun is undone, needed or not.
			begun := slices.ContainsFunc(w.Lines, func(b WorkLine) bool { return b.Kind == work.Begin && b.Setup == l.Setup && b.Done })
			l.Off = !needed[l.Setup] && !begun
		}
		if l.Off {
			continue
		}
		w.Steps++
		if l.Done {
			w.Ticked++
		}
	}
}

// Sheet lays agreed work out that was read already.
func (s *Shop) Sheet(o *WorkOrder) *WorkSheet { return s.sheetOf(o) }
