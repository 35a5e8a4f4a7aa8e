package visit

import (
	"cmp"
	"math"
	"slices"
)

// tree is the search.
type tree struct {
	b       *board
	o       Options
	ms      *master
	picker  *picker
	crew    *crew
	paid    []bool
	last    *prices // of the node that was relaxed last
	best    float64 // cost of the best plan, prices aside; +Inf for none
	at      []int
	open    queue
	nodes   int
	next    int
	halt    bool
	anyPlan bool  // the first plan is enough
	against []int // jobs that cannot all be placed, where the first node's bound has proven it
}

// queue holds nodes, the one with the greatest bound first, so that the next one is at the end.
type queue []*node

func order(x, y *node) int {
	return cmp.Or(cmp.Compare(y.bound, x.bound), cmp.Compare(x.depth, y.depth), cmp.Compare(y.id, x.id))
}

func (q *queue) push(nd *node) {
	i, _ := slices.BinarySearchFunc(*q, nd, order)
	*q = slices.Insert(*q, i, nd)
}

func (q *queue) pop() *node {
	last := len(*q) - 1
	nd := (*q)[last]
	*q = (*q)[:last]
	return nd
}

func newTree(b *board, o Options) *tree {
	t := &tree{b: b, o: o, ms: newMaster(b), picker: newPicker(b), paid: make([]bool, b.k), best: math.Inf(1)}
	t.crew = newCrew(b)
	t.picker.halt = t.stopped
	return t
}

func (t *tree) stopped() bool {
	if !t.halt && t.o.Stop != nil {
		t.halt = t.o.Stop()
	}
	return t.halt
}

// tolerance is how far below the best plan a bound may lie and still prove it.
func (t *tree) tolerance() float64 { return 1e-9 * max(1, math.Abs(t.best+t.b.base)) }

// beaten says that a part with this bound holds no better plan; before the first plan, that it holds none.
func (t *tree) beaten(bound float64) bool {
	if math.IsInf(t.best, 1) {
		return bound > t.b.worst*(1+1e-9)+1e-6
	}
	return bound >= t.best-t.tolerance()
}

// offer takes a plan if it is the best so far.
func (t *tree) offer(at []int) {
	cost, ok := t.b.cost(at, t.paid)
	if ok && cost < t.best {
		t.best, t.at = cost, slices.Clone(at)
		for v, jobs := range t.b.byVisit(at) {
			if len(jobs) > 0 {
				c, _ := t.b.together(v, jobs, t.paid)
				t.ms.addSet(v, jobs, c)
			}
		}
	}
}

// run searches until the proof is complete or the search is stopped, and returns the lower bound.
func (t *tree) run() float64 {
	b := t.b
	root := &node{ok: slices.Clone(b.ok), open: make([]bool, b.m), shut: make([]bool, b.m)}
	if root.tighten(b) {
		t.crew.begin(root, t)
		if t.at == nil && !t.anyPlan && !t.findAny() {
			return math.Inf(1)
		}
		t.open.push(root)
	}
	lost := math.Inf(1) // least bound among the nodes that were given up halfway
	for len(t.open) > 0 {
		nd := t.open.pop()
		if t.beaten(nd.bound) {
			continue
		}
		if t.anyPlan && t.at != nil {
			break
		}
		if t.stopped() || t.o.Nodes > 0 && t.nodes >= t.o.Nodes {
			lost = min(lost, nd.bound)
			break
		}
		t.nodes++
		for _, c := range t.expand(nd) {
			t.next++
			c.id = t.next
			t.open.push(c)
		}
		if t.halt {
			lost = min(lost, nd.bound)
		}
		if t.o.Progress != nil {
			t.o.Progress(t.bound(lost)+b.base, t.best+b.base)
		}
	}
	return t.bound(lost)
}

