package diagnose

import (
	"errors"
	"math"
	"slices"

	"witnessmark/core/cause"
	"witnessmark/core/point"
)

// belief holds what is known of one car and answers piece by piece: causes that no evidence ties together are reasoned about apart,
// which is exact because a finding that is missing weighs on each of its causes alone.
type belief struct {
	in     *Input
	cat    *point.Catalogue
	pieces map[string]Piece // by sign; silent ones too
	causes map[string]*point.Cause
	prior  map[string]float64
	by     map[string][]link // sign -> causes that apply to the car
	group  map[string]*group // by cause
}

type link struct {
	cause *point.Cause
	q     float64
}

// group is causes that evidence ties together, with the signs that speak of them.
type group struct {
	causes []string
	signs  []string // network nodes with evidence
	bars   []string // signs that rule causes out
	net    *cause.Network
	solved bool
	p      map[string]float64
	logP   float64
	err    error
	apart  map[string]map[string]float64 // by sign left out: posterior of each cause
}

func newBelief(cat *point.Catalogue, in *Input) *belief {
	b := &belief{in: in, cat: cat, pieces: make(map[string]Piece, len(cat.Signs)), causes: make(map[string]*point.Cause, len(cat.Causes)),
		prior: make(map[string]float64, len(cat.Causes)), by: map[string][]link{}, group: map[string]*group{}}
	s := newSeer(in)
	for _, sign := range cat.Signs {
		if ok, _ := sign.When.Holds(in.Facets); ok {
			b.pieces[sign.ID] = s.piece(sign)
		}
	}
	times := b.familyTimes()
	for _, k := range cat.Causes {
		if ok, _ := k.When.Holds(in.Facets); !ok {
			continue
		}
		b.causes[k.ID] = k
		b.prior[k.ID] = moveOdds(k.Prior, times[k.ID])
		for _, e := range k.Explains {
			if _, there := b.pieces[e.Sign]; there {
				b.by[e.Sign] = append(b.by[e.Sign], link{k, e.Q})
			}
		}
	}
	b.tie()
	return b
}

// familyTimes gives by how much the car's families move the odds of causes.
func (b *belief) familyTimes() map[string]float64 {
	out := map[string]float64{}
	for _, f := range b.cat.Families {
		holds, _ := f.When.Holds(b.in.Facets)
		if b.in.Families != nil {
			holds = slices.Contains(b.in.Families, f.ID)
		}
		if !holds {
			continue
		}
		for _, c := range f.Causes {
			if out[c.Cause] == 0 {
				out[c.Cause] = 1
			}
			out[c.Cause] *= c.Times
		}
	}
	return out
}

// moveOdds multiplies the odds of p; 0 leaves it alone.
func moveOdds(p, times float64) float64 {
	if times <= 0 || math.IsNaN(times) || math.IsInf(times, 0) {
		return p
	}
	odds := p / (1 - p) * times
	return odds / (1 + odds)
}

// tie groups causes that share a sign that was seen.
func (b *belief) tie() {
	root := map[string]string{}
	var find func(string) string
	find = func(x string) string {
		if r := root[x]; r != "" && r != x {
			r = find(r)
			root[x] = r
			return r
		}
		return x
	}
	for _, sign := range b.cat.Signs {
		p := b.pieces[sign.ID]
		if p.Show != Shown && p.Show != Faint {
			continue
		}
		ls := b.by[sign.ID]
		for i := 1; i < len(ls); i++ {
			if x, y := find(ls[0].cause.ID), find(ls[i].cause.ID); x != y {
				root[y] = x
			}
		}
	}
	groups := map[string]*group{}
	for _, k := range b.cat.Causes {
		if b.causes[k.ID] == nil {
			continue
		}
		r := find(k.ID)
		if groups[r] == nil {
			groups[r] = &group{}
		}
		groups[r].causes = append(groups[r].causes, k.ID)
		b.group[k.ID] = groups[r]
	}
}

// solve works a group out, once.
func (b *belief) solve(g *group) {
	if g.solved {
		return
	}
	g.solved, g.apart = true, map[string]map[string]float64{}
	g.net, g.err = b.network(g)
	if g.err == nil {
		g.p, g.logP, g.err = b.ask(g, b.evidence(g, ""))
	}
}

// network builds the group's network: its causes, and the signs of theirs about which something is known.
func (b *belief) network(g *group) (*cause.Network, error) {
	var n cause.Builder
	in := make(map[string]bool, len(g.causes))
	seen := map[string]bool{}
	for _, id := range g.causes {
		in[id] = true
		n.AddCause(id, b.prior[id])
	}
	for _, id := range g.causes {
		for _, e := range b.causes[id].Explains {
			if p := b.pieces[e.Sign]; p.Sign == nil || p.Show == Silent || seen[e.Sign] {
				continue
			}
			seen[e.Sign] = true
			g.signs = append(g.signs, e.Sign)
		}
		for _, s := range b.causes[id].Unless {
			if b.pieces[s].Show == Shown && !slices.Contains(g.bars, s) {
				g.bars = append(g.bars, s)
			}
		}
	}
	slices.Sort(g.signs)
	for _, id := range g.signs {
		var links []cause.Link
		for _, l := range b.by[id] {
			if in[l.cause.ID] {
				links = append(links, cause.Link{Cause: l.cause.ID, Q: l.q})
			}
		}
		n.AddFinding(node(id), b.pieces[id].Sign.Leak, links)
	}
	return n.Build()
}

