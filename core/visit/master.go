package visit

import "math"

// set is a column of the formulation: jobs done together at a visit.
type set struct {
	v    int
	jobs []int
	cost float64 // prices aside
	col  int     // in the simplex
}

// cut says that of three jobs at most one set may hold two or more: each job is done once, so two such sets would share a job.
// Source: subset-row inequalities, Jepsen, Petersen, Spoorendonk & Pisinger, Operations Research 56 (2008) 497.
type cut struct {
	jobs  [3]int
	slack int // its column in the simplex
	price float64
}

// master is the linear programme over the sets found so far: each job in a set, at most one set a visit.
type master struct {
	b     *board
	lp    *simplex
	pool  []set
	known map[string]bool
	cuts  []cut
	dear  float64 // cost of leaving a job out
	value []float64
	rents []float64 // price of each visit's row, at most its slack's cost
	cutsP []float64
}

func newMaster(b *board) *master {
	ms := &master{b: b, known: map[string]bool{}, dear: 50 * (1 + b.worst), value: make([]float64, b.n), rents: make([]float64, b.m)}
	rhs, cost := make([]float64, b.n+b.m), make([]float64, b.n+b.m)
	for i := range rhs {
		// A right-hand side that is a little off, differently in each row, keeps the method from walking on the spot.
		_, f := math.Modf(float64(i+1) * 0.6180339887498949)
		rhs[i] = 1 + 1e-6*(0.2+f)
		if i < b.n {
			cost[i] = ms.dear
		}
	}
	ms.lp = newSimplex(rhs, cost)
	for j := range b.n {
		ms.lp.add(column{rows: []int{j}, vals: []float64{-1}})
	}
	return ms
}

// addSet puts a set into the programme unless it is there.
func (ms *master) addSet(v int, jobs []int, cost float64) bool {
	key := make([]byte, 0, 2+2*len(jobs))
	key = append(key, byte(v), byte(v>>8))
	for _, j := range jobs {
		key = append(key, byte(j), byte(j>>8))
	}
	if ms.known[string(key)] {
		return false
	}
	ms.known[string(key)] = true
	c := column{cost: cost}
	for _, j := range jobs {
		c.rows, c.vals = append(c.rows, j), append(c.vals, 1)
	}
	c.rows, c.vals = append(c.rows, ms.b.n+v), append(c.vals, 1)
	for r, x := range ms.cuts {
		if x.hit(jobs) {
			c.rows, c.vals = append(c.rows, ms.b.n+ms.b.m+r), append(c.vals, 1)
		}
	}
	ms.pool = append(ms.pool, set{v, jobs, cost, ms.lp.add(c)})
	return true
}

func (c cut) hit(jobs []int) bool {
	n := 0
	for _, j := range jobs {
		if j == c.jobs[0] || j == c.jobs[1] || j == c.jobs[2] {
			n++
		}
	}
	return n >= 2
}

// addCut puts a cut into the programme.
func (ms *master) addCut(jobs [3]int) {
	c := cut{jobs: jobs}
	entries := map[int]float64{}
	for _, s := range ms.pool {
		if c.hit(s.jobs) {
			entries[s.col] = 1
		}
	}
	c.slack = ms.lp.addRow(entries, 1+1e-6*0.37, ms.dear)
	ms.cuts = append(ms.cuts, c)
	ms.cutsP = append(ms.cutsP, 0)
}

// enter makes the programme that of a node: sets that the node forbids are barred, and an open visit is paid even when empty.
func (ms *master) enter(nd *node) {
	n := ms.b.n
	for i := range ms.pool {
		s := &ms.pool[i]
		barred := nd.shut[s.v]
		for _, j := range s.jobs {
			barred = barred || !nd.ok[s.v*n+j]
		}
		ms.lp.cols[s.col].barred = barred
	}
	for v := range ms.b.m {
		ms.lp.cols[n+v].cost = 0
		if nd.open[v] {
			ms.lp.cols[n+v].cost = ms.b.fixed[v]
		}
	}
}

// solve finds the prices of the present programme.
func (ms *master) solve() {
	n, m := ms.b.n, ms.b.m
	ms.lp.solve(ms.dear)
	for j := range n {
		ms.value[j] = max(0, ms.lp.price[j])
	}
	for v := range m {
		ms.rents[v] = ms.lp.price[n+v]
	}
	for c := range ms.cuts {
		ms.cutsP[c] = max(0, -ms.lp.price[n+m+c])
	}
}

// weight is a set's share in the programme's solution.
func (ms *master) weight(s *set) float64 {
	if p := ms.lp.where[s.col]; p >= 0 {
		return ms.lp.x[p]
	}
	return 0
}
