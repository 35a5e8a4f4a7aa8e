package script

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark/core/diagnose"
	"witnessmark/core/judge"
	"witnessmark/core/point"
	"witnessmark/core/round"
)

// Run carries a scenario out against a catalogue and lists what was not as expected, each with its line. A name that
// the catalogue does not know, and a reading that may not be taken, count as well, unless the refusal was expected.
func Run(cat *point.Catalogue, before []Step, sc Scenario) []string {
	st := &stage{depth: point.Full}
	for _, s := range append(slices.Clone(before), sc.Steps...) {
		if err := steps[s.Verb](st, s); err != nil {
			return []string{fmt.Sprintf("line %d: %v", s.Line, err)}
		}
	}
	r := &run{cat: cat, st: st}
	r.set()
	r.result = judge.Judge(cat, r.car, r.taken, st.depth)
	r.walk, _ = round.Walk(cat, st.depth, round.Known{Facets: r.car.Facets})
	r.diagnose()
	for _, e := range st.expects {
		if why := r.meets(e); why != "" {
			r.fail(e.line, "%s\n    %s", e.text, why)
		}
	}
	if len(st.expects) == 0 {
		r.fail(sc.Line, "the scenario expects nothing")
	}
	return r.failures
}

type run struct {
	cat      *point.Catalogue
	st       *stage
	car      round.Car
	taken    round.Taken
	refused  []refusal
	result   judge.Result
	walk     []round.Step
	panels   []diagnose.Panel
	failures []string
}

type refusal struct{ point, at, text string }

func (r *run) fail(line int, format string, args ...any) {
	r.failures = append(r.failures, fmt.Sprintf("line %d: ", line)+fmt.Sprintf(format, args...))
}

// set turns the stage into a car and a round, refusing what the catalogue does not know.
func (r *run) set() {
	st := r.st
	r.car = round.Car{OdometerKm: -1, FirstRegistered: st.registered, Specs: st.figures, Renewed: st.renewed}
	if st.odometer != nil {
		r.car.OdometerKm = *st.odometer
	}
	for id, v := range st.facets {
		if d := r.cat.Facets[id]; d == nil {
			r.fail(0, "there is no facet %q", id)
		} else if err := d.Check(v); err != nil {
			r.fail(0, "%v", err)
		}
	}
	for id := range st.figures {
		if r.cat.Specs[id] == nil {
			r.fail(0, "there is no specification %q", id)
		}
	}
	r.car.Facets = round.Resolve(r.cat, st.facets, "", st.registered)
	r.taken = round.Taken{On: st.on, AmbientC: st.ambient}
	for i, x := range st.readings {
		p := r.cat.Point(x.Point)
		if p == nil {
			r.fail(st.lines[i], "there is no point %q", x.Point)
			continue
		}
		faults := round.Check(p, x, r.car.Facets)
		for _, f := range faults {
			r.refused = append(r.refused, refusal{x.Point, x.At, f.Text})
			if !r.expectsRefusal(x) {
				r.fail(st.lines[i], "refused: %s", f.Text)
			}
		}
		if len(faults) == 0 {
			r.taken.Readings = append(r.taken.Readings, x)
		}
	}
}

func (r *run) expectsRefusal(x round.Reading) bool {
	return slices.ContainsFunc(r.st.expects, func(e expectation) bool { return e.kind == "refused" && e.point == x.Point && e.at == x.At })
}

// meets says why an expectation is not met; empty when it is.
func (r *run) meets(e expectation) string {
	switch e.kind {
	case "finding":
		return r.finding(e)
	case "no-finding":
		for _, f := range r.result.Findings {
			if f.Point.ID == e.point && f.At == e.at {
				return "there is one: " + describe(f)
			}
		}
		return ""
	case "job", "no-job":
		return r.job(e)
	case "first":
		if len(r.result.Findings) == 0 || r.result.Findings[0].Point.ID != e.point || e.at != "" && r.result.Findings[0].At != e.at {
			return "the findings are " + r.all("")
		}
		return ""
	case "not-applicable", "not-looked", "refused":
		return r.listed(e)
	}
	if slices.Contains(reasoning, e.kind) {
		return r.reasons(e)
	}
	return r.walked(e)
}

func (r *run) job(e expectation) string {
	if r.cat.Jobs[e.point] == nil {
		return "there is no such job"
	}
	var from []string
	for _, f := range r.result.Findings {
		if slices.Contains(f.Jobs, e.point) {
			from = append(from, f.Point.ID)
		}
	}
	switch {
	case e.kind == "job" && len(from) == 0:
		return "no finding asks for it: " + r.all("")
	case e.kind == "no-job" && len(from) > 0:
		return "asked for by " + strings.Join(from, ", ")
	}
	return ""
}

// listed looks an entry up in the lists of what does not apply, was not looked at, or was refused.
func (r *run) listed(e expectation) string {
	if r.cat.Point(e.point) == nil {
		return "there is no such point"
	}
	var there []string
	add := func(id, at, text string) bool {
		there = append(there, strings.TrimSpace(id+" "+at)+": "+text)
		return id == e.point && at == e.at && strings.Contains(text, e.says)
	}
	switch e.kind {
	case "not-applicable":
		for _, n := range r.result.NotApplicable {
			if n.Point.ID == e.point && add(n.Point.ID, "", n.Reason) {
				return ""
			}
		}
	case "not-looked":
		for _, n := range r.result.NotLooked {
			if n.Point.ID == e.point && add(n.Point.ID, n.At, n.Reason) {
				return ""
			}
		}
	default:
		for _, n := range r.refused {
			if add(n.point, n.at, n.text) {
				return ""
			}
		}
	}
	return "it is not; there is " + strings.Join(append(there, "nothing else"), "; ")
}

// walked looks at the order of the walk and at what it asks for.
func (r *run) walked(e expectation) string {
	if r.cat.Point(e.point) == nil || e.kind == "walk" && r.cat.Point(e.says) == nil {
		return "there is no such point"
	}
	place := func(id string) int {
		return slices.IndexFunc(r.walk, func(s round.Step) bool { return s.Point.ID == id })
	}
	i := place(e.point)
	asked := i >= 0 && (e.at == "" || slices.Contains(r.walk[i].Slots, e.at))
	switch {
	case e.kind == "asked" && !asked:
		return "the round does not ask for it"
	case e.kind == "not-asked" && asked:
		return "the round asks for it"
	case e.kind == "walk" && (i < 0 || place(e.says) < 0 || i >= place(e.says)):
		return fmt.Sprintf("they are walked as nos. %d and %d", i+1, place(e.says)+1)
	}
	return ""
}
