package script

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"witnessmark/core/diagnose"
)

// reasoning are the expectations on what is reasoned from the findings.
var reasoning = []string{"complaint", "no-complaint", "causes", "cause", "look", "no-look", "repair", "search", "other", "trouble", "match"}

// told says which signs the owner's words mean: "told brakes-pull, hum".
func told(st *stage, s Step) error {
	for _, p := range s.Parts {
		if len(p) != 1 || p[0].Quoted {
			return errors.New("expected signs, such as brakes-pull")
		}
		st.told = append(st.told, p[0].Text)
	}
	return nil
}

// check says what a check of its own found: "check traces-at-pump yes".
func check(st *stage, s Step) error {
	id, yes, err := yesOrNo(s, "a sign and yes or no, such as traces-at-pump yes")
	if err != nil {
		return err
	}
	if st.checked == nil {
		st.checked = map[string]bool{}
	}
	st.checked[id] = yes
	return nil
}

// confirmed says which cause was settled: "confirmed pump-leaks no".
func confirmed(st *stage, s Step) error {
	id, yes, err := yesOrNo(s, "a cause and yes or no, such as pump-leaks no")
	if err != nil {
		return err
	}
	if st.confirmed == nil {
		st.confirmed = map[string]bool{}
	}
	st.confirmed[id] = yes
	return nil
}

func yesOrNo(s Step, expected string) (id string, yes bool, err error) {
	p := s.Parts[0]
	if len(s.Parts) != 1 || len(p) != 2 || p[0].Quoted || p[1].Text != "yes" && p[1].Text != "no" {
		return "", false, errors.New("expected " + expected)
	}
	return p[0].Text, p[1].Text == "yes", nil
}

// words of probability, the least first.
var likely = []string{"very unlikely", "unlikely", "possible", "likely", "very likely", "certain"}

// reasoned reads an expectation on what is reasoned: the complaint (for match a quoted text), then causes, a sign, a word of probability.
func (st *stage) reasoned(e expectation, p []Word, more [][]Word) error {
	e.point, p = p[0].Text, p[1:]
	for _, part := range append([][]Word{p}, more...) {
		if len(part) == 0 {
			continue
		}
		for _, w := range part {
			switch {
			case w.Quoted && e.says == "":
				e.says = w.Text
			case w.Quoted:
				return fmt.Errorf("%s: only one text is expected", w)
			default:
				e.names = append(e.names, w.Text)
			}
		}
	}
	if err := e.complete(); err != nil {
		return err
	}
	st.expects = append(st.expects, e)
	return nil
}

// complete says what the expectation lacks.
func (e *expectation) complete() error {
	n := len(e.names)
	switch e.kind {
	case "causes":
		if n < 1 || e.says != "" {
			return errors.New("expected a complaint and its causes in their order")
		}
	case "cause":
		if n < 1 || n > 3 || n == 2 || n == 1 && !slices.Contains(likely, e.says) || n == 3 && e.names[1] != "for" && e.names[1] != "against" {
			return fmt.Errorf("expected a complaint, a cause and one of %s in quotation marks, or for or against and a sign", strings.Join(likely, ", "))
		}
	case "other":
		if n != 0 || !slices.Contains(likely, e.says) {
			return fmt.Errorf("expected a complaint and one of %s in quotation marks", strings.Join(likely, ", "))
		}
	case "look", "repair", "match":
		if n != 1 {
			return errors.New("expected a complaint (for match a text) and one name")
		}
	default:
		if n != 0 {
			return errors.New("expected a complaint alone")
		}
	}
	return nil
}

// diagnose reasons from what was judged, after checking the names that only the catalogue knows.
func (r *run) diagnose() {
	for _, id := range r.st.told {
		if r.cat.Sign(id) == nil {
			r.fail(0, "there is no sign %q", id)
		}
	}
	for id := range r.st.checked {
		if r.cat.Sign(id) == nil {
			r.fail(0, "there is no sign %q", id)
		}
	}
	for id := range r.st.confirmed {
		if r.cat.Cause(id) == nil {
			r.fail(0, "there is no cause %q", id)
		}
	}
	if slices.ContainsFunc(r.st.expects, func(e expectation) bool { return slices.Contains(reasoning, e.kind) }) {
		r.panels = diagnose.Panels(r.cat, diagnose.Input{Facets: r.car.Facets, Result: &r.result, Told: r.st.told, Checked: r.st.checked, Confirmed: r.st.confirmed})
	}
}