// findAny looks for any plan, whatever it costs, where none has been found yet: without costs, that is soon decided. It returns false
// where it is proven that there is none.
func (t *tree) findAny() bool {
	f := newTree(t.b.bare(), Options{Nodes: t.o.Nodes, Stop: t.o.Stop})
	f.anyPlan = true
	low := f.run()
	t.against = f.against
	if f.at != nil {
		t.crew.improve(f.at, t, 12)
		return true
	}
	return f.halt || !math.IsInf(low, 1)
}

// bound is what no plan can cost less than.
func (t *tree) bound(lost float64) float64 {
	low := min(t.best, lost)
	if len(t.open) > 0 {
		low = min(low, t.open[len(t.open)-1].bound)
	}
	return low
}

// expand finds a node's bound and divides it.
func (t *tree) expand(nd *node) []*node {
	if !t.relax(nd) || t.halt {
		return nil
	}
	t.round()
	if t.beaten(nd.bound) || t.anyPlan && t.at != nil {
		return nil
	}
	for pass := 0; pass < 12 && t.separate(); pass++ {
		if !t.relax(nd) || t.halt {
			return nil
		}
		t.round()
		if t.beaten(nd.bound) {
			return nil
		}
	}
	if t.nodes%diveEvery == 1 {
		t.dive(nd.child())
		if t.halt || t.beaten(nd.bound) || !t.relax(nd) {
			return nil
		}
	}
	t.fix(nd)
	if !nd.tighten(t.b) {
		return nil
	}
	return t.divide(nd)
}

// round makes a plan out of the programme's solution.
func (t *tree) round() {
	type share struct {
		s *set
		x float64
	}
	var used []share
	for i := range t.ms.pool {
		if x := t.ms.weight(&t.ms.pool[i]); x > 1e-5 {
			used = append(used, share{&t.ms.pool[i], x})
		}
	}
	slices.SortStableFunc(used, func(a, c share) int { return cmp.Compare(c.x, a.x) })
	at := make([]int, t.b.n)
	for j := range at {
		at[j] = -1
	}
	taken := make([]bool, t.b.m)
	for _, u := range used {
		if taken[u.s.v] {
			continue
		}
		taken[u.s.v] = true
		for _, j := range u.s.jobs {
			if at[j] < 0 {
				at[j] = u.s.v
			}
		}
	}
	t.crew.improve(at, t, 12)
}

// divide splits a node in two: by a visit that is half used, else by a job that is spread over several visits.
func (t *tree) divide(nd *node) []*node {
	b := t.b
	used := make([]float64, b.m)
	where := make([]float64, b.m*b.n)
	for i := range t.ms.pool {
		s := &t.ms.pool[i]
		x := t.ms.weight(s)
		if x < 1e-9 {
			continue
		}
		used[s.v] += x
		for _, j := range s.jobs {
			where[s.v*b.n+j] += x
		}
	}
	pick, most := -1, 0.05
	for v, y := range used {
		if h := min(y, 1-y); !nd.open[v] && !nd.shut[v] && h > most {
			pick, most = v, h
		}
	}
	if pick >= 0 {
		closed, open := nd.child(), nd.child()
		closed.close(b, pick)
		open.open[pick] = true
		return []*node{open, closed}
	}
	// A job's visits are cut in two groups in order of time, with as near half its weight in each as can be.
	job, from, score := -1, 0, -1.0
	for j := range b.n {
		left, first := 0.0, true
		total := 0.0
		for v := range b.m {
			total += where[v*b.n+j]
		}
		for v := range b.m {
			if !nd.ok[v*b.n+j] {
				continue
			}
			if !first {
				if h := min(left, total-left); h > score {
					job, from, score = j, v, h
				}
			}
			first = false
			left += where[v*b.n+j]
		}
	}
	if job < 0 {
		t.offer(nd.only(b)) // every job has one visit left: there is one plan
		return nil
	}
	early, late := nd.child(), nd.child()
	for v := range b.m {
		if v < from {
			late.ok[v*b.n+job] = false
		} else {
			early.ok[v*b.n+job] = false
		}
	}
	return []*node{early, late}
}
