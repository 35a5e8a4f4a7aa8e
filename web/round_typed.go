package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"witnessmark/core/point"
	"witnessmark/shop"
)

// typeLine lays out one point of the sheet. The fields show what is stored, or what was typed and refused.
func (s *server) typeLine(v *shop.RoundView, st shop.StepView, f *form) typeLine {
	p := st.Point
	e := entry{s.shop, v, st, f.Values}
	line := typeLine{Point: p, List: FieldID("list|" + p.ID)}
	for i, state := range p.States {
		line.Codes = append(line.Codes, strconv.Itoa(i+1)+" "+state.Say)
	}
	for _, at := range st.Slots {
		sc := s.slotScreen(e, at)
		slot := typeSlot{Where: sc.Where, IDName: fieldName("id", p.ID, at), ID: sc.ID}
		now, _ := currentAt(st, at)
		switch p.Kind {
		case point.Code:
			slot.Fields = []numberScreen{reasoned(sc.Code, now)}
		case point.Measure:
			slot.Fields = sc.Numbers
			slot.Fields[0] = reasoned(slot.Fields[0], now)
		default:
			slot.Fields = append([]numberScreen{textScreen(e, at, now)}, withoutFraction(sc.Numbers)...)
		}
		for i := range slot.Fields {
			fld := &slot.Fields[i]
			fld.Error = f.Problem(fld.Name)
			fld.Last = ""
		}
		slot.Fields[0].Last = sc.Last
		line.Slots = append(line.Slots, slot)
	}
	line.Shared = s.sharedScreens(e)
	for i := range line.Shared {
		line.Shared[i].Error = f.Problem(line.Shared[i].Name)
	}
	return line
}

// reasoned shows why a place was not looked at in its first field.
func reasoned(n numberScreen, now shop.ReadingFact) numberScreen {
	if now.Skipped != "" && n.Text == "" {
		n.Text = "? " + now.Skipped
	}
	return n
}

// textScreen is the field of a state or a level.
func textScreen(e entry, at string, now shop.ReadingFact) numberScreen {
	name := fieldName("text", e.step.Point.ID, at)
	n := numberScreen{Name: name, ID: FieldID(name), Label: "answer", Text: e.textOf(now)}
	if e.form.Has(name) {
		n.Text = e.form.Get(name)
	}
	return n
}

// textOf writes a stored state as it would be typed.
func (e entry) textOf(now shop.ReadingFact) string {
	if now.Skipped != "" {
		return "? " + now.Skipped
	}
	for i, st := range e.step.Point.States {
		if st.ID == now.State {
			return strconv.Itoa(i+1) + " " + st.Say
		}
	}
	if _, ok := now.Values["fraction"]; ok {
		return e.shown(now, "fraction")
	}
	return ""
}

// withoutFraction leaves out the share of the band, which the answer's own field takes.
func withoutFraction(list []numberScreen) []numberScreen {
	var out []numberScreen
	for _, n := range list {
		if !strings.HasSuffix(n.Name, "|fraction") {
			out = append(out, n)
		}
	}
	return out
}

// takeTyped stores the typed readings of one point and gives their number. Fields of stored readings are taken out of
// the form, so that it shows them as they are stored.
func (s *server) takeTyped(r *http.Request, v *shop.RoundView, st shop.StepView, f *form) (int, error) {
	e := entry{s.shop, v, st, f.Values}
	said, bad := e.typed()
	if bad != nil {
		f.Problems = append(f.Problems, bad...)
		return 0, nil
	}
	sub := newForm(said)
	changed, err := s.take(r, v, st, sub)
	if err != nil {
		return 0, err
	}
	if sub.Bad() {
		for _, p := range sub.Problems {
			p.Field = e.typedName(p.Field)
			p.Text = st.Point.Name + ", " + lowerFirst(p.Text)
			f.Problems = append(f.Problems, p)
		}
		return 0, nil
	}
	for name := range f.Values {
		if parts := strings.Split(name, "|"); len(parts) > 1 && parts[1] == st.Point.ID {
			f.Values.Del(name)
		}
	}
	return len(changed), nil
}

// typedName finds the sheet's field for a problem of a reading's field.
func (e entry) typedName(field string) string {
	parts := strings.Split(field, "|")
	if len(parts) < 3 {
		return field
	}
	states := e.step.Point.Kind == point.State || e.step.Point.Kind == point.Level
	if parts[0] == "state" && !states && len(e.step.Point.Values) > 0 {
		return fieldName("num", parts[1], parts[2], ownValues(e.step.Point)[0].Name)
	}
	if parts[0] == "state" || states && parts[len(parts)-1] == "fraction" {
		return fieldName("text", parts[1], parts[2])
	}
	return field
}

// typed turns the sheet's fields of one point into those of its screen.
func (e entry) typed() (url.Values, shop.Invalid) {
	p := e.step.Point
	out := url.Values{"by": e.form["by"], "taken": e.form["taken"], "confirmed": e.form["confirmed"]}
	var bad shop.Invalid
	for name, values := range e.form {
		if parts := strings.Split(name, "|"); len(parts) > 2 && parts[1] == p.ID && parts[0] != "text" {
			out[name] = values
		}
	}
	for _, at := range e.step.Slots {
		first := e.firstField(at)
		if !e.form.Has(first) {
			continue
		}
		text := strings.TrimSpace(e.form.Get(first))
		if reason, ok := strings.CutPrefix(text, "?"); ok {
			out.Del(first)
			reason = strings.TrimSpace(reason)
			if reason == "" {
				bad = append(bad, shop.FieldError{Field: first, Text: p.Name + ": write why after the question mark, for example “? covered”."})
			}
			out.Set(fieldName("skip", p.ID, at), reason)
			continue
		}
		if strings.HasPrefix(first, "text|") {
			if why := e.answer(at, text, out); why != "" {
				bad = append(bad, shop.FieldError{Field: first, Text: p.Name + ": " + why})
			}
		}
	}
	return out, bad
}

// firstField names the field in which a place's answer, or the reason for none, is typed.
func (e entry) firstField(at string) string {
	p := e.step.Point
	switch p.Kind {
	case point.Code:
		return fieldName("code", p.ID, at)
	case point.Measure:
		return fieldName("num", p.ID, at, ownValues(p)[0].Name)
	}
	return fieldName("text", p.ID, at)
}