// node names a sign's variable, so that a sign and a cause may share an id.
func node(sign string) string { return "sign:" + sign }

// evidence is what is known in a group, without one sign.
func (b *belief) evidence(g *group, without string) cause.Evidence {
	e := cause.Evidence{}
	for _, id := range g.signs {
		if id == without {
			continue
		}
		switch p := b.pieces[id]; p.Show {
		case Shown:
			e[node(id)] = cause.Is(cause.Present)
		case NotShown:
			e[node(id)] = cause.Is(cause.Absent)
		case Faint:
			e[node(id)] = cause.Looks(p.Ratio, 1)
		}
	}
	for _, id := range g.causes {
		if yes, ok := b.in.Confirmed[id]; ok && yes {
			e[id] = cause.Is(cause.Present)
		} else if ok || b.barred(id, without) {
			e[id] = cause.Is(cause.Absent)
		}
	}
	return e
}

// barred says whether a sign that was seen rules a cause out.
func (b *belief) barred(id, without string) bool {
	return slices.ContainsFunc(b.causes[id].Unless, func(s string) bool { return s != without && b.pieces[s].Show == Shown })
}

// ask gives the probability of every cause of a group, and the logarithm of the evidence's.
func (b *belief) ask(g *group, e cause.Evidence) (map[string]float64, float64, error) {
	post, err := g.net.Posterior(e)
	if err != nil {
		return nil, 0, err
	}
	out := make(map[string]float64, len(g.causes))
	for _, id := range g.causes {
		p, err := post.P(id, cause.Present)
		if err != nil {
			return nil, 0, err
		}
		out[id] = min(max(p, 0), 1)
	}
	return out, post.LogProbEvidence(), nil
}

// p is the probability of a cause; what could not be reasoned stays at its prior.
func (b *belief) p(id string) float64 {
	g := b.group[id]
	b.solve(g)
	if g.err != nil {
		return b.prior[id]
	}
	return g.p[id]
}

// without is the probability of a cause had a sign not been looked at.
func (b *belief) without(id, sign string) float64 {
	g := b.group[id]
	b.solve(g)
	if g.err != nil {
		return b.prior[id]
	}
	if g.apart[sign] == nil {
		p, _, err := b.ask(g, b.evidence(g, sign))
		if err != nil {
			p = g.p
		}
		g.apart[sign] = p
	}
	return g.apart[sign][id]
}

// none is the probability that none of some causes is there.
func (b *belief) none(ids []string) float64 {
	left := 1.0
	for _, g := range b.groups(ids) {
		left *= b.exactly(g, ids, "")
	}
	return left
}

// alone gives for each of some causes the probability that it is there and none of the others.
func (b *belief) alone(ids []string) []float64 {
	groups := b.groups(ids)
	none := make([]float64, len(groups))
	for i, g := range groups {
		none[i] = b.exactly(g, ids, "")
	}
	out := make([]float64, len(ids))
	for k, id := range ids {
		out[k] = 1
		for i, g := range groups {
			if g == b.group[id] {
				out[k] *= b.exactly(g, ids, id)
			} else {
				out[k] *= none[i]
			}
		}
	}
	return out
}

// groups lists the groups of some causes, each once.
func (b *belief) groups(ids []string) []*group {
	var out []*group
	for _, id := range ids {
		if g := b.group[id]; !slices.Contains(out, g) {
			out = append(out, g)
		}
	}
	return out
}

// exactly is the probability that, of those of some causes that are in a group, the one is there and no other; an empty one is none.
func (b *belief) exactly(g *group, ids []string, one string) float64 {
	b.solve(g)
	if g.err != nil {
		return 1
	}
	e := b.evidence(g, "")
	for _, id := range ids {
		if b.group[id] != g {
			continue
		}
		want := cause.Absent
		if id == one {
			want = cause.Present
		}
		if s, known := e[id]; known && s.State != want {
			return 0
		}
		e[id] = cause.Is(want)
	}
	post, err := g.net.Posterior(e)
	if err != nil {
		return 0
	}
	return min(math.Exp(post.LogProbEvidence()-g.logP), 1)
}

// trouble says in words why a group could not be reasoned about.
func (b *belief) trouble(g *group) string {
	b.solve(g)
	var no *cause.Impossible
	switch {
	case g.err == nil:
		return ""
	case errors.As(g.err, &no):
		names := make([]string, 0, len(no.Conflict))
		for _, v := range no.Conflict {
			names = append(names, b.called(v))
		}
		return "These can't be true together: " + join(names) + ". Look at them again."
	case errors.Is(g.err, cause.ErrTooHard):
		return "Too much was found at once to reason exactly: settle one of the findings first."
	}
	return "What was found is too improbable together to reason from: look at it again."
}

func (b *belief) called(v string) string {
	for id, p := range b.pieces {
		if node(id) == v {
			return p.Words
		}
	}
	if k := b.causes[v]; k != nil {
		if b.in.Confirmed[v] {
			return k.Name + " confirmed"
		}
		return "not: " + k.Name
	}
	return v
}
