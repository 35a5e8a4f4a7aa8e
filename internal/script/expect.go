package script

import (
	"errors"
	"fmt"
	"slices"

	"witnessmark/core/verdict"
)

// expectation is one thing that the judgement must, or must not, say.
type expectation struct {
	line int
	text string
	// kind is "finding" or one of the words in kinds.
	kind      string
	point, at string
	verdict   verdict.Verdict
	clauses   []clause
	// names are causes in their order; said are words of owners.
	names []string
	// says is a text that must be in the reason; for jobs and walks the second name.
	says string
}

// clause is one demand on a finding: what, with which words.
type clause struct {
	what  string
	text  string
	limit float64
	not   bool
}

// kinds are the expectations that begin with a word of their own.
var kinds = []string{"no-finding", "job", "no-job", "not-applicable", "not-looked", "asked", "not-asked", "first", "walk", "refused",
	"complaint", "no-complaint", "causes", "cause", "look", "no-look", "repair", "search", "other", "trouble", "match"}

const expected = "expected a point, a position if it has one and a verdict, or one of no finding, job, no job, not-applicable, not-looked, " +
	"asked, not-asked, first, walk, refused, complaint, no complaint, causes, cause, look, no look, repair, search, other, trouble, match"

// expect reads an expectation; docs/formats/scenario.md lists them.
func expect(st *stage, s Step) error {
	e := expectation{line: s.Line, text: s.String()}
	p := s.Parts[0]
	if len(p) < 2 || p[0].Quoted {
		return errors.New(expected)
	}
	if p[0].Text == "no" && len(p) > 2 {
		p = append([]Word{{Text: "no-" + p[1].Text}}, p[2:]...)
	}
	if slices.Contains(kinds, p[0].Text) {
		e.kind = p[0].Text
		if slices.Contains(reasoning, e.kind) {
			return st.reasoned(e, p[1:], s.Parts[1:])
		}
		return st.special(e, p[1:], s.Parts[1:])
	}
	e.kind, e.point = "finding", p[0].Text
	var rest []Word
	e.at, rest = position(p[1:])
	v, err := verdict.Parse(rest[0].Text)
	if err != nil || rest[0].Quoted {
		return fmt.Errorf("%s is not a verdict; %s", rest[0], expected)
	}
	e.verdict = v
	parts := s.Parts[1:]
	if len(rest) > 1 {
		parts = append([][]Word{rest[1:]}, parts...)
	}
	for _, c := range parts {
		if err := e.clause(c); err != nil {
			return err
		}
	}
	st.expects = append(st.expects, e)
	return nil
}

// special reads an expectation that begins with a word of its own.
func (st *stage) special(e expectation, p []Word, more [][]Word) error {
	if len(more) > 0 || p[0].Quoted {
		return errors.New(expected)
	}
	e.point = p[0].Text
	rest := p[1:]
	if len(rest) > 0 && !rest[0].Quoted {
		if e.kind == "walk" {
			e.says, rest = rest[0].Text, rest[1:]
		} else {
			e.at, _ = position(append(slices.Clone(rest[:1]), Word{}))
			if e.kind == "refused" {
				e.at = rest[0].Text // the position itself may be what is refused
			}
			if e.at == "" {
				return fmt.Errorf("%s is not a position", rest[0])
			}
			rest = rest[1:]
		}
	}
	if len(rest) > 0 && rest[0].Quoted && e.says == "" {
		e.says, rest = rest[0].Text, rest[1:]
	}
	if len(rest) > 0 || e.kind == "walk" && e.says == "" {
		return errors.New(expected)
	}
	st.expects = append(st.expects, e)
	return nil
}

// clause reads one demand on a finding.
func (e *expectation) clause(p []Word) error {
	c := clause{}
	if !p[0].Quoted && p[0].Text == "no" && len(p) > 1 {
		c.not, p = true, p[1:]
	}
	switch {
	case p[0].Quoted && len(p) == 1:
		c.what, c.text = "why", p[0].Text
	case len(p) == 1 && c.not && slices.Contains([]string{"jobs", "category", "recheck", "limit"}, p[0].Text):
		c.what = p[0].Text
	case len(p) == 2 && slices.Contains([]string{"job", "category", "regulation", "source", "recheck", "caution", "means"}, p[0].Text):
		c.what, c.text = p[0].Text, p[1].Text
	case len(p) == 3 && p[0].Text == "limit" && !c.not:
		x, err := number(p[1].Text)
		if err != nil {
			return err
		}
		c.what, c.limit, c.text = "limit", x, p[2].Text
	default:
		return fmt.Errorf(`%s: expected a part of the sentence in quotation marks, or job, category, regulation, source, recheck, caution or means `+
			`with a word, or limit with a number and a unit; "no" before it turns it round`, join(p))
	}
	e.clauses = append(e.clauses, c)
	return nil
}
