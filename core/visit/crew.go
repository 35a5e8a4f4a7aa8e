package visit

import "slices"

// crew improves plans by hand: it tears parts out of a plan and puts them back in better. Source: ruin and recreate, Schrimpf et al.,
// Journal of Computational Physics 159 (2000) 139. Its chance comes from a fixed seed, so the same problem gives the same plan.
type crew struct {
	b    *board
	seed uint64
	paid []bool
	jobs [][]int // of each visit
	cost []float64
	at   []int
	out  []int // jobs that stand nowhere
}

func newCrew(b *board) *crew {
	return &crew{b: b, seed: 0x9E3779B97F4A7C15, paid: make([]bool, b.k), jobs: make([][]int, b.m), cost: make([]float64, b.m), at: make([]int, b.n)}
}

// draw gives a number from 0 to n-1: the generator splitmix64, Steele, Lea & Flood, OOPSLA 2014.
func (c *crew) draw(n int) int {
	c.seed += 0x9E3779B97F4A7C15
	z := c.seed
	z = (z ^ z>>30) * 0xBF58476D1CE4E5B9
	z = (z ^ z>>27) * 0x94D049BB133111EB
	return int((z ^ z>>31) % uint64(n))
}

// cost is what a plan costs, prices aside, and whether it is one.
func (b *board) cost(at []int, paid []bool) (float64, bool) {
	sum := 0.0
	for j, v := range at {
		if v < 0 || !b.ok[v*b.n+j] {
			return 0, false
		}
	}
	for v, jobs := range b.byVisit(at) {
		if len(jobs) == 0 {
			continue
		}
		c, fits := b.together(v, jobs, paid)
		if !fits {
			return 0, false
		}
		sum += c
	}
	return sum, true
}

func (b *board) byVisit(at []int) [][]int {
	jobs := make([][]int, b.m)
	for j, v := range at {
		if v >= 0 {
			jobs[v] = append(jobs[v], j)
		}
	}
	return jobs
}

// begin looks for a first plan.
func (c *crew) begin(nd *node, t *tree) {
	at := make([]int, c.b.n)
	for j := range at {
		at[j] = -1
	}
	c.improve(at, t, 40+6*c.b.n)
}

// set takes a plan over; what does not fit is put out.
func (c *crew) set(at []int) {
	c.out = c.out[:0]
	for v := range c.jobs {
		c.jobs[v], c.cost[v] = c.jobs[v][:0], 0
	}
	for j, v := range at {
		c.at[j] = -1
		if v < 0 || !c.put(j, v) {
			c.out = append(c.out, j)
		}
	}
}

// put puts a job in a visit if it may stand there and fits.
func (c *crew) put(j, v int) bool {
	if !c.b.ok[v*c.b.n+j] {
		return false
	}
	jobs := append(c.jobs[v], j)
	cost, fits := c.b.together(v, jobs, c.paid)
	if !fits {
		return false
	}
	c.jobs[v], c.cost[v], c.at[j] = jobs, cost, v
	return true
}

// take takes a job out of its visit.
func (c *crew) take(j int) {
	v := c.at[j]
	i := slices.Index(c.jobs[v], j)
	c.jobs[v] = slices.Delete(c.jobs[v], i, i+1)
	c.cost[v] = 0
	if len(c.jobs[v]) > 0 {
		c.cost[v], _ = c.b.together(v, c.jobs[v], c.paid)
	}
	c.at[j] = -1
	c.out = append(c.out, j)
}

// total is what the plan costs; every job that stands nowhere costs more than any plan.
func (c *crew) total() float64 {
	sum := float64(len(c.out)) * (1 + c.b.worst)
	for _, x := range c.cost {
		sum += x
	}
	return sum
}

// improve makes a plan as good as it can in so many rounds and offers it to the tree.
func (c *crew) improve(at []int, t *tree, rounds int) {
	c.set(at)
	c.fill(0)
	c.polish()
	best, cost := slices.Clone(c.at), c.total()
	for range rounds {
		if t.stopped() {
			break
		}
		c.ruin()
		c.fill(c.draw(3))
		c.polish()
		if x := c.total(); x < cost-1e-9 {
			copy(best, c.at)
			cost = x
		} else {
			c.set(best)
		}
	}
	t.offer(best)
}

