package diagnose

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"witnessmark/core/nextlook"
	"witnessmark/core/point"
)

// usual is how many minutes a look at a station takes, the way there included (practice); a sign may say otherwise.
var usual = map[point.Station]float64{"paperwork": 2, "cabin": 2, "engine-cold": 2, "engine-running": 4, "on-the-ground": 2, "on-the-lift": 6,
	"wheels-off": 15, "road": 12}

// Bounds of what a panel's search takes up, so that a car is answered at once.
const (
	mostLooks   = 5     // shown
	mostSought  = 10    // looks that the exact search weighs
	mostWeighed = 8     // causes that it weighs; the rest counts as none of them
	searchWork  = 400   // its limit of work
	leastWeight = 0.005 // causes below this count as none of them
)

// weighed is a panel as a troubleshooting problem: exactly one of the causes, or something else, is behind it.
type weighed struct {
	rate    float64
	causes  []*point.Cause
	w       []float64 // by cause; the last is something else
	repairs []nextlook.Repair
	fixes   []*point.Cause // the likeliest cause of each repair
	handOn  float64
}

// look is a candidate with P(seen | cause).
type look struct {
	Look
	cost     float64
	positive []float64
}

// advise finds the looks worth their cost and the first step.
func (b *belief) advise(p *Panel) {
	w := b.weigh(p)
	if w == nil {
		p.Next = Step{Kind: "search", Says: "None of the known causes explains it: search on from what was seen."}
		return
	}
	looks := b.looks(w)
	best := w.first(looks)
	for i := range looks {
		if l := &looks[i]; l.Saves > 0 || best.Kind == nextlook.DoCheck && best.ID == l.Sign.ID {
			if l.Saves <= 0 {
				l.Saves = best.Saving // alone it does not pay; with the looks after it it does
			}
			p.Looks = append(p.Looks, l.Look)
		}
	}
	slices.SortStableFunc(p.Looks, func(x, y Look) int {
		if first := best.ID; best.Kind == nextlook.DoCheck && (x.Sign.ID == first) != (y.Sign.ID == first) {
			if x.Sign.ID == first {
				return -1
			}
			return 1
		}
		return cmp.Compare(y.Saves, x.Saves)
	})
	p.Looks = p.Looks[:min(len(p.Looks), mostLooks)]
	p.Next = w.step(p, best)
}

// nearTie is how much dearer in expectation a plan may be whose first look saves more by itself: it is easier to see why.
const nearTie = 1.05

// first is the first step of the cheapest plan; among looks that are as good within nearTie, the one that saves most alone.
func (w *weighed) first(looks []look) nextlook.Option {
	a, err := nextlook.Solve(w.problem(looks), searchWork)
	if err != nil {
		return nextlook.Option{}
	}
	if a.First.Kind != nextlook.DoCheck {
		return a.First
	}
	for _, l := range looks { // the one that saves most alone first
		i := slices.IndexFunc(a.Options, func(o nextlook.Option) bool { return o.Kind == nextlook.DoCheck && o.ID == l.Sign.ID })
		if i >= 0 && a.Options[i].Expected <= a.First.Expected*nearTie {
			return a.Options[i]
		}
	}
	return a.First
}

// step says what comes first.
func (w *weighed) step(p *Panel, best nextlook.Option) Step {
	switch {
	case best.Kind == nextlook.DoRepair:
		for i, r := range w.repairs {
			if r.ID == best.ID {
				k := w.fixes[i]
				return Step{Kind: "repair", Cause: k, Says: fmt.Sprintf("%s (%s): %s.", k.Name, Percent(p.of(k)), instead(p))}
			}
		}
	case len(p.Looks) > 0:
		l := p.Looks[0]
		return Step{Kind: "look", Sign: l.Sign, Says: l.Sign.Name + ": " + l.Why}
	}
	return Step{Kind: "search", Says: "Nothing known is worth a try before searching on from what was seen."}
}

// instead says why no look comes before a repair.
func instead(p *Panel) string {
	if len(p.Looks) == 0 {
		return "no look is worth its cost before putting that right"
	}
	return "putting that right is cheaper than looking further first"
}

