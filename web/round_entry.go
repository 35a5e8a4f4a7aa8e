package web

import (
	"net/url"
	"strconv"
	"strings"

	"witnessmark/core/point"
	"witnessmark/shop"
)

// slot reads one place of the point from the form; false when the form says nothing new of it.
func (e entry) slot(at string) (shop.ReadingInput, bool) {
	p := e.step.Point
	now, has := currentAt(e.step, at)
	in := e.base(at)
	seen, changed := false, false
	take := func(typed, shown string) string {
		seen = true
		changed = changed || typed != shown
		return typed
	}
	if typed, ok := e.state(at); ok {
		in.State = take(typed, now.State)
	} else if e.pressed() && has {
		in.State = now.State
	}
	if name := fieldName("code", p.ID, at); e.form.Has(name) {
		in.Code = take(strings.TrimSpace(e.form.Get(name)), now.Code)
	}
	if name := fieldName("skip", p.ID, at); e.form.Has(name) {
		in.Skipped = e.form.Get(name)
		take(in.Skipped, now.Skipped)
		return in, changed
	}
	own := 0
	for _, v := range ownValues(p) {
		name := fieldName("num", p.ID, at, v.Name)
		if !e.form.Has(name) {
			continue
		}
		typed := strings.TrimSpace(e.form.Get(name))
		shown := e.shown(now, v.Name)
		take(typed, shown)
		if typed == "" {
			continue
		}
		own++
		in.Numbers[v.Name] = typed
		if typed == shown {
			in.Numbers[v.Name] = exactText(v.Name, now.Values[v.Name])
		}
	}
	settleLevel(&in, now, e.shown(now, "fraction"))
	if in.State != "" || own > 0 {
		changed = e.companions(in, now) && has || changed
	}
	if _, own := e.step.Current[at]; isBlank(in) && (!own || now.Skipped != "") {
		return in, false
	}
	if !seen || !changed {
		return in, false
	}
	return in, true
}

// settleLevel keeps one of a level's two ways of saying it when only one of them is new: the one that was entered.
func settleLevel(in *shop.ReadingInput, now shop.ReadingFact, shown string) {
	fraction, has := in.Numbers["fraction"]
	if !has || in.State == "" {
		return
	}
	kept := shown != "" && fraction == exactText("fraction", now.Values["fraction"])
	switch {
	case kept && in.State != now.State:
		delete(in.Numbers, "fraction")
	case !kept && in.State == now.State:
		in.State = ""
	}
}

// state gives the state that the form names for a place: the one for all places, else its own.
func (e entry) state(at string) (string, bool) {
	id := e.step.Point.ID
	if all := e.form.Get(fieldName("all", id, "")); all != "" {
		return all, true
	}
	name := fieldName("state", id, at)
	if !e.form.Has(name) {
		return "", false
	}
	if e.form.Get("do") == "skip" && shapeOf(e.step.Point, len(e.step.Slots)) == "buttons" {
		return "", false // kept from a refused answer; the button that was pressed is the other one
	}
	values := e.form[name]
	return strings.TrimSpace(values[len(values)-1]), true
}

// pressed reports whether the form comes from a screen whose states are buttons, so that no state in it means that the
// stored one stays.
func (e entry) pressed() bool { return e.form.Get("do") == "save" && e.step.Point.Kind == point.State }

// companions puts the values that were asked once for all places beside a reading and reports whether one differs
// from what is stored there.
func (e entry) companions(in shop.ReadingInput, now shop.ReadingFact) bool {
	changed := false
	for _, v := range e.step.Point.Values {
		if !v.Companion {
			continue
		}
		typed := strings.TrimSpace(e.form.Get(fieldName("with", e.step.Point.ID, "", v.Name)))
		if typed == "" {
			continue
		}
		in.Numbers[v.Name] = typed
		switch shown := e.shown(now, v.Name); {
		case typed != shown:
			changed = true
		case shown != "":
			in.Numbers[v.Name] = exactText(v.Name, now.Values[v.Name])
		}
	}
	return changed
}

// shown writes a stored value as its field shows it.
func (e entry) shown(r shop.ReadingFact, name string) string {
	v, ok := r.Values[name]
	if !ok {
		return ""
	}
	return bareNumber(e.shop.Display(e.view.Car, name, v, e.step.Point))
}

// ownValues lists the numbers that are asked at every place: the point's own, and the share of the band for a level.
func ownValues(p *point.Point) []point.Value {
	var out []point.Value
	if p.Kind == point.Level && p.ValueByName("fraction") == nil {
		out = append(out, point.Value{Name: "fraction", Label: "share of the band", Min: -2, Max: 3, Step: 0.05, Optional: true})
	}
	for _, v := range p.Values {
		if !v.Companion {
			out = append(out, v)
		}
	}
	return out
}

// bareNumber takes the unit off a number that was written for a person, so that it can stand in a field beside its unit.
func bareNumber(s string) string {
	end := 0
	for i, c := range s {
		if c >= '0' && c <= '9' {
			end = i + 1
		}
	}
	if cut, ok := strings.CutSuffix(s, "/32 in"); ok {
		return cut
	}
	return strings.ReplaceAll(s[:end], "−", "-")
}

// takenAt gives the time of the capturing device's clock that its script put into the form; 0 if there is none.
func takenAt(form url.Values) int64 {
	ms, err := strconv.ParseInt(form.Get("taken"), 10, 64)
	if err != nil || ms < 0 {
		return 0
	}
	return ms
}
