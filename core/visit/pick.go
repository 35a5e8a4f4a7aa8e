package visit

import (
	"cmp"
	"slices"
)

// picker finds the set of jobs that is worth most at one visit when each job done has a value: the sub-problem of the column
// formulation, a knapsack with shared set-ups, solved exactly by depth-first search. It keeps its memory between calls.
type picker struct {
	b       *board
	items   []item
	rate    float64     // price of one unit of labour in the bound
	paid    []int       // how many chosen jobs need each set-up
	rest    [][]float64 // for each depth, bound on what the items from i on can add
	hits    []int       // members of each cut that are chosen
	chosen  []int       // places in items
	best    float64
	found   [][]int // sets of jobs, each better than the one before
	cuts    []cut
	inCut   [][]int // cuts of each job
	room    int
	limit   float64
	lost    float64 // price of the cuts that the chosen set breaks into
	load    []float64
	users   [][]user // items that need each set-up
	steps   int
	halt    func() bool
	any     bool // the first set above the floor is enough
	aborted bool // the search was given up
}

// item is a job that is worth something at the visit.
type item struct {
	job   int
	worth float64
	work  int
	left  float64   // what is left of the worth after labour and its shares of set-ups
	share []float64 // what it pays in the bound for each of its set-ups
}

// user is an item that needs a set-up, and the set-up's place in the item's list.
type user struct{ item, place int }

func newPicker(b *board) *picker {
	p := &picker{b: b, paid: make([]int, b.k), load: make([]float64, b.k), users: make([][]user, b.k)}
	p.rest = make([][]float64, b.n+1)
	for i := range p.rest {
		p.rest[i] = make([]float64, b.n+2)
	}
	p.inCut = make([][]int, b.n)
	return p
}

// setCuts gives the cuts whose prices count.
func (p *picker) setCuts(cuts []cut) {
	p.cuts, p.hits = cuts, make([]int, len(cuts))
	for j := range p.inCut {
		p.inCut[j] = p.inCut[j][:0]
	}
	for c, x := range cuts {
		for _, j := range x.jobs {
			p.inCut[j] = append(p.inCut[j], c)
		}
	}
}

// pick looks for the set of allowed jobs at visit v, with the job `must` among them unless it is -1, for which
// value[j] - penalty, less set-ups and prices of cuts, is greatest and above floor. It returns that greatest net value, floor if no set
// is above it. The sets are left in p.found, the best one last; the visit's fixed cost is not in the value.
func (p *picker) pick(v int, ok []bool, value, cutPrice []float64, floor float64, must int) float64 {
	b := p.b
	p.best, p.found, p.chosen, p.lost = floor, p.found[:0], p.chosen[:0], 0
	clear(p.paid)
	clear(p.hits)
	p.room, p.limit = b.room[v], b.budget[v]-b.fixed[v]
	for c := range p.cuts {
		p.cuts[c].price = cutPrice[c]
	}
	n := 0
	for j := range b.n {
		if !ok[v*b.n+j] || j == must {
			continue
		}
		if w := value[j] - b.pen[v][j]; w > 0 {
			if n == len(p.items) {
				p.items = append(p.items, item{})
			}
			it := &p.items[n]
			it.job, it.worth, it.work = j, w, b.work[j]
			n++
		}
	}
	all := p.items
	p.items = p.items[:n]
	start := 0.0
	if must >= 0 {
		start = value[must] - b.pen[v][must]
		p.room -= b.work[must]
		p.limit -= b.price[must]
		for _, s := range b.need[must] {
			p.paid[s]++
			start -= b.setCost[s]
			p.room -= b.setWork[s]
			p.limit -= b.setPay[s]
		}
		for _, c := range p.inCut[must] {
			p.hits[c]++
		}
	}
	if p.room >= 0 && p.limit >= 0 {
		p.bound(p.room, start)
		if must >= 0 && start > p.best {
			p.keep(start, must)
		}
		p.search(0, 0, start, p.room, p.limit, must)
	}
	p.items = all
	return p.best
}

