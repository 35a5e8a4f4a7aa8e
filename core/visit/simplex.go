package visit

import (
	"math"
	"slices"
)

// simplex is a primal revised simplex method with an explicit inverse of the basis: minimise cost*x subject to A x = rhs, x >= 0, where
// columns and rows are added as the search goes on. Source: Dantzig & Orchard-Hays, Mathematical Tables and Other Aids to Computation 8
// (1954) 64 (product form; here the inverse is kept whole, as there are only some hundred rows).
//
// Nothing that is proven rests on its figures: a bound is worked out anew from its prices, whatever they are.
type simplex struct {
	m       int
	inv     []float64 // m x m
	basis   []int     // column in each row's place
	x       []float64 // value of each basic column
	rhs     []float64
	cols    []column
	where   []int // place of each column in the basis, -1
	price   []float64
	dir     []float64
	few     []int // columns that were worth bringing in a moment ago, with what they gained
	gain    [fewest]float64
	exact   bool // the prices were worked out from scratch
	pivots  int  // since the inverse was last worked out from scratch
	trouble bool
}

// column is a variable: its rows, its entries there, its cost. A barred one may not come in.
type column struct {
	rows   []int
	vals   []float64
	cost   float64
	barred bool
}

// newSimplex begins with one column for each row that stands alone in it with the entry 1.
func newSimplex(rhs, cost []float64) *simplex {
	m := len(rhs)
	s := &simplex{m: m, rhs: slices.Clone(rhs), x: slices.Clone(rhs), inv: make([]float64, m*m), price: make([]float64, m), dir: make([]float64, m)}
	for i := range m {
		s.inv[i*m+i] = 1
		s.add(column{rows: []int{i}, vals: []float64{1}, cost: cost[i]})
		s.where[i] = i
		s.basis = append(s.basis, i)
	}
	return s
}

// add puts a column in and returns its number.
func (s *simplex) add(c column) int {
	s.cols = append(s.cols, c)
	s.where = append(s.where, -1)
	return len(s.cols) - 1
}

// addRow adds sum(entries) + slack - over = rhs, where going over costs dear, and returns the column of the slack; that of over is the next.
func (s *simplex) addRow(entries map[int]float64, rhs, dear float64) int {
	m, r := s.m, s.m
	inv := make([]float64, (m+1)*(m+1))
	for i := range m {
		copy(inv[i*(m+1):], s.inv[i*m:(i+1)*m])
	}
	have := 0.0
	row := inv[m*(m+1):]
	for i, c := range s.basis {
		if a := entries[c]; a != 0 {
			have += a * s.x[i]
			for k := range m {
				row[k] -= a * s.inv[i*m+k]
			}
		}
	}
	row[m] = 1
	for c := range s.cols {
		if a := entries[c]; a != 0 {
			s.cols[c].rows = append(s.cols[c].rows, r)
			s.cols[c].vals = append(s.cols[c].vals, a)
		}
	}
	s.m, s.inv, s.rhs = m+1, inv, append(s.rhs, rhs)
	s.price, s.dir = append(s.price, 0), append(s.dir, 0)
	slack := s.add(column{rows: []int{r}, vals: []float64{1}})
	over := s.add(column{rows: []int{r}, vals: []float64{-1}, cost: dear})
	in, value := slack, rhs-have
	if value < 0 {
		in, value = over, -value
		for k := range row[:m+1] {
			row[k] = -row[k]
		}
	}
	s.basis, s.x = append(s.basis, in), append(s.x, value)
	s.where[in] = r
	return slack
}

// solve walks to the cheapest vertex and returns its cost; s.price holds the rows' prices. Columns that are in the basis though barred are
// as dear as `dear` makes them.
func (s *simplex) solve(dear float64) float64 {
	s.prices(dear)
	s.few = s.few[:0]
	for iter := 0; iter <= 50*(s.m+50); iter++ {
		in, gain := s.entering()
		if in < 0 {
			if s.exact {
				break
			}
			s.prices(dear) // what updating has worn off may hide a column
			continue
		}
		out := s.ratio(in)
		if out < 0 {
			s.trouble = true
			break
		}
		s.pivot(in, out)
		if s.pivots >= max(120, s.m) {
			if !s.refresh() {
				s.trouble = true
				break
			}
			s.prices(dear)
			continue
		}
		for k, a := range s.inv[out*s.m : (out+1)*s.m] {
			s.price[k] += gain * a
		}
		s.exact = false
	}
	s.prices(dear)
	sum := 0.0
	for i, c := range s.basis {
		sum += s.costOf(c, dear) * s.x[i]
	}
	return sum
}

// fewest is how many columns are looked at again before all are.
const fewest = 24

// entering gives the column that is to come in and its reduced cost: the best of a few that were good a moment ago, else of all; -1 for none.
func (s *simplex) entering() (int, float64) {
	if in, r := s.best(s.few); in >= 0 {
		return in, r
	}
	s.few = s.few[:0]
	worst := 0.0 // of those that stand in few
	for c := range s.cols {
		col := &s.cols[c]
		if s.where[c] >= 0 || col.barred {
			continue
		}
		r := s.reduced(col)
		if r >= -1e-9*max(1, 1e-3*math.Abs(col.cost)) || len(s.few) == fewest && r >= worst {
			continue
		}
		s.keep(c, r)
		worst = s.gain[len(s.few)-1]
	}
	if len(s.few) == 0 {
		return -1, 0
	}
	return s.few[0], s.gain[0]
}