// ruin takes all jobs out of one to three visits, or some jobs at random.
func (c *crew) ruin() {
	b := c.b
	if c.draw(3) == 0 {
		for range 1 + b.n/6 {
			if j := c.draw(b.n); c.at[j] >= 0 {
				c.take(j)
			}
		}
		return
	}
	for range 1 + c.draw(3) {
		v := c.draw(b.m)
		for len(c.jobs[v]) > 0 {
			c.take(c.jobs[v][0])
		}
	}
}

// fill puts jobs that stand nowhere back, first the one that would lose most by waiting. With noise, some visits are overlooked.
func (c *crew) fill(noise int) {
	b := c.b
	for len(c.out) > 0 {
		job, to, most := -1, -1, -1.0
		for i, j := range c.out {
			first, second, v1 := 2*(1+b.worst), 2*(1+b.worst), -1
			for v := range b.m {
				if !b.ok[v*b.n+j] || noise > 0 && c.draw(8) < noise {
					continue
				}
				cost, fits := b.together(v, append(c.jobs[v], j), c.paid)
				if !fits {
					continue
				}
				if d := cost - c.cost[v]; d < first {
					first, second, v1 = d, first, v
				} else if d < second {
					second = d
				}
			}
			if v1 >= 0 && second-first > most {
				job, to, most = i, v1, second-first
			}
		}
		if job < 0 {
			return
		}
		j := c.out[job]
		c.out = slices.Delete(c.out, job, job+1)
		c.put(j, to)
	}
}

// polish moves single jobs, and jobs with those that share a set-up with them, as long as that helps.
func (c *crew) polish() {
	for better := true; better; {
		better = false
		for j := range c.b.n {
			if c.at[j] >= 0 && (c.shift([]int{j}) || c.swap(j)) {
				better = true
			}
		}
		for v := range c.b.m {
			for s := range c.b.k {
				var group []int
				for _, j := range c.jobs[v] {
					if slices.Contains(c.b.need[j], s) {
						group = append(group, j)
					}
				}
				if len(group) > 1 && c.shift(group) {
					better = true
				}
			}
			if len(c.jobs[v]) > 1 && c.shift(slices.Clone(c.jobs[v])) {
				better = true
			}
		}
	}
}

// without is a list less some of its members.
func without(list, less []int) []int {
	out := make([]int, 0, len(list))
	for _, j := range list {
		if !slices.Contains(less, j) {
			out = append(out, j)
		}
	}
	return out
}

// shift moves jobs that stand together to the visit where they are best, if that is cheaper.
func (c *crew) shift(group []int) bool {
	b, from := c.b, c.at[group[0]]
	rest := without(c.jobs[from], group)
	less := 0.0
	if len(rest) > 0 {
		less, _ = b.together(from, rest, c.paid)
	}
	saved := c.cost[from] - less
	to, best, at := -1, saved-1e-9, 0.0
	for v := range b.m {
		if v == from || !c.allowed(v, group) {
			continue
		}
		cost, fits := b.together(v, append(c.jobs[v], group...), c.paid)
		if fits && cost-c.cost[v] < best {
			to, best, at = v, cost-c.cost[v], cost
		}
	}
	if to < 0 {
		return false
	}
	c.jobs[from], c.cost[from] = rest, less
	c.jobs[to], c.cost[to] = append(c.jobs[to], group...), at
	for _, j := range group {
		c.at[j] = to
	}
	return true
}

func (c *crew) allowed(v int, group []int) bool {
	for _, j := range group {
		if !c.b.ok[v*c.b.n+j] {
			return false
		}
	}
	return true
}

// swap exchanges the job with the first one of another visit where that is cheaper.
func (c *crew) swap(j int) bool {
	b, v := c.b, c.at[j]
	for k := j + 1; k < b.n; k++ {
		w := c.at[k]
		if w < 0 || w == v || !b.ok[w*b.n+j] || !b.ok[v*b.n+k] {
			continue
		}
		here, there := without(c.jobs[v], []int{j}), without(c.jobs[w], []int{k})
		here, there = append(here, k), append(there, j)
		x, fits := b.together(v, here, c.paid)
		if !fits || x >= c.cost[v]+c.cost[w] {
			continue
		}
		y, fits := b.together(w, there, c.paid)
		if fits && x+y < c.cost[v]+c.cost[w]-1e-9 {
			c.jobs[v], c.cost[v], c.jobs[w], c.cost[w] = here, x, there, y
			c.at[j], c.at[k] = w, v
			return true
		}
	}
	return false
}
