package cause

import "slices"

// layers is a part made of independent causes and ends of noisy-OR: two layers. Its answer is a sum over the causes, one after the other,
// with the set of findings that are on already as the state. All terms are positive, so nothing cancels; inclusion and exclusion over the
// findings (Heckerman 1989) computes the same in alternating terms and loses all digits at ten findings or more. A finding enters the
// state with the first cause that can produce it and leaves after the last one, so the state stays small when the order is good.
type layers struct {
	weights [][]float64 // cause -> state -> weight, sum 1
	vars    []int       // cause -> variable of the problem
	links   [][]link    // cause -> findings that it can produce
	gates   []gate
	single  [][]int // finding -> causes that can produce only this one
	many    []int   // causes that can produce several
	scale   scaled
}

type link struct {
	gate int
	q    []float64
}

// twoLayers recognises such a part. Every factor must be of one variable and every gate an end.
func twoLayers(p *problem, x part) (*layers, bool) {
	at := make(map[int]int, len(x.vars))
	l := &layers{gates: x.gates, scale: one, vars: x.vars, links: make([][]link, len(x.vars)), single: make([][]int, len(x.gates))}
	for i, v := range x.vars {
		at[v] = i
		w := make([]float64, p.card[v])
		for s := range w {
			w[s] = 1
		}
		l.weights = append(l.weights, w)
	}
	for _, f := range x.factors {
		if len(f.vars) != 1 {
			return nil, false
		}
		w := l.weights[at[f.vars[0]]]
		for s := range w {
			w[s] *= f.val[s]
		}
		l.scale.e += rescale(w)
	}
	for j, g := range x.gates {
		if g.child >= 0 {
			return nil, false
		}
		for i, v := range g.parents {
			l.links[at[v]] = append(l.links[at[v]], link{j, g.q[i]})
		}
	}
	for i, ls := range l.links {
		l.scale = l.scale.times(normalise(l.weights[i]))
		switch len(ls) {
		case 0:
		case 1:
			l.single[ls[0].gate] = append(l.single[ls[0].gate], i)
		default:
			l.many = append(l.many, i)
		}
	}
	return l, true
}

// op is one step over the state: a finding enters (at the top), a cause is summed over, a finding leaves.
type op struct {
	kind opKind
	who  int   // finding or cause
	bit  int   // place of the finding that enters or leaves
	bits []int // places of the cause's findings
	size int   // of the state before the step
}

type opKind int

const (
	enter opKind = iota
	sum
	leave
)

// maxStarts bounds the routes that are tried, and with many findings the work of trying them.
const (
	maxStarts = 24
	maxTrials = 1000
)

// route orders the steps: from every finding as the first, greedily that finding next whose last cause can be reached with the smallest
// state; the cheapest route wins. The cost is in cells touched.
func (l *layers) route() (best []op, cost float64) {
	for first := range min(len(l.gates), maxStarts, 1+maxTrials/(1+len(l.gates))) {
		ops, c := l.routeFrom(first)
		if best == nil || c < cost {
			best, cost = ops, c
		}
	}
	return best, cost
}

// walk is a route that is being made.
type walk struct {
	l     *layers
	ops   []op
	place []int // findings in the state, by place
	left  []int // finding -> causes of several findings still to come
	in    []bool
	done  []bool // causes
	gone  []bool // findings
	cost  float64
	mark  []int
	stamp int
}

// hopeless is a cost at which a route need not be finished.
const hopeless = 1 << 40

func (l *layers) routeFrom(first int) ([]op, float64) {
	m := len(l.gates)
	w := &walk{l: l, left: make([]int, m), in: make([]bool, m), gone: make([]bool, m), mark: make([]int, m), done: make([]bool, len(l.weights))}
	users := make([][]int, len(l.gates))
	for _, c := range l.many {
		for _, k := range l.links[c] {
			w.left[k.gate]++
			users[k.gate] = append(users[k.gate], c)
		}
	}
	for next := first; next >= 0 && w.cost < hopeless; next = w.next(users) {
		if !w.in[next] {
			w.enter(next)
		}
		for {
			c := w.cause(users[next])
			if c < 0 {
				break
			}
			w.sum(c)
		}
		w.clear()
	}
	return w.ops, w.cost
}

// next is the finding whose remaining causes bring the fewest new findings in; -1 when all are gone.
func (w *walk) next(users [][]int) int {
	best, least := -1, 0
	for f := range w.gone {
		if w.gone[f] {
			continue
		}
		if n := w.fresh(f, users[f])<<16 + w.left[f]; best < 0 || n < least {
			best, least = f, n
		}
	}
	return best
}

// fresh counts the findings that have to enter before f can leave.
func (w *walk) fresh(f int, users []int) int {
	w.stamp++
	n := 0
	count := func(g int) {
		if !w.in[g] && w.mark[g] != w.stamp {
			w.mark[g] = w.stamp
			n++
		}
	}
	count(f)
	for _, c := range users {
		if !w.done[c] {
			for _, k := range w.l.links[c] {
				count(k.gate)
			}
		}
	}
	return n
}

// cause is the cause, among those given, that brings the fewest new findings in; -1 when none is left.
func (w *walk) cause(among []int) int {
	best, least := -1, 0
	for _, c := range among {
		if w.done[c] {
			continue
		}
		n := 0
		for _, k := range w.l.links[c] {
			if !w.in[k.gate] {
				n++
			}
		}
		if best < 0 || n < least {
			best, least = c, n
		}
	}
	return best
}

func (w *walk) add(o op) {
	o.size = 1 << min(len(w.place), 62)
	w.cost += float64(o.size) * float64(1+len(o.bits))
	w.ops = append(w.ops, o)
}

func (w *walk) enter(f int) {
	w.add(op{kind: enter, who: f, bit: len(w.place)})
	w.place = append(w.place, f)
	w.in[f] = true
}

func (w *walk) sum(c int) {
	for _, k := range w.l.links[c] {
		if !w.in[k.gate] {
			w.enter(k.gate)
		}
	}
	var bits []int
	for _, k := range w.l.links[c] {
		bits = append(bits, slices.Index(w.place, k.gate))
		w.left[k.gate]--
	}
	w.add(op{kind: sum, who: c, bits: bits})
	w.done[c] = true
	w.clear()
}

// clear takes out the findings that no cause to come can produce.
func (w *walk) clear() {
	for f := range w.gone {
		if w.in[f] && !w.gone[f] && w.left[f] == 0 {
			bit := slices.Index(w.place, f)
			w.add(op{kind: leave, who: f, bit: bit})
			w.place = slices.Delete(w.place, bit, bit+1)
			w.gone[f] = true
		}
	}
}