// bound chooses the price of labour and the shares of set-ups so that the bound at the root is low, and orders the items.
func (p *picker) bound(room int, start float64) {
	top := 0.0
	for i := range p.items {
		if it := &p.items[i]; it.work > 0 {
			top = max(top, it.worth/float64(it.work))
		}
	}
	for s := range p.users {
		p.users[s] = p.users[s][:0]
	}
	for i := range p.items {
		for q, s := range p.b.need[p.items[i].job] {
			p.users[s] = append(p.users[s], user{i, q})
		}
	}
	// The bound is nearly convex in the price of labour: narrow it in thirds.
	lo, hi := 0.0, top
	p.rate = 0
	best := p.spread(0, room)
	for range 9 {
		a, c := lo+(hi-lo)/3, hi-(hi-lo)/3
		fa, fc := p.spread(a, room), p.spread(c, room)
		if fa < best {
			best, p.rate = fa, a
		}
		if fc < best {
			best, p.rate = fc, c
		}
		if fa <= fc {
			hi = c
		} else {
			lo = a
		}
	}
	p.spread(p.rate, room)
	slices.SortFunc(p.items, func(x, y item) int {
		if c := cmp.Compare(y.left, x.left); c != 0 {
			return c
		}
		if c := cmp.Compare(y.worth, x.worth); c != 0 {
			return c
		}
		return cmp.Compare(x.job, y.job)
	})
}

// spread divides the cost of each set-up that is not yet paid among the items that need it, in proportion to what is left of them,
// at a price of labour, and returns the bound that follows: for any set, room*rate plus what is left of its items is at least its
// value, as shares of a set-up never add up to more than its cost.
func (p *picker) spread(rate float64, room int) float64 {
	b := p.b
	for i := range p.items {
		it := &p.items[i]
		it.left = max(0, it.worth-rate*float64(it.work))
		it.share = it.share[:0]
		for range b.need[it.job] {
			it.share = append(it.share, 0)
		}
	}
	clear(p.load)
	for range 2 { // the second round hands out what the first could not place
		for s := range b.k {
			cost := b.setCost[s] + rate*float64(b.setWork[s]) - p.load[s]
			if p.paid[s] > 0 || cost <= 0 {
				continue
			}
			total := 0.0
			for _, u := range p.users[s] {
				total += p.items[u.item].left
			}
			if total == 0 {
				continue
			}
			part := min(1, cost/total)
			for _, u := range p.users[s] {
				it := &p.items[u.item]
				x := it.left * part
				it.share[u.place] += x
				it.left -= x
				p.load[s] += x
			}
		}
	}
	sum := rate * float64(room)
	for i := range p.items {
		sum += p.items[i].left
	}
	return sum
}

// search adds items from place i on to the chosen set of the given value.
func (p *picker) search(i, depth int, value float64, room int, limit float64, must int) {
	b := p.b
	p.steps++
	if p.steps&0xfff == 0 && p.halt != nil && p.halt() {
		p.aborted = true
	}
	if p.aborted {
		return
	}
	rest := p.rest[depth]
	sum := 0.0
	for t := len(p.items) - 1; t >= i; t-- {
		it := &p.items[t]
		gain, work := it.worth-p.rate*float64(it.work), it.work
		for q, s := range b.need[it.job] {
			if p.paid[s] == 0 {
				gain -= it.share[q]
				work += b.setWork[s]
			}
		}
		if gain > 0 && work <= room {
			sum += gain
		}
		rest[t] = sum
	}
	bound := value + p.rate*float64(room)
	for t := i; t < len(p.items); t++ {
		if bound+rest[t] <= p.best || p.any && len(p.found) > 0 {
			return
		}
		it := &p.items[t]
		gain, work, money := it.worth, it.work, b.price[it.job]
		for _, s := range b.need[it.job] {
			if p.paid[s] == 0 {
				gain -= b.setCost[s]
				work += b.setWork[s]
				money += b.setPay[s]
			}
		}
		if work > room || money > limit {
			continue
		}
		for _, c := range p.inCut[it.job] {
			if p.hits[c]++; p.hits[c] == 2 {
				gain -= p.cuts[c].price
			}
		}
		for _, s := range b.need[it.job] {
			p.paid[s]++
		}
		p.chosen = append(p.chosen, it.job)
		if value+gain > p.best {
			p.keep(value+gain, must)
		}
		if p.any && len(p.found) > 0 {
			return
		}
		p.search(t+1, depth+1, value+gain, room-work, limit-money, must)
		p.chosen = p.chosen[:len(p.chosen)-1]
		for _, s := range b.need[it.job] {
			p.paid[s]--
		}
		for _, c := range p.inCut[it.job] {
			p.hits[c]--
		}
	}
}

func (p *picker) keep(value float64, must int) {
	jobs := slices.Clone(p.chosen)
	if must >= 0 {
		jobs = append(jobs, must)
	}
	slices.Sort(jobs)
	p.best = value
	p.found = append(p.found, jobs)
}
