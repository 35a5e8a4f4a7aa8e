package web

import (
	"net/http"
	"strings"

	"witnessmark/core/work"
	"witnessmark/shop"
)

// workShowData is a work sheet.
type workShowData struct {
	Path, CarPath string
	Sheet         *shop.WorkSheet
	F             *form
	Lines         []workLine
	Items         []workItem
	Parts         []workPart
	// Expected is the catalogue's time in words.
	Expected string
	Percent  int
	Closed   bool
	Back     []workBackLine
	// Elsewhere is what of the work other estimates hold too, or did already.
	Elsewhere []elsewhereLine
	AskBy     bool
	By        string
}

// workLine is a line with the id that its form makes notes by.
type workLine struct {
	shop.WorkLine
	ID, Anchor, Place, Undo string
	Begin, IsUndo           bool
	Minutes                 string
}

// workItem is an item with its forms' ids.
type workItem struct {
	shop.WorkItem
	ID1, ID2, Place, Why, Minutes string
	// Taken is the time that was noted, in words.
	Taken     string
	Error     *shop.FieldError
	Elsewhere []elsewhereLine
	Open      bool
}

// workPart is a part with its form's id, and what was typed.
type workPart struct {
	shop.WorkPartLine
	ID, Anchor, For, Number, Batch, Amount string
	Errors                                 shop.Invalid
}

// workShow shows the work sheet of a car.
func (s *server) workShow(w http.ResponseWriter, r *http.Request) error {
	return s.renderWork(w, r, newForm(nil), http.StatusOK)
}

func (s *server) renderWork(w http.ResponseWriter, r *http.Request, f *form, status int) error {
	sheet, err := s.shop.WorkSheet(r.Context(), r.PathValue("decision"))
	if err != nil {
		return err
	}
	d := workShowData{Path: workPath(sheet.Decision.ID), CarPath: "/cars/" + sheet.Car.CarID, Sheet: sheet, F: f, Closed: sheet.Close != nil, Back: backLines(sheet.WorkOrder), AskBy: initials(r) == "", By: f.Get("by")}
	for i, l := range sheet.Lines {
		d.Lines = append(d.Lines, workLine{WorkLine: l, ID: s.shop.NewID(), Anchor: "step-" + number(float64(i+1)), Place: placeBeside(l.Name, l.Where), Begin: l.Kind == work.Begin, IsUndo: l.Kind == work.Undo})
	}
	for _, st := range sheet.States {
		held := elsewhereLines(st.Elsewhere, sheet.Draft.Said.Estimate)
		d.Elsewhere = append(d.Elsewhere, held...)
		it := workItem{WorkItem: st, ID1: s.shop.NewID(), ID2: s.shop.NewID(), Place: placeBeside(st.Name, st.Where), Why: whyCannot(st), Elsewhere: held}
		if st.Minutes > 0 {
			it.Minutes, it.Taken = number(float64(st.Minutes)), countOf(st.Minutes, "minute")
		}
		if f.Bad() && f.Get("item") == st.ID && f.Get("step") == "" {
			it.Open, it.Error = true, &f.Problems[0]
			if f.Get("what") == shop.WorkCannot {
				it.Why = f.Get("note")
			} else {
				it.Minutes = f.Get("minutes")
			}
		}
		d.Items = append(d.Items, it)
	}
	for i, p := range sheet.Parts {
		d.Parts = append(d.Parts, s.workPart(sheet, p, i, f))
	}
	if sheet.Minutes > 0 {
		d.Expected = countOf(sheet.Minutes, "minute")
	}
	if sheet.Steps > 0 {
		d.Percent = 100 * sheet.Ticked / sheet.Steps
	}
	f.Labels = func(name string) string {
		return map[string]string{"note": "Why not", "minutes": "Time taken", "amount": "Amount", "batch": "Batch", "number": "Number"}[name]
	}
	p := page{Title: "Work on " + sheet.Car.Plate, Form: f, Data: d, Back: "/bay", BackWords: "Work"}
	p.Notice = map[string]string{"undone": "Taken back.",
		"reopened": "The close-out is taken back. Nothing that it stored counts any more, and the work is open again with what was ticked."}[r.URL.Query().Get("did")]
	s.render(w, r, status, "work_show", p)
	return nil
}

// whyCannot is why an item can't be done: as noted, else that another estimate's work did it.
func whyCannot(st shop.WorkItem) string {
	if st.Cannot == "" && len(st.Elsewhere) > 0 && st.Elsewhere[0].DoneOn != "" {
		return "done already on " + day(st.Elsewhere[0].DoneOn) + ", on estimate " + st.Elsewhere[0].Number
	}
	return st.Cannot
}

// placeBeside is a place to be shown beside a name; empty where the name says it already.
func placeBeside(name, place string) string {
	if strings.HasSuffix(name, place) {
		return ""
	}
	return place
}

// partFor says for which items a part is, where several items could take one of its name.
func partFor(sheet *shop.WorkSheet, p *shop.WorkPartLine) string {
	if len(sheet.Items) < 2 {
		return ""
	}
	var names []string
	for _, id := range p.Items {
		if it := sheet.Item(id); it != nil {
			names = append(names, lowerFirst(it.Name))
		}
	}
	return strings.Join(names, "; ")
}

func (s *server) workPart(sheet *shop.WorkSheet, p shop.WorkPartLine, i int, f *form) workPart {
	out := workPart{WorkPartLine: p, For: partFor(sheet, &p), ID: s.shop.NewID(), Anchor: "part-" + number(float64(i+1)), Number: p.Number, Amount: p.Milli.String()}
	if p.Fitted != nil {
		out.Number, out.Batch, out.Amount = p.Fitted.Number, p.Fitted.Batch, p.Fitted.Milli.String()
	}
	if f.Bad() && f.Get("step") == p.Step {
		out.Number, out.Batch, out.Amount, out.Errors = f.Get("number"), f.Get("batch"), f.Get("amount"), f.Problems
	}
	return out
}

// workNote stores a tick, its taking back, a part, the time or why an item can't be done.
func (s *server) workNote(w http.ResponseWriter, r *http.Request) error {
	f := newForm(r.PostForm)
	in := shop.WorkInput{ID: s.idOf(f), DecisionID: r.PathValue("decision"), Item: f.Get("item"), Step: f.Get("step"), What: f.Get("what"), Minutes: f.Get("minutes"),
		Note: f.Get("note"), Number: f.Get("number"), Batch: f.Get("batch"), Amount: f.Get("amount"), By: by(w, r)}
	if err := s.again(&in.ID, func() error { return s.shop.NoteWork(r.Context(), in) }); err != nil {
		if f.refused(err) {
			return s.renderWork(w, r, f, http.StatusUnprocessableEntity)
		}
		return err
	}
	where := workPath(in.DecisionID)
	if in.What == shop.WorkOpen {
		where += "?did=undone"
	}
	return see(w, r, where+"#"+workAnchor(f.Get("anchor")))
}

// workAnchor keeps an anchor to what this page has.
func workAnchor(text string) string {
	for _, c := range text {
		if (c < 'a' || c > 'z') && (c < '0' || c > '9') && c != '-' {
			return "steps"
		}
	}
	if text == "" {
		return "steps"
	}
	return text
}
