package visit

import (
	"math"
	"slices"
)

// node is a part of the plans: those in which each job stands where it may, and the open visits are paid.
type node struct {
	ok    []bool // ok[v*n+j]: job j may go to visit v
	open  []bool // paid whether used or not
	shut  []bool
	bound float64 // no plan of this part costs less, prices aside
	depth int
	id    int
}

func (nd *node) child() *node {
	return &node{ok: slices.Clone(nd.ok), open: slices.Clone(nd.open), shut: slices.Clone(nd.shut), bound: nd.bound, depth: nd.depth + 1}
}

// tighten draws the conclusions: a job that may go to one visit only takes its room there, and what no longer fits beside is forbidden.
// It returns false when a job has no visit left or what must be together does not fit.
func (nd *node) tighten(b *board) bool {
	paid := make([]bool, b.k)
	for changed := true; changed; {
		changed = false
		fixed := make([][]int, b.m)
		for j := range b.n {
			at, many := -1, 0
			for v := range b.m {
				if nd.ok[v*b.n+j] {
					at = v
					many++
				}
			}
			if many == 0 {
				return false
			}
			if many == 1 {
				fixed[at] = append(fixed[at], j)
			}
		}
		for v, jobs := range fixed {
			if len(jobs) == 0 {
				continue
			}
			nd.open[v] = true
			if _, fits := b.together(v, jobs, paid); !fits {
				return false
			}
			for j := range b.n {
				if !nd.ok[v*b.n+j] || slices.Contains(jobs, j) {
					continue
				}
				if _, fits := b.together(v, append(jobs[:len(jobs):len(jobs)], j), paid); !fits {
					nd.ok[v*b.n+j] = false
					changed = true
				}
			}
		}
	}
	return true
}

// only is the one plan of a node in which every job has one visit left.
func (nd *node) only(b *board) []int {
	at := make([]int, b.n)
	for j := range at {
		for v := range b.m {
			if nd.ok[v*b.n+j] {
				at[j] = v
			}
		}
	}
	return at
}

// settle leaves exactly these jobs to a visit.
func (nd *node) settle(b *board, v int, jobs []int) {
	clear(nd.ok[v*b.n : (v+1)*b.n])
	for _, j := range jobs {
		for w := range b.m {
			nd.ok[w*b.n+j] = w == v
		}
	}
	nd.open[v] = true
}

// close forbids everything at a visit.
func (nd *node) close(b *board, v int) {
	nd.shut[v] = true
	clear(nd.ok[v*b.n : (v+1)*b.n])
}

// relax finds the node's bound by column generation. It returns false when the node holds no plan that is cheaper than the best known.
func (t *tree) relax(nd *node) bool {
	b, ms := t.b, t.ms
	if !nd.tighten(b) {
		return false
	}
	ms.enter(nd)
	t.picker.setCuts(ms.cuts)
	centre := &prices{bound: math.Inf(-1)}
	for round := 0; round < 2000 && !t.stopped(); round++ {
		ms.solve()
		real := &prices{value: ms.value, cuts: ms.cutsP}
		mixed := real
		if centre.value != nil && round > 1 {
			mixed = real.towards(centre, 0.6)
		}
		fresh := t.generate(nd, mixed)
		if t.picker.aborted {
			return false
		}
		if mixed.bound > centre.bound {
			centre = mixed.clone()
		}
		if fresh == 0 && mixed != real {
			fresh = t.generate(nd, real)
			if t.picker.aborted {
				return false
			}
			if real.bound > centre.bound {
				centre = real.clone()
			}
		}
		nd.bound = max(nd.bound, centre.bound)
		if t.beaten(nd.bound) {
			if nd.depth == 0 && t.at == nil {
				t.against = centre.valued()
			}
			return false
		}
		if fresh == 0 {
			break
		}
	}
	t.last = centre
	return true
}

// prices are what the bound is worked out from: a value for each job and a price for each cut.
type prices struct {
	value, cuts []float64
	bound       float64
	part        []float64 // what each visit adds to the bound
}

