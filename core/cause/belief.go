package cause

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
)

// ErrTooHard is wrapped when an exact answer would need more memory than the bound allows: too many findings are present whose
// causes overlap, or the tables are too entangled.
var ErrTooHard = errors.New("too entangled for an exact answer")

// ErrFaint is wrapped when the evidence is possible but so improbable under every explanation that it can't be told from impossible.
var ErrFaint = errors.New("evidence is possible but too improbable to reason from")

// Belief is what the network holds after the evidence. It never changes.
type Belief struct {
	net   *Network
	known known
	prob  scaled
	marg  [][]float64 // by node; nil: not worked out, because nothing seen depends on it
	part  []int       // by node: nodes in different parts are independent given the evidence
}

// Posterior works out the distribution of every variable given the evidence, exactly. Errors: ErrEvidence for names and likelihoods
// that can't be used, *Impossible for evidence that can't be, ErrTooHard, ErrFaint.
func (n *Network) Posterior(e Evidence) (*Belief, error) {
	k, err := n.resolve(e)
	if err != nil {
		return nil, err
	}
	b := &Belief{net: n, known: k, marg: make([][]float64, len(n.nodes)), part: make([]int, len(n.nodes))}
	if b.prob, err = n.run(k, b); err != nil {
		return nil, err
	}
	if b.prob.m == 0 {
		return nil, n.impossible(e)
	}
	for i, h := range k.hard {
		if h >= 0 {
			b.marg[i] = make([]float64, len(n.nodes[i].states))
			b.marg[i][h] = 1
		}
	}
	return b, nil
}

// run answers one question: the probability of the evidence and, unless b is nil, the distributions into it.
func (n *Network) run(k known, b *Belief) (scaled, error) {
	p := n.pose(k)
	total := p.scale
	for i, x := range p.parts() {
		var marg [][]float64
		if b != nil {
			marg = b.marg
			for _, v := range x.vars {
				b.part[p.node[v]] = i
			}
		}
		prob, err := p.solvePart(x, marg)
		if err != nil {
			return scaled{}, err
		}
		if total = total.mul(prob); total.m == 0 {
			return scaled{}, nil
		}
	}
	return total, nil
}

// treeFrom is the work of a sweep from which on the tree is considered too.
const treeFrom = 1 << 16

func (p *problem) solvePart(x part, marg [][]float64) (scaled, error) {
	if len(x.vars) == 1 && len(x.gates) == 0 {
		return p.solveSingle(x, marg), nil
	}
	var rank map[int]int
	var ops []op
	l, ok := twoLayers(p, x)
	cost := 0.0
	if ok {
		ops, cost = l.route()
		if cost < treeFrom {
			return p.solveLayers(l, ops, marg), nil
		}
		rank = l.rank(ops)
	}
	s := chains(p, x, rank)
	scopes := make([][]int, len(s.factors))
	for i, f := range s.factors {
		scopes[i] = f.vars
	}
	members, size := plan(s.card, scopes)
	if ok && cost < maxCells && cost < treeWork*size {
		return p.solveLayers(l, ops, marg), nil
	}
	if size > maxCells {
		return scaled{}, fmt.Errorf("%w: %.3g cells, at most %d", ErrTooHard, min(size, cost+size), maxCells)
	}
	return p.solveTree(x, s, members, marg), nil
}

// solveSingle is a part of one variable.
func (p *problem) solveSingle(x part, marg [][]float64) scaled {
	v := x.vars[0]
	d := make([]float64, p.card[v])
	for s := range d {
		d[s] = 1
	}
	e := 0
	for _, f := range x.factors {
		for s := range d {
			d[s] *= f.val[s]
		}
		e += rescale(d)
	}
	total := scaled{1, e}.times(normalise(d))
	if marg != nil {
		marg[p.node[v]] = d
	}
	return total
}

// treeWork is about how many steps of the sweep one cell of the tree is worth.
const treeWork = 4

// rank numbers the causes as the route takes them.
func (l *layers) rank(ops []op) map[int]int {
	rank := make(map[int]int)
	for _, o := range ops {
		if o.kind == sum {
			rank[l.vars[o.who]] = len(rank)
		}
	}
	return rank
}

