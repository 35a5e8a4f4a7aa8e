package web

import (
	"errors"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"witnessmark/shop"
)

// closeData is the form that closes work out.
type closeData struct {
	Path, ID, LastKm string
	Sheet            *shop.WorkSheet
	F                *form
	Items            []closeItem
	Parts            []closePart
	Readings         []closePoint
	Causes           []closeCause
	// Now are the looks to make before the car leaves, Later those that will come back.
	Now   []closeLook
	Later []string
	AskBy bool
	By    string
}

// closeItem is an agreed item with its fields.
type closeItem struct{ Name, Place, Done, Why, Minutes string }

// closePart is a part of the picking list with its fields.
type closePart struct {
	Name, For, Unit, Fit, Number, Batch, Amount string
	Maybe, On                                   bool
	Error                                       *shop.FieldError
}

// closeCause asks what a complaint turned out to be.
type closeCause struct {
	Asks, Cause, Note string
	Options           []option
}

// closeLook is a look before the car leaves.
type closeLook struct {
	Name, Say string
	On        bool
}

// workCloseShow asks how the work ended, with what was noted while it was done.
func (s *server) workCloseShow(w http.ResponseWriter, r *http.Request) error {
	return s.renderClose(w, r, newForm(nil), http.StatusOK)
}

// workClose closes work out.
func (s *server) workClose(w http.ResponseWriter, r *http.Request) error {
	f := newForm(r.PostForm)
	sheet, err := s.shop.WorkSheet(r.Context(), r.PathValue("decision"))
	if err != nil {
		return err
	}
	in := shop.CloseOutInput{ID: s.idOf(f), DecisionID: sheet.Decision.ID, On: f.Get("on"), Km: f.Get("km"), KmNote: f.Get("km-note"), Looked: f.Values["looked"], Note: f.Get("note"), By: by(w, r),
		Confirmed: f.Confirmed()}
	for _, it := range sheet.Items {
		in.Items = append(in.Items, shop.ItemInput{Item: it.ID, Outcome: f.Get("done|" + it.ID), WhyNot: f.Get("why|" + it.ID), Minutes: f.Get("minutes|" + it.ID)})
	}
	for _, p := range sheet.Parts {
		in.Parts = append(in.Parts, shop.PartInput{Step: p.Step, On: f.Get("fit|"+p.Step) != "", Number: f.Get("number|" + p.Step), Batch: f.Get("batch|" + p.Step), Amount: f.Get("amount|" + p.Step)})
	}
	for name := range f.Values {
		if complaint, ok := strings.CutPrefix(name, "cause|"); ok && f.Get(name) != "" {
			in.Causes = append(in.Causes, shop.ConfirmInput{Complaint: complaint, Cause: f.Get(name), Note: f.Get("cause-note|" + complaint)})
		}
	}
	slices.SortFunc(in.Causes, func(a, b shop.ConfirmInput) int { return strings.Compare(a.Complaint, b.Complaint) })
	v := baselineView(s.shop, sheet)
	for _, st := range v.Steps {
		a, _ := entry{s.shop, v, st, f.Values}.read()
		in.Readings = append(in.Readings, a.record...)
	}
	if err := s.shop.CloseOut(r.Context(), in); err != nil {
		if errors.Is(err, shop.ErrConflict) {
			return userError{http.StatusConflict, "This work is closed out already", "Somebody closed it out meanwhile. Open the work to see what was stored; nothing of this form was."}
		}
		if f.refused(s.renameClose(v, err)) {
			return s.renderClose(w, r, f, http.StatusUnprocessableEntity)
		}
		return err
	}
	return see(w, r, workPath(in.DecisionID)+"/done?did=closed")
}

// renameClose gives problems of readings the names of the form's fields.
func (s *server) renameClose(v *shop.RoundView, err error) error {
	var inv, out shop.Invalid
	if !errors.As(err, &inv) {
		return err
	}
	for _, p := range inv {
		id, field, ok := strings.Cut(strings.TrimPrefix(p.Field, "reading|"), "|")
		i := slices.IndexFunc(v.Steps, func(st shop.StepView) bool { return st.Point.ID == id })
		if !strings.HasPrefix(p.Field, "reading|") || !ok || i < 0 {
			out = append(out, p)
			continue
		}
		p.Field = field
		var renamed shop.Invalid
		if errors.As(s.rename(v.Car, shop.Invalid{p}, v.Steps[i]), &renamed) {
			for _, q := range renamed {
				q.Text = v.Steps[i].Point.Name + ", " + lowerFirst(q.Text)
				out = append(out, q)
			}
		}
	}
	return out
}

