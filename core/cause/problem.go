package cause

// problem is one question put to a network: what is left of it once the evidence is put in and what can't matter is left out.
// Its variables are numbered densely.
type problem struct {
	node    []int // variable -> node
	at      []int // node -> variable, or -1
	card    []int
	factors []factor
	gates   []gate
	scale   scaled
}

// factor is a table over variables, the last one changing fastest.
type factor struct {
	vars []int
	val  []float64
}

// gate is a noisy-OR that could not be taken apart into single factors. off and on weigh its outcome; child is its variable
// when something else depends on it, else -1: then the gate is the end of its path and only its weights matter.
type gate struct {
	node    int
	child   int
	parents []int
	q       [][]float64
	leak    float64
	off, on float64
}

// pose sets the problem up. Noisy-OR findings that were not looked at and lead to nothing that counts are left out: their rows sum to 1
// exactly. Tables stay, because their rows are taken as given and need not. Findings that are absent fall apart into one factor
// a parent (Heckerman 1989); only those present entangle their causes.
func (n *Network) pose(k known) *problem {
	p := &problem{at: make([]int, len(n.nodes)), scale: one}
	counts := n.counts(k)
	for i := range n.nodes {
		p.at[i] = -1
		if counts[i] && k.hard[i] < 0 && (!n.nodes[i].noisy() || n.hasChild(i, counts)) {
			p.at[i] = len(p.node)
			p.node = append(p.node, i)
			p.card = append(p.card, len(n.nodes[i].states))
		}
	}
	unary := make([][]float64, len(p.node))
	for i := range n.nodes {
		if !counts[i] {
			continue
		}
		if at := p.at[i]; at >= 0 && k.like[i] != nil {
			p.weigh(unary, at, k.like[i])
		} else if h := k.hard[i]; h >= 0 {
			p.scale = p.scale.times(k.like[i][h])
		}
		if n.nodes[i].noisy() {
			p.addNoisy(n, i, k, unary)
		} else {
			p.addTable(n, i, k)
		}
	}
	for v, u := range unary {
		if u != nil {
			p.factors = append(p.factors, factor{[]int{v}, u})
		}
	}
	return p
}

// counts says which nodes matter: tables, whatever was seen, and all that leads to those.
func (n *Network) counts(k known) []bool {
	out := make([]bool, len(n.nodes))
	for x := len(n.order) - 1; x >= 0; x-- {
		i := n.order[x]
		out[i] = !n.nodes[i].noisy() || k.like[i] != nil || n.hasChild(i, out)
	}
	return out
}

func (n *Network) hasChild(i int, counts []bool) bool {
	for _, c := range n.nodes[i].children {
		if counts[c] {
			return true
		}
	}
	return false
}

// weigh multiplies the factor of one variable.
func (p *problem) weigh(unary [][]float64, v int, w []float64) {
	if unary[v] == nil {
		unary[v] = make([]float64, p.card[v])
		for s := range unary[v] {
			unary[v][s] = 1
		}
	}
	for s := range w {
		unary[v][s] *= w[s]
	}
	p.scale.e += rescale(unary[v])
}

// addTable adds the part of a node's table that agrees with the evidence.
func (p *problem) addTable(n *Network, i int, k known) {
	nd := &n.nodes[i]
	scope := append(append([]int{}, nd.parents...), i)
	base, size, stride := 0, 1, 1
	var vars, cards, strides []int
	for x := len(scope) - 1; x >= 0; x-- {
		v := scope[x]
		if h := k.hard[v]; h >= 0 {
			base += h * stride
		} else {
			vars, cards, strides = append(vars, p.at[v]), append(cards, len(n.nodes[v].states)), append(strides, stride)
			size *= len(n.nodes[v].states)
		}
		stride *= len(n.nodes[v].states)
	}
	val := make([]float64, 1, size)
	// Built up from the fastest variable: vars then run from the fastest to the slowest and are turned round below.
	pos := make([]int, 1, size)
	pos[0] = base
	for x := range vars {
		block := len(pos)
		for s := 1; s < cards[x]; s++ {
			for _, b := range pos[:block] {
				pos = append(pos, b+s*strides[x])
			}
		}
	}
	val = val[:len(pos)]
	for x, at := range pos {
		val[x] = nd.rows[at]
	}
	if len(vars) == 0 {
		p.scale = p.scale.times(val[0])
		return
	}
	for a, b := 0, len(vars)-1; a < b; a, b = a+1, b-1 {
		vars[a], vars[b] = vars[b], vars[a]
	}
	p.factors = append(p.factors, factor{vars, val})
}

// addNoisy adds a noisy-OR: as factors of its parents when it is absent, else as a gate.
func (p *problem) addNoisy(n *Network, i int, k known, unary [][]float64) {
	nd := &n.nodes[i]
	g := gate{node: i, child: p.at[i], leak: nd.leak, off: 1, on: 1}
	for x, par := range nd.parents {
		if h := k.hard[par]; h >= 0 {
			g.leak = either(g.leak, nd.q[x][h])
		} else {
			g.parents, g.q = append(g.parents, p.at[par]), append(g.q, nd.q[x])
		}
	}
	if g.child < 0 {
		g.off, g.on = k.like[i][0], k.like[i][1]
		if h := k.hard[i]; h >= 0 { // its weight is in the scale already
			g.off, g.on = float64(1-h), float64(h)
		}
	}
	switch {
	case g.child < 0 && g.on == 0:
		p.scale = p.scale.times(g.off).times(1 - g.leak)
		for x, v := range g.parents {
			w := make([]float64, len(g.q[x]))
			for s, q := range g.q[x] {
				w[s] = 1 - q
			}
			p.weigh(unary, v, w)
		}
	case g.child < 0 && len(g.parents) == 0:
		p.scale = p.scale.times(g.off*(1-g.leak) + g.on*g.leak)
	case g.child < 0 && len(g.parents) == 1:
		w := make([]float64, len(g.q[0]))
		for s, q := range g.q[0] {
			w[s] = g.off*(1-g.leak)*(1-q) + g.on*either(g.leak, q)
		}
		p.weigh(unary, g.parents[0], w)
	default:
		p.gates = append(p.gates, g)
	}
}

// part is a set of variables that no factor and no gate connects with others.
type part struct {
	vars    []int
	factors []factor
	gates   []gate
}

// parts takes the problem apart: each part can be answered alone.
func (p *problem) parts() []part {
	root := make([]int, len(p.card))
	for v := range root {
		root[v] = v
	}
	find := func(v int) int {
		for root[v] != v {
			root[v] = root[root[v]]
			v = root[v]
		}
		return v
	}
	join := func(vars []int) {
		for _, v := range vars[1:] {
			root[find(v)] = find(vars[0])
		}
	}
	for _, f := range p.factors {
		join(f.vars)
	}
	for _, g := range p.gates {
		join(g.scope())
	}
	number := make([]int, len(root)) // root -> place in out, counted from 1
	var out []part
	for v := range root {
		r := find(v)
		if number[r] == 0 {
			out = append(out, part{})
			number[r] = len(out)
		}
		x := &out[number[r]-1]
		x.vars = append(x.vars, v)
	}
	for _, f := range p.factors {
		x := &out[number[find(f.vars[0])]-1]
		x.factors = append(x.factors, f)
	}
	for _, g := range p.gates {
		x := &out[number[find(g.scope()[0])]-1]
		x.gates = append(x.gates, g)
	}
	return out
}

// scope lists the variables of a gate, its child first.
func (g gate) scope() []int {
	if g.child < 0 {
		return g.parents
	}
	return append([]int{g.child}, g.parents...)
}