// of is the probability of a cause of the panel.
func (p *Panel) of(k *point.Cause) float64 {
	for _, r := range p.Causes {
		if r.Cause == k {
			return r.P
		}
	}
	return 0
}

// weigh makes the panel a problem with exactly one thing behind it: each cause weighs as much as it is probable that it alone is there,
// something else as much as that none is. nil when nothing known is left.
func (b *belief) weigh(p *Panel) *weighed {
	w := &weighed{rate: b.in.rate()}
	ids := make([]string, len(p.Causes))
	for i, r := range p.Causes {
		ids[i] = r.Cause.ID
	}
	alone, total := b.alone(ids), p.Other
	for _, x := range alone {
		total += x
	}
	if !(total > 0) {
		return nil
	}
	rest := p.Other / total
	for i, r := range p.Causes {
		if x := alone[i] / total; len(w.causes) == mostWeighed || x < leastWeight {
			rest += x
		} else {
			w.causes, w.w = append(w.causes, r.Cause), append(w.w, x)
		}
	}
	if len(w.causes) == 0 {
		return nil
	}
	w.w = append(w.w, rest)
	w.addRepairs()
	return w
}

// addRepairs lists what puts the causes right; those that ask for the same work are one.
func (w *weighed) addRepairs() {
	at := map[string]int{}
	for i, k := range w.causes {
		key := strings.Join(k.Jobs, "+")
		r, ok := at[key]
		if !ok {
			r = len(w.repairs)
			at[key] = r
			w.repairs = append(w.repairs, nextlook.Repair{ID: "repair " + key, Cost: k.Minutes*w.rate + k.Money})
			w.fixes = append(w.fixes, k)
		}
		w.repairs[r].Fixes = append(w.repairs[r].Fixes, i)
		w.repairs[r].Cost = max(w.repairs[r].Cost, k.Minutes*w.rate+k.Money)
		w.handOn = max(w.handOn, w.repairs[r].Cost)
	}
	w.handOn += handOn
}

// looks lists what has not been looked at and parts the causes, with what each saves on its own: the expected cost of the best repairs now
// less that after the look, less its cost (Heckerman, Breese & Rommelse 1995).
func (b *belief) looks(w *weighed) []look {
	var out []look
	now := w.plan(w.w)
	yes, no := make([]float64, len(w.w)), make([]float64, len(w.w))
	for _, sign := range b.cat.Signs {
		l, ok := b.candidate(w, sign)
		if !ok {
			continue
		}
		py := 0.0
		for i, x := range w.w {
			yes[i], no[i] = x*l.positive[i], x*(1-l.positive[i])
			py += yes[i]
		}
		l.Saves = now - w.plan(yes) - w.plan(no) - l.cost
		l.Why = w.why(&l, yes, no, py)
		out = append(out, l)
	}
	slices.SortStableFunc(out, func(x, y look) int { return cmp.Compare(y.Saves, x.Saves) })
	return onePerPoint(out)
}

// onePerPoint keeps the best look at each point, and not more than the search weighs.
func onePerPoint(ls []look) []look {
	seen := map[string]bool{}
	out := ls[:0]
	for _, l := range ls {
		if l.Sign.Point != "" && seen[l.Sign.Point] {
			continue
		}
		seen[l.Sign.Point] = true
		if out = append(out, l); len(out) == mostSought {
			break
		}
	}
	return out
}

// candidate makes a sign that has not been looked at into a look.
func (b *belief) candidate(w *weighed, sign *point.Sign) (l look, ok bool) {
	p, applies := b.pieces[sign.ID]
	if !applies || p.Show != Silent || p.told || sign.Point == "" && sign.Check == "" {
		return l, false
	}
	l.positive = make([]float64, len(w.w))
	for i := range l.positive {
		l.positive[i] = sign.Leak
	}
	speaks := false
	for i, k := range w.causes {
		for _, e := range k.Explains {
			if e.Sign == sign.ID {
				l.positive[i] = sign.Leak + (1-sign.Leak)*e.Q
				speaks = true
			}
		}
	}
	if !speaks {
		return l, false
	}
	l.Look = Look{Sign: sign, Minutes: sign.Minutes, Money: sign.Money}
	ids := sign.Cautions
	if sign.Point != "" {
		at := b.cat.Point(sign.Point)
		if holds, _ := at.Applies.Holds(b.in.Facets); !holds || len(at.Positions.Slots(b.in.Facets)) == 0 {
			return l, false
		}
		if l.Minutes == 0 {
			l.Minutes = usual[at.Station]
		}
		ids = slices.Concat(ids, at.Cautions)
	}
	for _, id := range ids {
		if c := b.cat.Cautions[id]; c != nil && !slices.Contains(l.Cautions, c.Say) {
			l.Cautions = append(l.Cautions, c.Say)
		}
	}
	l.cost = l.Minutes*w.rate + l.Money
	return l, true
}

