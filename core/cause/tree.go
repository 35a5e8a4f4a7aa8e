package cause

// clique is a node of the tree of cliques; its table's last variable changes fastest.
type clique struct {
	vars   []int
	val    []float64
	parent int
	sep    []float64 // the message to the parent
	idx    []int32   // cell -> cell of sep
	count  int       // factors multiplied in
}

// cliqueTree is a forest with parents after children (cliques are kept in that order).
type cliqueTree struct {
	card    []int
	cliques []clique
	of      []int // variable -> a clique that has it
}

// newTree builds the cliques for an order of elimination. members[k] lists the variable eliminated k-th and its neighbours then.
// A clique that lies within another is merged into it. Source: Lauritzen & Spiegelhalter 1988.
func newTree(card []int, members [][]int) *cliqueTree {
	t := &cliqueTree{card: card, of: make([]int, len(card))}
	when := make([]int, len(card))
	for k, m := range members {
		when[m[0]] = k
	}
	next := make([]int, len(members)) // the step that gets the message of step k, or -1
	held := make([]int, len(members)) // step -> clique
	for k := range members {
		next[k], held[k] = -1, -1
		for _, v := range members[k][1:] {
			if next[k] < 0 || when[v] < next[k] {
				next[k] = when[v]
			}
		}
	}
	top := []int{} // clique -> its last step
	for k, m := range members {
		if held[k] < 0 {
			held[k] = len(t.cliques)
			t.cliques = append(t.cliques, clique{vars: m})
			top = append(top, k)
		}
		top[held[k]] = k
		t.of[m[0]] = held[k]
		if up := next[k]; up >= 0 && held[up] < 0 && len(members[up]) == len(m)-1 {
			held[up] = held[k]
		}
	}
	for c := range t.cliques {
		t.cliques[c].parent = -1
		if up := next[top[c]]; up >= 0 {
			t.cliques[c].parent = held[up]
		}
	}
	t.reorder()
	return t
}

// reorder puts children before parents.
func (t *cliqueTree) reorder() {
	kids := make([]int, len(t.cliques))
	for _, c := range t.cliques {
		if c.parent >= 0 {
			kids[c.parent]++
		}
	}
	order, place := make([]int, 0, len(kids)), make([]int, len(kids))
	for c, k := range kids {
		if k == 0 {
			order = append(order, c)
		}
	}
	for x := 0; x < len(order); x++ {
		place[order[x]] = x
		if p := t.cliques[order[x]].parent; p >= 0 {
			if kids[p]--; kids[p] == 0 {
				order = append(order, p)
			}
		}
	}
	sorted := make([]clique, len(order))
	for x, c := range order {
		sorted[x] = t.cliques[c]
		if p := sorted[x].parent; p >= 0 {
			sorted[x].parent = place[p]
		}
	}
	t.cliques = sorted
	for v, c := range t.of {
		t.of[v] = place[c]
	}
}

// cells is the number of cells of a table over vars.
func cells(card, vars []int) int {
	n := 1
	for _, v := range vars {
		n *= card[v]
	}
	return n
}

// project gives for each cell of a table over vars the cell of a table over sub (a part of vars, in any order).
func project(card, vars, sub []int) []int32 {
	stride := make(map[int]int, len(sub))
	size := 1
	for x := len(sub) - 1; x >= 0; x-- {
		stride[sub[x]] = size
		size *= card[sub[x]]
	}
	out := make([]int32, 1, cells(card, vars))
	for x := len(vars) - 1; x >= 0; x-- {
		block, st := len(out), int32(stride[vars[x]])
		for s := 1; s < card[vars[x]]; s++ {
			for _, o := range out[:block] {
				out = append(out, o+int32(s)*st)
			}
		}
	}
	return out
}

// load sets the cliques to the product of the factors, each in a clique that covers it, and gives the powers of two taken out.
func (t *cliqueTree) load(factors []factor, when []int) scaled {
	out := one
	for c := range t.cliques {
		val := make([]float64, cells(t.card, t.cliques[c].vars))
		for x := range val {
			val[x] = 1
		}
		t.cliques[c].val = val
	}
	for _, f := range factors {
		first := f.vars[0]
		for _, v := range f.vars[1:] {
			if when[v] < when[first] {
				first = v
			}
		}
		c := &t.cliques[t.of[first]]
		out.e += rescale(f.val) + c.times(project(t.card, c.vars, f.vars), f.val)
	}
	return out
}

// often is the number of factors after which a clique is rescaled, so that nothing underflows.
const often = 8

// times multiplies a clique by a factor and gives the power of two taken out.
func (c *clique) times(idx []int32, f []float64) int {
	for x, y := range idx {
		c.val[x] *= f[y]
	}
	if c.count++; c.count%often == 0 {
		return rescale(c.val)
	}
	return 0
}

// collect sends the messages to the roots and gives the probability of the evidence.
func (t *cliqueTree) collect() scaled {
	total := one
	for c := range t.cliques {
		cl := &t.cliques[c]
		total.e += rescale(cl.val)
		if cl.parent < 0 {
			sum := 0.0
			for _, x := range cl.val {
				sum += x
			}
			total = total.times(sum)
			continue
		}
		up := &t.cliques[cl.parent]
		shared := t.shared(cl.vars, up.vars)
		cl.idx = project(t.card, cl.vars, shared)
		cl.sep = make([]float64, cells(t.card, shared))
		for x, y := range cl.idx {
			cl.sep[y] += cl.val[x]
		}
		total.e += rescale(cl.sep)
		total.e += up.times(project(t.card, up.vars, shared), cl.sep)
	}
	return total
}

func (t *cliqueTree) shared(a, b []int) []int {
	in := make(map[int]bool, len(b))
	for _, v := range b {
		in[v] = true
	}
	var out []int
	for _, v := range a {
		if in[v] {
			out = append(out, v)
		}
	}
	return out
}

// distribute sends the messages back, so that every clique holds its joint distribution up to a factor.
func (t *cliqueTree) distribute() {
	for c := len(t.cliques) - 1; c >= 0; c-- {
		cl := &t.cliques[c]
		rescale(cl.val)
		if cl.parent < 0 {
			continue
		}
		up := &t.cliques[cl.parent]
		back := make([]float64, len(cl.sep))
		for x, y := range project(t.card, up.vars, t.shared(cl.vars, up.vars)) {
			back[y] += up.val[x]
		}
		for y := range back {
			if cl.sep[y] > 0 {
				back[y] /= cl.sep[y]
			}
		}
		rescale(back)
		for x, y := range cl.idx {
			cl.val[x] *= back[y]
		}
		rescale(cl.val)
	}
}

// marginal is the distribution of one variable after distribute.
func (t *cliqueTree) marginal(v int) []float64 {
	cl := &t.cliques[t.of[v]]
	out := make([]float64, t.card[v])
	for x, y := range project(t.card, cl.vars, []int{v}) {
		out[y] += cl.val[x]
	}
	normalise(out)
	return out
}