// keep puts a column among the few, which are in order of their reduced costs.
func (s *simplex) keep(c int, r float64) {
	if len(s.few) < fewest {
		s.few = append(s.few, c)
	}
	i := len(s.few) - 1
	for ; i > 0 && s.gain[i-1] > r; i-- {
		s.few[i], s.gain[i] = s.few[i-1], s.gain[i-1]
	}
	s.few[i], s.gain[i] = c, r
}

// best is the one of some columns with the least reduced cost, if that is below nothing.
func (s *simplex) best(columns []int) (int, float64) {
	in, least := -1, 0.0
	for _, c := range columns {
		col := &s.cols[c]
		if s.where[c] >= 0 || col.barred {
			continue
		}
		if r := s.reduced(col); r < least && r < -1e-9*max(1, 1e-3*math.Abs(col.cost)) {
			in, least = c, r
		}
	}
	return in, least
}

func (s *simplex) costOf(c int, dear float64) float64 {
	if s.cols[c].barred {
		return s.cols[c].cost + dear
	}
	return s.cols[c].cost
}

// prices works out cost_B * inverse.
func (s *simplex) prices(dear float64) {
	clear(s.price)
	s.exact = true
	for i, c := range s.basis {
		k := s.costOf(c, dear)
		if k == 0 {
			continue
		}
		row := s.inv[i*s.m : (i+1)*s.m]
		for r, a := range row {
			s.price[r] += k * a
		}
	}
}

func (s *simplex) reduced(c *column) float64 {
	r := c.cost
	for k, row := range c.rows {
		r -= s.price[row] * c.vals[k]
	}
	return r
}

// ratio finds the place that the column takes, -1 if it meets no bound.
func (s *simplex) ratio(in int) int {
	c := &s.cols[in]
	for i := range s.m {
		d := 0.0
		row := s.inv[i*s.m : (i+1)*s.m]
		for k, r := range c.rows {
			d += row[r] * c.vals[k]
		}
		s.dir[i] = d
	}
	// Two passes: the least ratio with a little slack, then the largest entry among those within it.
	limit := math.Inf(1)
	for i, d := range s.dir {
		if d > 1e-9 {
			limit = min(limit, (s.x[i]+1e-10)/d)
		}
	}
	out, size := -1, 0.0
	for i, d := range s.dir {
		if d > 1e-9 && s.x[i]/d <= limit && d > size {
			out, size = i, d
		}
	}
	return out
}

func (s *simplex) pivot(in, out int) {
	m, d := s.m, s.dir[out]
	step := max(0, s.x[out]/d)
	row := s.inv[out*m : (out+1)*m]
	for k := range row {
		row[k] /= d
	}
	for i := range m {
		f := s.dir[i]
		if i == out || f == 0 {
			continue
		}
		s.x[i] = max(0, s.x[i]-step*f)
		dst := s.inv[i*m : (i+1)*m]
		for k, a := range row {
			dst[k] -= f * a
		}
	}
	s.x[out] = step
	s.where[s.basis[out]] = -1
	s.basis[out], s.where[in] = in, out
	s.pivots++
}

// refresh works the inverse out from scratch by Gauss-Jordan elimination in place, with row exchange; false if the basis has become
// singular.
func (s *simplex) refresh() bool {
	m := s.m
	a := make([]float64, m*m)
	for i, c := range s.basis {
		for k, r := range s.cols[c].rows {
			a[r*m+i] = s.cols[c].vals[k]
		}
	}
	from := make([]int, m) // row that was exchanged into each place
	for c := range m {
		best := c
		for i := c + 1; i < m; i++ {
			if math.Abs(a[i*m+c]) > math.Abs(a[best*m+c]) {
				best = i
			}
		}
		if math.Abs(a[best*m+c]) < 1e-11 {
			return false
		}
		from[c] = best
		if best != c {
			x, y := a[c*m:(c+1)*m], a[best*m:(best+1)*m]
			for k := range x {
				x[k], y[k] = y[k], x[k]
			}
		}
		eliminate(a, m, c)
	}
	// Rows that were exchanged before are columns of the inverse that are exchanged after, last first.
	for c := m - 1; c >= 0; c-- {
		if k := from[c]; k != c {
			for i := range m {
				a[i*m+c], a[i*m+k] = a[i*m+k], a[i*m+c]
			}
		}
	}
	copy(s.inv, a)
	for i := range m {
		v := 0.0
		for k, r := range s.rhs {
			v += a[i*m+k] * r
		}
		s.x[i] = max(0, v)
	}
	s.pivots = 0
	return true
}

// eliminate clears column c of all rows but its own and leaves the inverse's column in its place.
func eliminate(a []float64, m, c int) {
	row := a[c*m : (c+1)*m]
	d := 1 / row[c]
	row[c] = 1
	for k := range row {
		row[k] *= d
	}
	for i := range m {
		f := a[i*m+c]
		if i == c || f == 0 {
			continue
		}
		dst := a[i*m : (i+1)*m]
		dst[c] = 0
		for k, v := range row {
			dst[k] -= f * v
		}
	}
}
