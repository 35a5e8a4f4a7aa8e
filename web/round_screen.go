package web

import (
	"net/url"
	"slices"
	"strconv"
	"strings"

	"witnessmark/core/point"
	"witnessmark/shop"
)

// pointScreen is the screen of one question.
type pointScreen struct {
	View    *shop.RoundView
	Step    shop.StepView
	F       *form
	Base    string // path of the round
	Path    string // path of this point
	Station string
	// Place is the point's place among Of points of its station.
	Place, Of  int
	Prev, Next string
	// Shape names the part of the template that takes the answer: buttons, choose, rows, numbers or grid.
	Shape  string
	Slots  []slotScreen
	Rows   []gridRow
	Shared []numberScreen // companions, asked once
	Last   string         // one sentence about the last time, for the whole point
	Began  string         // how long ago what a condition is looked at for was renewed
	// Forecast is what the readings of this round mean for what comes; nil for nothing to say.
	Forecast *forecastLine
	Gauge    *gauge
	Asks     []specLink
	Saved    *savedLine
	// Whole is a reading that speaks for every place of the point.
	Whole string
	Note  string
	AskBy bool
	// PhotoID is the id of the next photo's fact.
	PhotoID string
	Photos  []shop.PhotoFact
	Reasons []string
	Ended   bool
	CanShot bool
	// From leads back after saving: "check" to the answers, "findings" to the findings.
	From string
}

// slotScreen is one place of the point.
type slotScreen struct {
	At, Where, Place string
	ID               string // of the reading that the form will make
	State            string // chosen
	Numbers          []numberScreen
	Code             numberScreen
	Last, Now, First string
}

// numberScreen is one field for a number or a code.
type numberScreen struct {
	Name, ID, Label, Unit, Text, Mode, Hint, Last string
	Error                                         *shop.FieldError
	Optional                                      bool
	// Foreseen is what the field would probably show today; nil where nothing is expected.
	Foreseen *foreseenScreen
}

// DescribedBy lists the ids of what explains the field.
func (n numberScreen) DescribedBy() string {
	var ids []string
	if n.Error != nil {
		ids = append(ids, n.ID+"-error")
	}
	if n.Foreseen != nil {
		ids = append(ids, n.ID+"-likely")
	}
	return strings.Join(ids, " ")
}

// gridRow is a row of places as they lie on the car seen from above.
type gridRow struct{ Cells []gridCell }

// gridCell is a corner, an axle or a counted part with its fields, left to right.
type gridCell struct {
	Where string
	Slots []slotScreen
}

// specLink is a figure that the car lacks, with the way to enter it.
type specLink struct{ Text, Ask, Href string }

// savedLine says what was stored last, with what undo needs.
type savedLine struct {
	Text, Path, At, ID string
	Forecast           *forecastLine
}

// screen builds the screen of a point from the round and from what was typed, if anything was.
func (s *server) screen(v *shop.RoundView, i int, f *form) pointScreen {
	step := v.Steps[i]
	p := step.Point
	sc := pointScreen{View: v, Step: step, F: f, Base: roundPath(v.Round.ID), Path: pointPath(v.Round.ID, p.ID), Station: stationWords(p.Station),
		Note: noteOf(step), PhotoID: s.shop.NewID(), Photos: step.Photos, Reasons: reasonsFor(p.Station), Ended: v.Round.EndedAt != 0,
		CanShot: s.cfg.PreparePhoto != nil}
	sc.Place, sc.Of = placeInStation(v.Steps, i)
	if i > 0 {
		sc.Prev = pointPath(v.Round.ID, v.Steps[i-1].Point.ID)
	}
	if i+1 < len(v.Steps) {
		sc.Next = pointPath(v.Round.ID, v.Steps[i+1].Point.ID)
	}
	if f.Values.Has("note") {
		sc.Note = f.Get("note")
	}
	e := entry{s.shop, v, step, f.Values}
	for _, at := range step.Slots {
		sc.Slots = append(sc.Slots, s.slotScreen(e, at))
	}
	if all, ok := step.Current[""]; ok && len(step.Slots) > 1 {
		sc.Whole = s.shop.Describe(v.Car, p, all)
	}
	sc.Shared = s.sharedScreens(e)
	sc.mark(f)
	sc.Shape = shapeOf(p, len(step.Slots))
	sc.Rows = gridRows(sc.Slots)
	sc.Last = s.lastSentence(v, step)
	sc.Gauge = s.gaugeOf(v, step)
	sc.Asks = s.specLinks(v, step)
	return sc
}

// mark puts what is wrong with a field beside it.
func (sc *pointScreen) mark(f *form) {
	for i := range sc.Slots {
		sl := &sc.Slots[i]
		sl.Code.Error = f.Problem(sl.Code.Name)
		for k := range sl.Numbers {
			sl.Numbers[k].Error = f.Problem(sl.Numbers[k].Name)
		}
	}
	for i := range sc.Shared {
		sc.Shared[i].Error = f.Problem(sc.Shared[i].Name)
	}
}

// shapeOf chooses how the answer is taken: states as buttons that save at once, states to choose with numbers beside
// them, a row of states for every place, a few big numbers, or a grid of numbers laid out like the car.
func shapeOf(p *point.Point, slots int) string {
	switch p.Kind {
	case point.State, point.Level:
		switch {
		case slots > 1:
			return "rows"
		case len(p.Values) > 0:
			return "choose"
		}
		return "buttons"
	}
	if slots > 1 {
		return "grid"
	}
	return "numbers"
}