// problem is the case for the exact search.
func (w *weighed) problem(ls []look) nextlook.Case {
	c := nextlook.Case{Prior: w.w, Repairs: w.repairs, Escalate: w.handOn}
	for _, k := range w.causes {
		c.Causes = append(c.Causes, k.ID)
	}
	c.Causes = append(c.Causes, "none of them")
	for _, l := range ls {
		c.Checks = append(c.Checks, nextlook.Check{ID: l.Sign.ID, Cost: l.cost, Positive: l.positive})
	}
	return c
}

// plan is the expected cost of repairs under weights (which need not sum to 1) in the order of probability over cost, handing on where
// that is cheaper.
func (w *weighed) plan(v []float64) float64 {
	type step struct{ p, cost float64 }
	steps := make([]step, 0, len(w.repairs))
	rest := 0.0
	for _, x := range v {
		rest += x
	}
	for _, r := range w.repairs {
		p := 0.0
		for _, f := range r.Fixes {
			p += v[f]
		}
		if p > 0 {
			steps = append(steps, step{p, r.Cost})
		}
	}
	slices.SortStableFunc(steps, func(x, y step) int { return cmp.Compare(y.p*x.cost, x.p*y.cost) })
	best, paid := rest*w.handOn, 0.0
	for _, s := range steps {
		paid += s.cost * rest
		rest = max(0, rest-s.p)
		best = min(best, paid+rest*w.handOn)
	}
	return best
}

// why says what a look costs and what it settles.
func (w *weighed) why(l *look, yes, no []float64, py float64) string {
	cost := fmt.Sprintf("costs %g minutes", l.Minutes)
	if l.Minutes == 1 {
		cost = "costs a minute"
	}
	if l.Money > 0 {
		cost += fmt.Sprintf(" and %g in money", l.Money)
	}
	i, j := leader(yes, w.causes), leader(no, w.causes)
	if i != j && i >= 0 && j >= 0 {
		a := yes[i] / (yes[i] + yes[j])
		return fmt.Sprintf("%s, splits %s from %s %.0f/%.0f; seen (%s): %s %s, not seen: %s %s", cost, w.name(i), w.name(j), 100*a, 100-100*a, Percent(py),
			w.name(i), Percent(yes[i]/py), w.name(j), Percent(share(no[j], 1-py)))
	}
	if i < 0 {
		return cost
	}
	return fmt.Sprintf("%s; %s goes from %s to %s if seen (%s), to %s if not", cost, w.name(i), Percent(w.w[i]), Percent(share(yes[i], py)), Percent(py), Percent(share(no[i], 1-py)))
}

// name is a cause's name within a sentence.
func (w *weighed) name(i int) string {
	r, n := utf8.DecodeRuneInString(w.causes[i].Name)
	return string(unicode.ToLower(r)) + w.causes[i].Name[n:]
}

func share(x, of float64) float64 {
	if of <= 0 {
		return 0
	}
	return math.Min(x/of, 1)
}

// leader is the heaviest of the causes, -1 without any.
func leader(v []float64, causes []*point.Cause) int {
	best := -1
	for i := range causes {
		if v[i] > 0 && (best < 0 || v[i] > v[best]) {
			best = i
		}
	}
	return best
}

// Percent writes a probability; what is nearly 0 or 1 is not rounded to it.
func Percent(p float64) string {
	switch {
	case p > 0 && p < 0.005:
		return "under 1 %"
	case p < 1 && p > 0.995:
		return "over 99 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}
