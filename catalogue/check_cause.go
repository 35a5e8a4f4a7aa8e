package catalogue

import (
	"math"
	"slices"

	"go.yaml.in/yaml/v4"

	"witnessmark/core/point"
)

// The bounds of what a sign or a cause may say. They catch slips (an hour typed for a minute), not opinions.
const (
	mostMinutes = 10000.0
	mostMoney   = 1e6
	mostRatio   = 1000.0
)

// checkReasons checks signs, causes, complaints, quiet entries and what families say of causes.
func (b *builder) checkReasons(c *point.Catalogue) {
	explained := map[string]bool{}
	for _, x := range b.reasons.causes {
		b.checkCause(c, x.e, x.raw, x.to)
		for _, e := range x.to.Explains {
			explained[e.Sign] = true
		}
		for _, id := range x.to.Unless {
			explained[id] = true
		}
	}
	for _, x := range b.reasons.signs {
		b.checkSign(c, x.e, x.raw, x.to)
		if !explained[x.to.ID] {
			b.fault(x.e.file, x.e.node.Line, "sign %s: no cause explains it or is ruled out by it", x.to.ID)
		}
	}
	for _, x := range b.reasons.complaints {
		b.checkComplaint(c, x.e, x.raw, x.to)
	}
	for _, x := range b.reasons.quiet {
		b.checkQuiet(c, x.e, x.to)
	}
	for _, x := range b.reasons.families {
		b.familyCauses(c, x)
	}
}

// inside says whether p is a probability that leaves room on both sides; NaN is not.
func inside(p float64) bool { return p > 0 && p < 1 }

func (b *builder) checkCause(c *point.Catalogue, e *entry, r *rawCause, k *point.Cause) {
	say := func(line int, format string, args ...any) { b.fault(e.file, line, "cause "+k.ID+": "+format, args...) }
	line := e.node.Line
	if k.Name == "" || k.Says == "" {
		say(line, "name and says are needed")
	}
	if !inside(k.Prior) {
		say(line, "prior is %g; expected a probability above 0 and below 1", k.Prior)
	}
	b.costs(e, line, "cause "+k.ID, k.Minutes, k.Money)
	if k.Minutes == 0 && k.Money == 0 {
		say(line, "minutes and money are missing; expected what putting it right costs")
	}
	if len(k.Jobs) == 0 {
		say(line, "jobs are missing; expected what puts it right")
	}
	b.when(c, e.file, r.When)
	b.references(c, e.file, line, "cause "+k.ID, k.Jobs, k.Cautions)
	b.sourceOf(c, e.file, line, "cause "+k.ID, rawOf(k.Source), false)
	if len(k.Explains) == 0 {
		say(line, "it explains nothing; expected explains: {SIGN: PROBABILITY, …}")
	}
	for i, x := range k.Explains {
		at := lineAt(&r.Explains, i, line)
		if c.Sign(x.Sign) == nil {
			say(at, "there is no sign %q", x.Sign)
		}
		if !inside(x.Q) {
			say(at, "%s is %g; expected a probability above 0 and below 1", x.Sign, x.Q)
		}
		if slices.ContainsFunc(k.Explains[:i], func(y point.Explains) bool { return y.Sign == x.Sign }) {
			say(at, "it explains %s twice", x.Sign)
		}
	}
	for _, id := range k.Unless {
		if c.Sign(id) == nil {
			say(line, "unless names %q, which is no sign", id)
		}
	}
	if !slices.ContainsFunc(b.reasons.complaints, func(x reasonEntry[rawComplaint, point.Complaint]) bool { return slices.Contains(x.to.Causes, k.ID) }) {
		say(line, "no complaint weighs it")
	}
}

// lineAt is the line of the i-th key of a mapping.
func lineAt(n *yaml.Node, i, fallback int) int {
	if 2*i < len(n.Content) {
		return n.Content[2*i].Line
	}
	return fallback
}

// rawOf turns a source back into what is checked.
func rawOf(s point.Source) rawSource {
	return rawSource{From: s.From, Section: s.Section, Status: s.Status}
}

func (b *builder) costs(e *entry, line int, who string, minutes, money float64) {
	if !(minutes >= 0 && minutes <= mostMinutes) || !(money >= 0 && money <= mostMoney) {
		b.fault(e.file, line, "%s: minutes %g, money %g; expected up to %g minutes and %g in money", who, minutes, money, mostMinutes, mostMoney)
	}
}

