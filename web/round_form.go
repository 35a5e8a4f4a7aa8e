package web

import (
	"net/url"
	"slices"
	"strings"

	"witnessmark/core/unit"
	"witnessmark/shop"
)

// fieldName names a form field of one place of a point: "state|tyre-damage|FL", "num|tyre-tread|FL/outer|mm". The
// same names serve the screen of one point and the typed-in sheet of a whole station.
func fieldName(kind, point, at string, more ...string) string {
	return strings.Join(append([]string{kind, point, at}, more...), "|")
}

// entry reads what a form says of one point of a round.
type entry struct {
	shop *shop.Shop
	view *shop.RoundView
	step shop.StepView
	form url.Values
}

// answers is what a form asks to be done at one point.
type answers struct {
	record   []shop.ReadingInput
	withdraw []shop.ReadingInput
	// changed lists the places that record names, in order.
	changed []string
}

// empty reports whether the form says nothing new.
func (a answers) empty() bool { return len(a.record)+len(a.withdraw) == 0 }

// read compares the form with what is stored and gives what is new. A place whose fields stand as they were shown is
// left alone, so that saving a grid twice makes no corrections.
func (e entry) read() (answers, shop.Invalid) {
	var out answers
	var bad shop.Invalid
	for _, at := range e.step.Slots {
		in, ok := e.slot(at)
		if !ok {
			continue
		}
		if isBlank(in) {
			out.withdraw = append(out.withdraw, in)
			continue
		}
		out.record = append(out.record, in)
		out.changed = append(out.changed, at)
	}
	if e.form.Get("do") == "skip" {
		bad = e.skip(&out)
	}
	if out.empty() && len(bad) == 0 {
		e.noteOnly(&out)
	}
	return out, bad
}

// skip says of every place that is still open why it was not looked at.
func (e entry) skip(out *answers) shop.Invalid {
	reason := e.reason()
	if reason == "" {
		return shop.Invalid{{Field: "reason", Text: "Say why it was not looked at: pick a reason or write one."}}
	}
	if len(out.record) > 0 && len(e.step.Slots) == 1 {
		return shop.Invalid{{Field: "reason", Text: "There is an answer as well. Save it, or clear it and say why it was not looked at."}}
	}
	for _, at := range e.step.Slots {
		if now, ok := currentAt(e.step, at); ok && (len(e.step.Slots) > 1 || now.Skipped == reason) || slices.Contains(out.changed, at) {
			continue
		}
		in := e.base(at)
		in.Skipped = reason
		out.record = append(out.record, in)
		out.changed = append(out.changed, at)
	}
	if out.empty() && len(e.step.Slots) > 1 {
		return shop.Invalid{{Field: "reason", Text: "Every place has an answer already. Clear the one that was not looked at, or undo it, then say why."}}
	}
	return nil
}

// reason gives the reason that was written, else the one that was picked.
func (e entry) reason() string {
	if own := strings.TrimSpace(e.form.Get("reason")); own != "" {
		return own
	}
	return strings.TrimSpace(e.form.Get("quick"))
}

// noteOnly writes the stored readings again when only the note has changed.
func (e entry) noteOnly(out *answers) {
	if !e.noteChanged() {
		return
	}
	for _, at := range e.step.Slots {
		now, ok := e.step.Current[at]
		if !ok {
			continue
		}
		in := e.base(at)
		in.State, in.Code, in.Skipped = now.State, now.Code, now.Skipped
		for name, v := range now.Values {
			in.Numbers[name] = exactText(name, v)
		}
		out.record = append(out.record, in)
		out.changed = append(out.changed, at)
	}
}

// noteChanged reports whether the form has a note that differs from the one that was shown.
func (e entry) noteChanged() bool {
	return e.form.Has("note") && strings.TrimSpace(e.form.Get("note")) != noteOf(e.step)
}

// base is a reading of one place with what is common to all.
func (e entry) base(at string) shop.ReadingInput {
	id := strings.TrimSpace(e.form.Get(fieldName("id", e.step.Point.ID, at)))
	if id == "" {
		id = e.shop.NewID()
	}
	note := e.step.Current[at].Note
	if e.noteChanged() {
		note = strings.TrimSpace(e.form.Get("note"))
	}
	return shop.ReadingInput{ID: id, RoundID: e.view.Round.ID, Point: e.step.Point.ID, At: at, Numbers: map[string]string{},
		Note: note, By: strings.TrimSpace(e.form.Get("by")), TakenAt: takenAt(e.form), Confirmed: e.form.Get("confirmed") != ""}
}

// isBlank reports whether a reading says nothing: its fields were cleared.
func isBlank(in shop.ReadingInput) bool {
	return in.State == "" && in.Code == "" && len(in.Numbers) == 0 && in.Skipped == ""
}

// noteOf gives the note of a point: the first that one of its readings carries.
func noteOf(step shop.StepView) string {
	for _, at := range step.Slots {
		if n := step.Current[at].Note; n != "" {
			return n
		}
	}
	return ""
}

// exactText writes a stored number so that reading it again gives exactly it.
func exactText(name string, v float64) string {
	u, _ := unit.ValueUnit(name)
	return unit.Quantity{Value: v, Unit: u}.String()
}

// cutKind takes the kind off a field's name; false when it is not a name of fieldName.
func cutKind(name string) (kind, rest string, ok bool) { return strings.Cut(name, "|") }
