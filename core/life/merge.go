package life

import (
	"fmt"
	"math"
	"slices"
)

// Seen is one look at one fill or part: at which exposure since renewal, and whether it had turned. Sensitivity and Specificity are
// as in Observation; 0 means 1.
type Seen struct {
	At                       float64
	Turned                   bool
	Sensitivity, Specificity float64
}

func (s Seen) perfect() bool { return orOne(s.Sensitivity) == 1 && orOne(s.Specificity) == 1 }

// Cycle is what was seen of one fill or fitted part between two renewals. RenewedAt is the exposure at which it was renewed, 0 while
// it still runs; that it was renewed says nothing of its life, what was seen at that moment does. StartUnknown says that it was
// renewed some unknown time before exposure 0: then only looks at what was still good can be used.
type Cycle struct {
	Seen         []Seen
	RenewedAt    float64
	StartUnknown bool
}

// Question asks about a cycle (by its index) whose looks contradict each other or its renewal. After and Before are exposures since
// the recorded renewal.
type Question struct {
	Cycle         int
	After, Before float64
	Text          string
}

// Merge turns looks into observations, one a fill: looks at one fill are not independent, but one interval. A look that cannot err
// and says turned, followed by one that says good on the same fill, has probability zero; it becomes a question, and what was seen
// later is used as far as it holds for any moment of the unrecorded change. Imperfect looks of a fill err independently of each other
// given T and become one Steps observation. Looks beyond RenewedAt, or at exposures that cannot be, become questions and are left out.
func Merge(cycles []Cycle) (obs []Observation, questions []Question) {
	for i, c := range cycles {
		m := merger{cycle: i}
		m.merge(c)
		obs, questions = append(obs, m.obs...), append(questions, m.questions...)
	}
	return obs, questions
}

type merger struct {
	cycle     int
	obs       []Observation
	questions []Question
}

func (m *merger) ask(after, before float64, format string, args ...any) {
	m.questions = append(m.questions, Question{m.cycle, after, before, fmt.Sprintf(format, args...)})
}

func (m *merger) merge(c Cycle) {
	looks := m.usable(c)
	if c.StartUnknown {
		m.shifted(looks, 0, math.Inf(1))
		return
	}
	own, rest := split(looks)
	m.observe(own)
	for len(rest) > 0 {
		// The change lies between the last dark look before it and the first clear one after it.
		after, before := lastTurned(own), rest[0].At
		m.ask(after, before, "turned at %s, good at %s: was it changed between the two without being written down?", Number(after), Number(before))
		own, rest = split(rest)
		m.shifted(own, after, before)
	}
}

// usable sorts the looks of a cycle and leaves out, with a question, those that cannot be.
func (m *merger) usable(c Cycle) []Seen {
	var looks []Seen
	for _, s := range c.Seen {
		part := func(x float64) bool { return x == 0 || x > 0 && x <= 1 }
		switch {
		case !(s.At > 0) || math.IsInf(s.At, 0):
			m.ask(0, 0, "a look at %v since renewal: at what exposure was it?", s.At)
		case !part(s.Sensitivity) || !part(s.Specificity):
			m.ask(s.At, s.At, "a look at %s with sensitivity %v and specificity %v: both are expected above 0, at most 1", Number(s.At), s.Sensitivity, s.Specificity)
		case c.RenewedAt > 0 && s.At > c.RenewedAt:
			m.ask(c.RenewedAt, s.At, "renewed at %s, but looked at as the old one at %s: which is right?", Number(c.RenewedAt), Number(s.At))
		default:
			looks = append(looks, s)
		}
	}
	slices.SortStableFunc(looks, func(a, b Seen) int {
		switch {
		case a.At != b.At:
			return sign(a.At - b.At)
		case a.Turned == b.Turned:
			return 0
		case a.Turned:
			return 1
		}
		return -1
	})
	return m.agreeing(looks)
}

func sign(x float64) int {
	if x < 0 {
		return -1
	}
	return 1
}

