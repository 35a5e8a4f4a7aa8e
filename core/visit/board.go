package visit

import "math"

// board is a checked problem as the search works on it. Prices are left out, as they are the same in every plan; money is what can be
// decided.
type board struct {
	n, m, k int // jobs, visits, set-ups
	fixed   []float64
	room    []int     // labour that fits in, for each visit
	budget  []float64 // +Inf for none
	setCost []float64
	setPay  []float64 // what a set-up takes of a budget: its cost
	setWork []int
	need    [][]int // set-ups of each job
	work    []int
	price   []float64
	pen     [][]float64 // of each visit, for each job
	ok      []bool      // job j may go to visit v: ok[v*n+j]
	base    float64     // sum of the prices
	worst   float64     // no plan costs more
}

func newBoard(p Problem) *board {
	b := &board{n: len(p.Jobs), m: len(p.Visits), k: len(p.Setups)}
	for _, s := range p.Setups {
		b.setCost, b.setWork = append(b.setCost, s.Cost), append(b.setWork, s.Labour)
	}
	b.setPay = b.setCost
	for _, j := range p.Jobs {
		b.need, b.work, b.price = append(b.need, j.Setups), append(b.work, j.Labour), append(b.price, j.Price)
		b.base += j.Price
	}
	b.ok = make([]bool, b.m*b.n)
	for v, x := range p.Visits {
		limit := math.Inf(1)
		if x.Budget > 0 {
			limit = x.Budget + slack(x.Budget)
		}
		b.fixed, b.room, b.budget = append(b.fixed, x.Fixed), append(b.room, x.Capacity), append(b.budget, limit)
		pen := make([]float64, b.n)
		for j, job := range p.Jobs {
			pen[j] = job.Penalty[v]
			b.ok[v*b.n+j] = (job.Pin < 0 || job.Pin == v) && !math.IsInf(pen[j], 1) && b.fitsAlone(j, v)
		}
		b.pen = append(b.pen, pen)
	}
	for j := range b.n {
		most := 0.0
		for v := range b.m {
			if b.ok[v*b.n+j] {
				most = max(most, b.alone(j, v))
			}
		}
		b.worst += most
	}
	return b
}

// bare is the same board with nothing to save: every plan costs nothing, so that all that counts is whether there is one. Budgets hold.
func (b *board) bare() *board {
	c := *b
	c.fixed, c.setCost, c.base, c.worst = make([]float64, b.m), make([]float64, b.k), 0, 0
	c.budget, c.pen = make([]float64, b.m), make([][]float64, b.m)
	for v := range b.m {
		c.budget[v] = b.budget[v] - b.fixed[v]
		c.pen[v] = make([]float64, b.n)
	}
	return &c
}

// slack is what a sum of money may pass a limit by, because sums of decimal fractions are not exact.
func slack(money float64) float64 { return 1e-9 * max(1, math.Abs(money)) }

// needs is the labour and the money of a job and its set-ups when nothing else is done at the visit.
func (b *board) needs(j int) (work int, money float64) {
	work, money = b.work[j], b.price[j]
	for _, s := range b.need[j] {
		work += b.setWork[s]
		money += b.setPay[s]
	}
	return work, money
}

func (b *board) fitsAlone(j, v int) bool {
	work, money := b.needs(j)
	return work <= b.room[v] && b.fixed[v]+money <= b.budget[v]
}

// alone is what doing only this job at the visit costs, its price aside.
func (b *board) alone(j, v int) float64 {
	_, money := b.needs(j)
	return money - b.price[j] + b.fixed[v] + b.pen[v][j]
}

// together is what a set of jobs costs at a visit, prices aside, and whether it fits there.
func (b *board) together(v int, jobs []int, paid []bool) (cost float64, fits bool) {
	clear(paid)
	work, money := 0, b.fixed[v]
	late := 0.0
	for _, j := range jobs {
		work += b.work[j]
		late += b.pen[v][j]
		money += b.price[j]
		for _, s := range b.need[j] {
			if !paid[s] {
				paid[s] = true
				work += b.setWork[s]
				money += b.setPay[s]
				late += b.setCost[s]
			}
		}
	}
	return b.fixed[v] + late, work <= b.room[v] && money <= b.budget[v]
}
