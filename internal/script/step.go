package script

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"
	"time"

	"witnessmark/core/point"
	"witnessmark/core/round"
)

// stage is what the steps of a scenario set up.
type stage struct {
	facets     map[string]string
	registered time.Time
	odometer   *float64
	figures    map[string]round.Spec
	renewed    []round.Renewal
	on         time.Time
	ambient    *float64
	depth      point.Depth
	readings   []round.Reading
	// lines holds the line of each reading, for refusals.
	lines   []int
	expects []expectation
	// told, checked and confirmed are what the owner said, what checks found and which causes were settled.
	told               []string
	checked, confirmed map[string]bool
}

// steps carries out each verb on a stage. Names that only the catalogue knows are looked up by the run.
var steps map[string]func(*stage, Step) error

func init() {
	steps = map[string]func(*stage, Step) error{"car": car, "figure": figure, "renewed": renewed, "on": on, "depth": depth,
		"see": see, "measure": measure, "read": read, "skip": skip, "expect": expect,
		"told": told, "check": check, "confirmed": confirmed}
}

func verbs() string {
	out := []string{"scenario"}
	for v := range steps {
		out = append(out, v)
	}
	sort.Strings(out)
	return strings.Join(out, ", ")
}

// car says what the car is: "car fuel petrol, registered 2009-04, odometer 182400".
func car(st *stage, s Step) error {
	for _, p := range s.Parts {
		if len(p) < 2 {
			return fmt.Errorf("expected a facet and its value, such as fuel petrol")
		}
		value := join(p[1:])
		switch name := p[0].Text; name {
		case "registered":
			t, err := time.Parse("2006-01", value)
			if err != nil {
				return fmt.Errorf("registered %q; expected a month such as 2009-04", value)
			}
			st.registered = t
		case "odometer":
			km, err := number(value)
			if err != nil {
				return err
			}
			st.odometer = &km
		default:
			if st.facets == nil {
				st.facets = map[string]string{}
			}
			st.facets[name] = value
		}
	}
	return nil
}

// figure gives a figure of the car: "figure disc-thickness-min-mm FL 22.4" or "figure brake-fluid-class DOT 4".
func figure(st *stage, s Step) error {
	if len(s.Parts) != 1 || len(s.Parts[0]) < 2 {
		return fmt.Errorf("expected a specification and its value, such as disc-thickness-min-mm FL 22.4")
	}
	p := s.Parts[0]
	if st.figures == nil {
		st.figures = map[string]round.Spec{}
	}
	id := p[0].Text
	spec := st.figures[id]
	at, rest := position(p[1:])
	if x, err := number(join(rest)); err == nil {
		if spec.Numbers == nil {
			spec.Numbers = map[string]float64{}
		}
		spec.Numbers[at] = x
	} else {
		spec.Text = join(p[1:])
	}
	st.figures[id] = spec
	return nil
}

// renewed says when something was last renewed: "renewed engine-oil 2025-09-12 at 171200"; the distance may be left out.
func renewed(st *stage, s Step) error {
	if len(s.Parts) != 1 || len(s.Parts[0]) != 2 && (len(s.Parts[0]) != 4 || s.Parts[0][2].Text != "at") {
		return fmt.Errorf("expected an item, a date and at what distance, such as engine-oil 2025-09-12 at 171200")
	}
	p := s.Parts[0]
	date, err := day(p[1].Text)
	if err != nil {
		return err
	}
	r := round.Renewal{Item: p[0].Text, Date: date, OdometerKm: -1}
	if len(p) == 4 {
		if r.OdometerKm, err = number(p[3].Text); err != nil {
			return err
		}
	}
	st.renewed = append(st.renewed, r)
	return nil
}

// on gives the day of the round and, if it was noted, the air's temperature: "on 2026-03-21, 11 degC".
func on(st *stage, s Step) error {
	if len(s.Parts) > 2 || len(s.Parts[0]) != 1 {
		return fmt.Errorf("expected a day such as 2026-03-21, and 11 degC if it was noted")
	}
	date, err := day(s.Parts[0][0].Text)
	if err != nil {
		return err
	}
	st.on = date
	if len(s.Parts) == 2 {
		p := s.Parts[1]
		if len(p) != 2 || p[1].Text != "degC" {
			return fmt.Errorf("expected a temperature such as 11 degC")
		}
		t, err := number(p[0].Text)
		if err != nil {
			return err
		}
		st.ambient = &t
	}
	return nil
}

// depth says how deep the round goes: "depth quick".
func depth(st *stage, s Step) error {
	if len(s.Parts) != 1 || len(s.Parts[0]) != 1 {
		return fmt.Errorf("expected full, quick or driveway")
	}
	switch d := point.Depth(s.Parts[0][0].Text); d {
	case point.Full, point.Quick, point.Driveway:
		st.depth = d
		return nil
	}
	return fmt.Errorf("depth %s; expected full, quick or driveway", s.Parts[0][0])
}

func day(s string) (time.Time, error) {
	t, err := time.Parse("2006-01-02", s)
	if err != nil {
		return t, fmt.Errorf("%q is not a day; expected one such as 2026-03-21", s)
	}
	return t, nil
}

func number(s string) (float64, error) {
	x, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return 0, fmt.Errorf("%q is not a number", s)
	}
	return x, nil
}

func join(ws []Word) string {
	out := make([]string, len(ws))
	for i, w := range ws {
		out[i] = w.Text
	}
	return strings.Join(out, " ")
}

// position takes a position off the front of the words, when there is one and something follows it.
func position(ws []Word) (at string, rest []Word) {
	if len(ws) > 1 && !ws[0].Quoted {
		base, place := point.SplitAt(ws[0].Text)
		if point.ValidPosition(base) && (place == "" || strings.Contains(" inner middle outer ", " "+place+" ")) {
			return ws[0].Text, ws[1:]
		}
	}
	return "", ws
}