// agreeing leaves out looks that cannot err and say both at one exposure.
func (m *merger) agreeing(looks []Seen) []Seen {
	both := func(at float64) bool {
		good := slices.ContainsFunc(looks, func(s Seen) bool { return s.At == at && s.perfect() && !s.Turned })
		return good && slices.ContainsFunc(looks, func(s Seen) bool { return s.At == at && s.perfect() && s.Turned })
	}
	var kept []Seen
	asked := math.NaN()
	for _, s := range looks {
		if !s.perfect() || !both(s.At) {
			kept = append(kept, s)
		} else if s.At != asked {
			asked = s.At
			m.ask(s.At, s.At, "seen both good and turned at %s: which is right?", Number(s.At))
		}
	}
	return kept
}

// split cuts the looks where one that cannot err says good after another said turned: own are those up to the last turned one
// before, rest those from that good one on. Looks that can err in between belong to neither.
func split(looks []Seen) (own, rest []Seen) {
	turned := -1
	for i, s := range looks {
		switch {
		case !s.perfect():
		case s.Turned:
			turned = i
		case turned >= 0:
			return looks[:turned+1], looks[i:]
		}
	}
	return looks, nil
}

func lastTurned(looks []Seen) (at float64) {
	for _, s := range looks {
		if s.Turned && s.perfect() {
			at = s.At
		}
	}
	return at
}

// observe makes the one observation of a fill whose start is known.
func (m *merger) observe(looks []Seen) {
	if len(looks) == 0 {
		return
	}
	if slices.ContainsFunc(looks, func(s Seen) bool { return !s.perfect() }) {
		m.steps(looks)
		return
	}
	good, turned := ends(looks)
	m.interval(good, turned)
}

// ends gives the last exposure at which a look that cannot err saw it good, 0 for none, and the first at which one saw it turned,
// +Inf for none.
func ends(looks []Seen) (good, turned float64) {
	turned = math.Inf(1)
	for _, s := range looks {
		if s.perfect() && s.Turned {
			turned = math.Min(turned, s.At)
		} else if s.perfect() {
			good = math.Max(good, s.At)
		}
	}
	return good, turned
}

func (m *merger) interval(good, turned float64) {
	switch never := math.IsInf(turned, 1); {
	case never && good > 0:
		m.obs = append(m.obs, Observation{Kind: Clear, At: good})
	case !never && good > 0:
		m.obs = append(m.obs, Observation{Kind: Between, Lower: good, Upper: turned})
	case !never && turned > 0:
		m.obs = append(m.obs, Observation{Kind: Dark, At: turned})
	}
}

// shifted uses looks at a fill that began at an unknown exposure between after and before: good at x means longer than x-before,
// turned at x no longer than x-after. With before +Inf the start lies before exposure 0: good at x still means longer than x.
// Looks that can err are left out.
func (m *merger) shifted(looks []Seen, after, before float64) {
	good, turned := ends(looks)
	if math.IsInf(before, 1) {
		m.interval(good, math.Inf(1))
		return
	}
	m.interval(math.Max(0, good-before), turned-after)
}

// steps makes the likelihood of looks of which some can err: the product, for T in each gap, of the probabilities of what they said.
func (m *merger) steps(looks []Seen) {
	if len(looks) == 1 {
		s := looks[0]
		o := Observation{Kind: Clear, At: s.At, Sensitivity: orOne(s.Sensitivity), Specificity: orOne(s.Specificity)}
		if s.Turned {
			o.Kind = Dark
		}
		m.obs = append(m.obs, o)
		return
	}
	o := Observation{Kind: Steps}
	for _, s := range looks {
		if n := len(o.Breaks); n == 0 || s.At > o.Breaks[n-1] {
			o.Breaks = append(o.Breaks, s.At)
		}
	}
	logs := make([]float64, len(o.Breaks)+1)
	for k := range logs {
		for _, s := range looks {
			turned := k < len(o.Breaks) && o.Breaks[k] <= s.At // T lies before this look
			logs[k] += math.Log(s.says(turned))
		}
	}
	top := slices.Max(logs)
	if math.IsInf(top, -1) {
		return // looks that never err although their specificity is not 1 contradict each other
	}
	for _, v := range logs {
		o.Weights = append(o.Weights, math.Exp(v-top))
	}
	m.obs = append(m.obs, o)
}

// says is the probability of what a look said, given the truth.
func (s Seen) says(turned bool) float64 {
	right := orOne(s.Specificity)
	if turned {
		right = orOne(s.Sensitivity)
	}
	if s.Turned == turned {
		return right
	}
	return 1 - right
}