func (s *server) renderClose(w http.ResponseWriter, r *http.Request, f *form, status int) error {
	ctx := r.Context()
	sheet, err := s.shop.WorkSheet(ctx, r.PathValue("decision"))
	if err != nil {
		return err
	}
	if sheet.Close != nil {
		return see(w, r, workPath(sheet.Decision.ID)+"/done")
	}
	car, err := s.shop.CarPage(ctx, sheet.Car.CarID)
	if err != nil {
		return err
	}
	d := closeData{Path: workPath(sheet.Decision.ID), ID: s.idOf(f), Sheet: sheet, F: f, AskBy: initials(r) == "", By: f.Get("by")}
	if status == http.StatusOK {
		s.prefillClose(f, sheet, car)
	}
	if n := len(car.Odometer); n > 0 {
		d.LastKm = s.km(car.Car, car.Odometer[n-1].Km) + " on " + day(car.Odometer[n-1].On)
	}
	for _, st := range sheet.States {
		d.Items = append(d.Items, closeItem{Name: st.Name, Place: placeBeside(st.Name, st.Where), Done: "done|" + st.ID, Why: "why|" + st.ID, Minutes: "minutes|" + st.ID})
	}
	for _, p := range sheet.Parts {
		d.Parts = append(d.Parts, closePart{Name: p.Name, For: partFor(sheet, &p), Unit: p.Unit, Maybe: p.Maybe, Fit: "fit|" + p.Step, Number: "number|" + p.Step, Batch: "batch|" + p.Step, Amount: "amount|" + p.Step,
			On: f.Get("fit|"+p.Step) != ""})
	}
	d.Readings = s.closePoints(sheet, car, f)
	if d.Causes, err = s.closeCauses(r, sheet, f); err != nil {
		return err
	}
	d.looks(s, f)
	f.Labels = closeLabels
	s.render(w, r, status, "work_close", page{Title: "Close out the work on " + sheet.Car.Plate, Form: f, Data: d, Back: d.Path, BackWords: "The work"})
	return nil
}

// looks divides what the work calls for into what is looked at now and what comes back.
func (d *closeData) looks(s *server, f *form) {
	for _, l := range d.Sheet.Follows {
		if l.Days == 0 && l.Km == 0 {
			d.Now = append(d.Now, closeLook{"looked", l.Say, slices.Contains(f.Values["looked"], l.Say)})
			continue
		}
		var when []string
		if l.Days > 0 {
			when = append(when, "after "+countOf(l.Days, "day"))
		}
		if l.Km > 0 {
			when = append(when, "after "+s.km(d.Sheet.Car, float64(l.Km)))
		}
		d.Later = append(d.Later, l.Say+" "+capital(strings.Join(when, " or "))+".")
	}
}

// prefillClose fills the form with what was noted while the work was done.
func (s *server) prefillClose(f *form, sheet *shop.WorkSheet, car *shop.CarPage) {
	today := s.shop.Now().Format("2006-01-02")
	f.Set("on", today)
	if n := len(car.Odometer); n > 0 && car.Odometer[n-1].On == today {
		f.Set("km", typedKm(car.Car, car.Odometer[n-1].Km))
	}
	for _, st := range sheet.States {
		switch {
		case st.Cannot != "":
			f.Set("done|"+st.ID, shop.ItemWasNot)
			f.Set("why|"+st.ID, st.Cannot)
		case st.Done:
			f.Set("done|"+st.ID, shop.ItemWasDone)
		case whyCannot(st) != "":
			f.Set("done|"+st.ID, shop.ItemWasNot)
			f.Set("why|"+st.ID, whyCannot(st))
		}
		if st.Minutes > 0 {
			f.Set("minutes|"+st.ID, number(float64(st.Minutes)))
		}
	}
	for _, p := range sheet.Parts {
		f.Set("number|"+p.Step, p.Number)
		f.Set("amount|"+p.Step, p.Milli.String())
		if p.Fitted != nil {
			f.Set("fit|"+p.Step, "1")
			f.Set("number|"+p.Step, p.Fitted.Number)
			f.Set("batch|"+p.Step, p.Fitted.Batch)
			f.Set("amount|"+p.Step, p.Fitted.Milli.String())
		}
	}
}

// typedKm writes a distance as it would be typed.
func typedKm(c shop.CarVersion, km float64) string {
	if c.Units == "us" {
		km /= 1.609344
	}
	return strconv.FormatFloat(math.Round(km), 'f', 0, 64)
}

// closeCauses asks for the complaints of the estimate's round that nobody has confirmed a cause of.
func (s *server) closeCauses(r *http.Request, sheet *shop.WorkSheet, f *form) ([]closeCause, error) {
	if sheet.Draft.Said.RoundID == "" {
		return nil, nil
	}
	c, err := s.shop.Causes(r.Context(), sheet.Draft.Said.RoundID)
	if errors.Is(err, shop.ErrNotFound) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var out []closeCause
	for i := range c.Panels {
		complaint := c.Panels[i].Complaint
		if c.ConfirmedFor(complaint.ID) != nil {
			continue
		}
		k := closeCause{Asks: complaint.Asks, Cause: "cause|" + complaint.ID, Note: "cause-note|" + complaint.ID, Options: options("", "not found out, or not part of this work")}
		for _, x := range s.causeChoices(c, complaint, f.Get("cause|"+complaint.ID)) {
			k.Options = append(k.Options, option{Value: x.ID, Label: x.Name})
		}
		k.Options = append(k.Options, option{Value: shop.CauseElse, Label: "something else: say below what"})
		out = append(out, k)
	}
	return out, nil
}

// closeLabels names the form's fields in the summary of problems.
func closeLabels(name string) string {
	kind, _, _ := strings.Cut(name, "|")
	return map[string]string{"on": "Day", "km": "Odometer", "note": "Note", "batch": "Batch", "amount": "Amount", "number": "Number", "cause-note": "What it was"}[kind]
}