func (p *problem) solveLayers(l *layers, ops []op, marg [][]float64) scaled {
	s := l.forward(ops)
	if marg == nil || s.total.m == 0 {
		return s.total
	}
	causes, on := s.backward()
	for c, m := range causes {
		marg[p.node[l.vars[c]]] = m
	}
	for f, y := range on {
		marg[l.gates[f].node] = []float64{1 - y, y}
	}
	return s.total
}

func (p *problem) solveTree(x part, s *split, members [][]int, marg [][]float64) scaled {
	when := make([]int, len(s.card))
	for k, m := range members {
		when[m[0]] = k
	}
	t := newTree(s.card, members)
	loaded := t.load(s.factors, when)
	total := t.collect().mul(loaded)
	if marg == nil || total.m == 0 {
		return total
	}
	t.distribute()
	for _, v := range x.vars {
		marg[p.node[v]] = t.marginal(s.local[v])
	}
	return total
}

// ProbEvidence is the probability of the evidence; 0 when it is too small for a float64. With likelihoods it is their expectation.
func (b *Belief) ProbEvidence() float64 { return b.prob.value() }

// LogProbEvidence is the natural logarithm of the probability of the evidence; it is finite however small that is.
func (b *Belief) LogProbEvidence() float64 { return b.prob.log() }

// P is the posterior probability of a state. Errors: an unknown name; ErrTooHard.
func (b *Belief) P(variable, state string) (float64, error) {
	d, err := b.Distribution(variable)
	if err != nil {
		return 0, err
	}
	s := slices.Index(b.net.nodes[b.net.index[variable]].states, state)
	if s < 0 {
		return 0, fmt.Errorf("%q has no state %q", variable, state)
	}
	return d[s], nil
}

// Distribution is the posterior of a variable by state, in the order of States.
func (b *Belief) Distribution(variable string) ([]float64, error) {
	i, ok := b.net.index[variable]
	if !ok {
		return nil, fmt.Errorf("there is no variable %q", variable)
	}
	if b.marg[i] != nil {
		return slices.Clone(b.marg[i]), nil
	}
	if p, ok := b.given(i); ok {
		return []float64{1 - p, p}, nil
	}
	// A finding on which nothing else that was seen depends: P(absent | e) = P(absent, e)/P(e).
	k := b.known
	k.hard, k.like = slices.Clone(k.hard), slices.Clone(k.like)
	weight := 1.0
	if k.like[i] != nil {
		weight = k.like[i][0]
	}
	if weight == 0 {
		return []float64{0, 1}, nil
	}
	k.hard[i], k.like[i] = 0, []float64{weight, 0}
	with, err := b.net.run(k, nil)
	if err != nil {
		return nil, err
	}
	no := min(with.over(b.prob), 1)
	return []float64{no, 1 - no}, nil
}

// given is the probability that a finding is present when its causes are known or independent of each other given the evidence: no sums over
// the network are needed.
func (b *Belief) given(i int) (p float64, ok bool) {
	nd := &b.net.nodes[i]
	off := 1 - nd.leak
	for x, par := range nd.parents {
		if h := b.known.hard[par]; h >= 0 {
			off *= 1 - nd.q[x][h]
			continue
		}
		if b.marg[par] == nil || b.known.like[i] != nil {
			return 0, false
		}
		for _, other := range nd.parents[:x] {
			if b.known.hard[other] < 0 && b.part[other] == b.part[par] {
				return 0, false
			}
		}
		miss := 0.0
		for s, m := range b.marg[par] {
			miss += m * (1 - nd.q[x][s])
		}
		off *= miss
	}
	p = 1 - off
	if like := b.known.like[i]; like != nil { // never both 0: the evidence was possible
		p = p * like[1] / (p*like[1] + off*like[0])
	}
	return p, true
}

// Standing is a variable with the probability of one of its states.
type Standing struct {
	Variable string
	P        float64
}

// Causes lists the nodes without parents that can be Present and were not themselves seen, the most probable first.
func (b *Belief) Causes() []Standing {
	var out []Standing
	for i, nd := range b.net.nodes {
		if s := slices.Index(nd.states, Present); s >= 0 && len(nd.parents) == 0 && b.marg[i] != nil && b.known.hard[i] < 0 {
			out = append(out, Standing{nd.id, b.marg[i][s]})
		}
	}
	slices.SortStableFunc(out, func(x, y Standing) int { return cmp.Compare(y.P, x.P) })
	return out
}