func (b *builder) checkSign(c *point.Catalogue, e *entry, r *rawSign, s *point.Sign) {
	say := func(format string, args ...any) { b.fault(e.file, e.node.Line, "sign "+s.ID+": "+format, args...) }
	if s.Name == "" {
		say("name is missing")
	}
	if r.Leak == nil || !inside(s.Leak) {
		say("leak is %g; expected the probability, above 0 and below 1, that it shows without any known cause", s.Leak)
	}
	b.costs(e, e.node.Line, "sign "+s.ID, s.Minutes, s.Money)
	b.references(c, e.file, e.node.Line, "sign "+s.ID, nil, s.Cautions)
	b.sourceOf(c, e.file, e.node.Line, "sign "+s.ID, rawOf(s.Source), false)
	b.when(c, e.file, r.When)
	for _, w := range s.Told {
		if len(tellingWords(w)) == 0 {
			say("told %q holds no word", w)
		}
	}
	if s.Point == "" {
		b.pointless(s, say)
		return
	}
	p := c.Point(s.Point)
	if p == nil {
		say("there is no point %q", s.Point)
		return
	}
	for id, x := range s.Faint {
		if !(x > 0 && x <= mostRatio) || math.IsInf(x, 0) {
			say("faint %s is %g; expected how many times likelier it is when the sign is there, above 0 and at most %g", id, x, mostRatio)
		}
	}
	if len(p.States) > 0 && !s.Numeric() {
		b.stateSign(s, p, say)
	} else {
		b.numberSign(s, p, say)
	}
	b.placedSign(s, p, say)
}

type sayer func(format string, args ...any)

// pointless checks a sign that no point shows: somebody tells it, or a check finds it.
func (b *builder) pointless(s *point.Sign, say sayer) {
	if len(s.Told) == 0 && s.Check == "" {
		say("it has no point; expected point, told or check")
	}
	if s.Check != "" && s.Minutes == 0 {
		say("a check needs minutes")
	}
	if len(s.States) > 0 || len(s.Faint) > 0 || len(s.Open) > 0 || s.Numeric() || s.Axle != "" || s.Sides != "" || s.Every {
		say("what a reading shows needs a point")
	}
}

// stateSign checks a sign that named states show.
func (b *builder) stateSign(s *point.Sign, p *point.Point, say sayer) {
	known := func(what, id string) {
		if p.StateByID(id) == nil {
			say("%s names %q, which is no state of %s", what, id, p.ID)
		}
	}
	for _, id := range s.States {
		known("states", id)
	}
	for _, id := range s.Open {
		known("open", id)
	}
	for _, id := range sortedKeys(s.Faint) {
		known("faint", id)
		if slices.Contains(s.States, id) || slices.Contains(s.Open, id) {
			say("state %s shows it and is faint or open", id)
		}
	}
	if len(s.States) == len(p.States) {
		say("every state of %s shows it", p.ID)
	}
}

// numberSign checks a sign that a figure shows.
func (b *builder) numberSign(s *point.Sign, p *point.Point, say sayer) {
	ways := 0
	for _, is := range []bool{s.Verdict != "", s.Least != nil || s.Most != nil, s.Pair != ""} {
		if is {
			ways++
		}
	}
	if ways != 1 || len(s.States) > 0 || len(s.Open) > 0 {
		say("point %s is measured; expected one of verdict, least and most, or pair, and no states", p.ID)
		return
	}
	switch {
	case s.Pair != "":
		if !slices.ContainsFunc(p.Pairs, func(q point.Pair) bool { return q.Between == s.Pair }) {
			say("pair is %q, which %s does not compare", s.Pair, p.ID)
		}
	case s.Verdict != "":
		if !slices.Contains([]string{"watch", "due", "overdue", "unsafe"}, string(s.Verdict)) {
			say("verdict is %q; expected watch, due, overdue or unsafe", s.Verdict)
		}
		for _, v := range sortedKeys(s.Faint) {
			if !slices.Contains([]string{"sound", "watch", "due", "overdue"}, v) {
				say("faint names %q; expected a milder verdict", v)
			}
		}
	default:
		if s.Value == "" && len(p.Values) > 0 {
			break
		}
		if p.ValueByName(s.Value) == nil {
			say("value names %q, which is no value of %s", s.Value, p.ID)
		}
	}
	if s.Side != "" && (s.Side != "below" && s.Side != "above" || s.Verdict == "") {
		say("side is %q; expected below or above, with verdict", s.Side)
	}
	if s.Least != nil && s.Most != nil && !(*s.Least <= *s.Most) || s.Least != nil && math.IsNaN(*s.Least) || s.Most != nil && math.IsNaN(*s.Most) {
		say("least and most leave nothing between them")
	}
}

// placedSign checks where on the car a sign is.
func (b *builder) placedSign(s *point.Sign, p *point.Point, say sayer) {
	hasAxle := func(axle string) bool {
		at := slices.Clone(p.Positions.Also)
		for _, g := range p.Positions.Groups {
			at = append(at, g.At...)
		}
		return slices.ContainsFunc(at, func(a string) bool {
			return axle == "" && len(a) == 2 || point.Axle(a) == axle && axle != "" || a == axle && axle != ""
		})
	}
	if s.Axle != "" && (!slices.Contains(point.Axles, s.Axle) || !hasAxle(s.Axle)) {
		say("axle is %q; expected F or R, and a point with positions there", s.Axle)
	}
	switch s.Sides {
	case "":
	case "both", "one":
		if !hasAxle("") || s.Every || s.Pair != "" {
			say("sides needs a point with corners, and neither every nor pair")
		}
	default:
		say("sides is %q; expected both or one", s.Sides)
	}
}