// valued are the jobs that have a value. Without the others the bound is no less, so a proof that there is no plan holds for these alone.
func (p *prices) valued() []int {
	var jobs []int
	for j, u := range p.value {
		if u > 1e-9 {
			jobs = append(jobs, j)
		}
	}
	return jobs
}

func (p *prices) clone() *prices {
	return &prices{slices.Clone(p.value), slices.Clone(p.cuts), p.bound, slices.Clone(p.part)}
}

// towards lies between p and c, with weight w on c. A cut that c has not seen had no price there.
func (p *prices) towards(c *prices, w float64) *prices {
	q := &prices{value: make([]float64, len(p.value)), cuts: make([]float64, len(p.cuts))}
	for i := range q.value {
		q.value[i] = w*c.value[i] + (1-w)*p.value[i]
	}
	for i := range q.cuts {
		q.cuts[i] = (1 - w) * p.cuts[i]
		if i < len(c.cuts) {
			q.cuts[i] += w * c.cuts[i]
		}
	}
	return q
}

// generate works out the bound of the prices and puts the sets into the programme that would make it cheaper; it returns how many.
//
// The bound holds for any values u >= 0 of jobs and any prices s >= 0 of cuts: sum(u) - sum(s) + over the visits the least of nothing and
// (cost - u + s) over the sets that fit (Lagrangian relaxation; Geoffrion, Mathematical Programming Study 2 (1974) 82).
func (t *tree) generate(nd *node, p *prices) int {
	b, ms := t.b, t.ms
	fresh := 0
	p.bound = 0
	p.part = make([]float64, b.m)
	for _, u := range p.value {
		p.bound += u
	}
	for _, s := range p.cuts {
		p.bound -= s
	}
	gross := p.bound
	for v := range b.m {
		if nd.shut[v] {
			continue
		}
		floor := b.fixed[v]
		if nd.open[v] {
			floor = 0
		}
		best := t.picker.pick(v, nd.ok, p.value, p.cuts, floor, -1)
		p.part[v] = b.fixed[v] - best
		p.bound += p.part[v]
		for _, jobs := range t.picker.found {
			cost, _ := b.together(v, jobs, t.paid)
			if t.reduced(v, jobs, cost) < -1e-8*max(1, cost) && ms.addSet(v, jobs, cost) {
				fresh++
			}
		}
		gross += math.Abs(p.part[v])
	}
	p.bound -= 1e-14 * gross // what rounding may have added
	return fresh
}

// reduced is the reduced cost of a set at the programme's prices.
func (t *tree) reduced(v int, jobs []int, cost float64) float64 {
	r := cost - t.ms.rents[v]
	for _, j := range jobs {
		r -= t.ms.value[j]
	}
	for c := range t.ms.cuts {
		if t.ms.cutsP[c] > 0 && t.ms.cuts[c].hit(jobs) {
			r += t.ms.cutsP[c]
		}
	}
	return r
}

// fix forbids what no cheaper plan can hold: a job at a visit for which the bound with any set that holds it reaches the best known cost.
func (t *tree) fix(nd *node) {
	b, p := t.b, t.last
	if math.IsInf(t.best, 1) {
		return
	}
	target := t.best - t.tolerance()
	t.picker.any = true
	for v := range b.m {
		if nd.shut[v] || t.stopped() {
			continue
		}
		floor := b.fixed[v] + p.bound - p.part[v] - target
		for j := range b.n {
			if nd.ok[v*b.n+j] && t.picker.pick(v, nd.ok, p.value, p.cuts, floor, j) <= floor && !t.picker.aborted {
				nd.ok[v*b.n+j] = false
			}
		}
		if !slices.Contains(nd.ok[v*b.n:(v+1)*b.n], true) && !nd.open[v] {
			nd.shut[v] = true
		}
		if !nd.open[v] && p.part[v] < 0 && p.bound-p.part[v] >= target {
			nd.open[v] = true
		}
	}
	t.picker.any = false
}