// reasons says why an expectation on the reasoning is not met; empty when it is.
func (r *run) reasons(e expectation) string {
	if e.kind == "match" {
		return r.matches(e)
	}
	if r.cat.Complaint(e.point) == nil {
		return "there is no such complaint"
	}
	i := slices.IndexFunc(r.panels, func(p diagnose.Panel) bool { return p.Complaint.ID == e.point })
	switch {
	case e.kind == "no-complaint" && i >= 0:
		return "it comes up"
	case e.kind == "no-complaint":
		return ""
	case i < 0:
		ids := make([]string, len(r.panels))
		for k, p := range r.panels {
			ids[k] = p.Complaint.ID
		}
		return "it does not come up; there is " + strings.Join(append(ids, "nothing else"), ", ")
	}
	return r.answers(e, &r.panels[i])
}

// answers compares one panel.
func (r *run) answers(e expectation, p *diagnose.Panel) string {
	switch e.kind {
	case "causes":
		for k, id := range e.names {
			if r.cat.Cause(id) == nil {
				return "there is no cause " + id
			}
			if k >= len(p.Causes) || p.Causes[k].Cause.ID != id {
				return "the causes are " + ranked(p)
			}
		}
	case "cause":
		return r.oneCause(e, p)
	case "other":
		if w := diagnose.Word(p.Other); w != e.says {
			return fmt.Sprintf("none of them is %s (%.3f): %s", w, p.Other, ranked(p))
		}
	case "look":
		if len(p.Looks) == 0 || p.Looks[0].Sign.ID != e.names[0] || !strings.Contains(p.Looks[0].Why, e.says) {
			return "the looks are " + looks(p) + "; next: " + p.Next.Says
		}
	case "no-look":
		if len(p.Looks) > 0 {
			return "the looks are " + looks(p)
		}
	case "repair":
		if p.Next.Kind != "repair" || p.Next.Cause.ID != e.names[0] {
			return "next: " + p.Next.Says
		}
	case "search":
		if p.Next.Kind != "search" {
			return "next: " + p.Next.Says
		}
	case "trouble":
		if p.Trouble == "" || !strings.Contains(p.Trouble, e.says) {
			return fmt.Sprintf("trouble is %q", p.Trouble)
		}
	}
	return ""
}

// oneCause compares the probability of one cause, or what moved it.
func (r *run) oneCause(e expectation, p *diagnose.Panel) string {
	i := slices.IndexFunc(p.Causes, func(c diagnose.Ranked) bool { return c.Cause.ID == e.names[0] })
	if i < 0 {
		return "it is not among the causes: " + ranked(p)
	}
	c := p.Causes[i]
	if len(e.names) == 1 {
		if c.Word != e.says {
			return "the causes are " + ranked(p)
		}
		return ""
	}
	list := c.For
	if e.names[1] == "against" {
		list = c.Against
	}
	if slices.ContainsFunc(list, func(m diagnose.Moved) bool { return m.Sign.ID == e.names[2] && strings.Contains(m.Reading, e.says) }) {
		return ""
	}
	var there []string
	for _, m := range list {
		there = append(there, fmt.Sprintf("%s (%s, %.3f to %.3f)", m.Sign.ID, m.Reading, m.From, m.To))
	}
	return e.names[1] + " it is " + strings.Join(append(there, "nothing else"), "; ")
}

// matches compares what the owner's words may mean.
func (r *run) matches(e expectation) string {
	if r.cat.Sign(e.names[0]) == nil {
		return "there is no such sign"
	}
	var there []string
	for _, m := range diagnose.Match(r.cat, e.point) {
		if m.Sign.ID == e.names[0] {
			return ""
		}
		there = append(there, m.Sign.ID)
	}
	return "it may mean " + strings.Join(append(there, "nothing else"), ", ")
}

func ranked(p *diagnose.Panel) string {
	out := make([]string, 0, len(p.Causes)+1)
	for _, c := range p.Causes {
		out = append(out, fmt.Sprintf("%s %.3f", c.Cause.ID, c.P))
	}
	return strings.Join(append(out, fmt.Sprintf("none of them %.3f", p.Other)), ", ")
}

func looks(p *diagnose.Panel) string {
	out := make([]string, 0, len(p.Looks))
	for _, l := range p.Looks {
		out = append(out, fmt.Sprintf("%s (saves %.1f; %s)", l.Sign.ID, l.Saves, l.Why))
	}
	return strings.Join(append(out, "nothing else"), "; ")
}