// slotScreen builds one place.
func (s *server) slotScreen(e entry, at string) slotScreen {
	p, step := e.step.Point, e.step
	now, has := currentAt(step, at)
	_, place := point.SplitAt(at)
	out := slotScreen{At: at, Where: p.Where(at, e.view.Facets), Place: place, ID: e.form.Get(fieldName("id", p.ID, at)), State: now.State}
	if out.ID == "" {
		out.ID = s.shop.NewID()
	}
	if typed, ok := e.state(at); ok {
		out.State = typed
	}
	if has {
		out.Now = s.shop.Describe(e.view.Car, p, now)
	}
	if first, ok := step.First[at]; ok && has && first.ID != now.ID {
		out.First = s.shop.Describe(e.view.Car, p, first)
	}
	last, seen := step.Last[at]
	if seen {
		out.Last = lowerFirst(s.shop.Describe(e.view.Car, p, last.Reading))
	}
	for _, v := range ownValues(p) {
		n := s.numberScreen(e, fieldName("num", p.ID, at, v.Name), v, e.shown(now, v.Name))
		if seen {
			n.Last = e.shown(last.Reading, v.Name)
		}
		out.Numbers = append(out.Numbers, n)
	}
	out.Code = codeScreen(e, at, now.Code, last.Reading.Code)
	return out
}

// codeScreen builds the field of a code.
func codeScreen(e entry, at, now, last string) numberScreen {
	name := fieldName("code", e.step.Point.ID, at)
	n := numberScreen{Name: name, ID: FieldID(name), Label: e.step.Point.Name, Text: now, Last: last, Mode: "numeric"}
	if e.form.Has(name) {
		n.Text = e.form.Get(name)
	}
	return n
}

// numberScreen builds one number's field; shown is what is stored.
func (s *server) numberScreen(e entry, name string, v point.Value, shown string) numberScreen {
	n := numberScreen{Name: name, ID: FieldID(name), Label: v.Label, Unit: s.shop.UnitLabel(e.view.Car, v.Name, e.step.Point), Text: shown, Optional: v.Optional,
		Mode: "decimal"}
	if v.Min < 0 || v.Name == "fraction" {
		n.Mode = "text" // some keyboards for decimals have no minus and no stroke
	}
	if v.Name == "fraction" {
		n.Unit = ""
	}
	if e.form.Has(name) {
		n.Text = e.form.Get(name)
	}
	return n
}

// gridRows puts the places where they are on the car seen from above: front at the top, left on the left, and on the
// left side the outer place before the inner one.
func gridRows(slots []slotScreen) []gridRow {
	var rows []gridRow
	where := map[string]int{}
	for _, sl := range slots {
		base, _ := point.SplitAt(sl.At)
		axle := base
		if slices.Contains(point.Corners, base) {
			axle = point.Axle(base)
		}
		r, ok := where[axle]
		if !ok {
			r = len(rows)
			where[axle] = r
			rows = append(rows, gridRow{})
		}
		rows[r].add(point.Where(base), base, sl)
	}
	return rows
}

// add puts a place into its cell.
func (r *gridRow) add(name, base string, sl slotScreen) {
	i := slices.IndexFunc(r.Cells, func(c gridCell) bool { return c.Where == name })
	if i < 0 {
		r.Cells = append(r.Cells, gridCell{Where: name})
		i = len(r.Cells) - 1
	}
	c := &r.Cells[i]
	if base == "FL" || base == "RL" {
		c.Slots = slices.Insert(c.Slots, 0, sl)
		return
	}
	c.Slots = append(c.Slots, sl)
}

// placeInStation counts where a step stands among the points of its station.
func placeInStation(steps []shop.StepView, i int) (place, of int) {
	for j, st := range steps {
		if st.Point.Station != steps[i].Point.Station {
			continue
		}
		of++
		if j <= i {
			place++
		}
	}
	return place, of
}

// roundPath, pointPath and checkPath are the addresses of a round's pages.
func roundPath(id string) string        { return "/rounds/" + url.PathEscape(id) }
func pointPath(id, point string) string { return roundPath(id) + "/points/" + url.PathEscape(point) }
func checkPath(id string) string        { return roundPath(id) + "/check" }

// Digit is the key that picks the answer with this index; empty after the ninth.
func (sc pointScreen) Digit(i int) string {
	if i > 8 {
		return ""
	}
	return strconv.Itoa(i + 1)
}

// How is the first sentence of the method, HowMore the rest.
func (sc pointScreen) How() string { return firstSentence(sc.Step.Method) }

// HowMore is what follows the method's first sentence.
func (sc pointScreen) HowMore() string {
	return strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(sc.Step.Method), sc.How()))
}

// AllOf says that an answer is for every place.
func (sc pointScreen) AllOf() string { return allOf(len(sc.Slots)) }

// Corners reports whether the grid shows the car's four corners, seen from above.
func (sc pointScreen) Corners() bool { return len(sc.Rows) > 0 && len(sc.Rows[0].Cells) > 1 }

// GridUnit is the unit of the grid's fields.
func (sc pointScreen) GridUnit() string {
	if len(sc.Slots) == 0 || len(sc.Slots[0].Numbers) == 0 {
		return ""
	}
	if u := sc.Slots[0].Numbers[0].Unit; u != "/32 in" {
		return u
	}
	return "32nds of an inch"
}

// AnyForeseen reports whether some field says what is expected today.
func (sc pointScreen) AnyForeseen() bool {
	return slices.ContainsFunc(sc.Slots, func(sl slotScreen) bool {
		return slices.ContainsFunc(sl.Numbers, func(n numberScreen) bool { return n.Foreseen != nil })
	})
}

// Share is how much of the round is done, in percent.
func (l roundList) Share() int {
	if l.Of == 0 {
		return 0
	}
	return 100 * l.Done / l.Of
}
