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
	pivots  int // since the inverse was last worked out from scratch
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
	for iter := 0; ; iter++ {
		s.prices(dear)
		in, worst := -1, -1e-9
		for c := range s.cols {
			if s.where[c] >= 0 || s.cols[c].barred {
				continue
			}
			if r := s.reduced(&s.cols[c]); r < worst*max(1, 1e-3*math.Abs(s.cols[c].cost)) {
				in, worst = c, r
			}
		}
		if in < 0 || iter > 50*(s.m+50) {
			break
		}
		out := s.ratio(in)
		if out < 0 {
			s.trouble = true
			break
		}
		s.pivot(in, out)
		if s.pivots >= 120 && !s.refresh() {
			s.trouble = true
			break
		}
	}
	sum := 0.0
	for i, c := range s.basis {
		sum += s.costOf(c, dear) * s.x[i]
	}
	return sum
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

// refresh works the inverse out from scratch by Gauss-Jordan elimination with row exchange; false if the basis has become singular.
func (s *simplex) refresh() bool {
	m := s.m
	w := 2 * m
	a := make([]float64, m*w)
	for i, c := range s.basis {
		for k, r := range s.cols[c].rows {
			a[r*w+i] = s.cols[c].vals[k]
		}
	}
	for i := range m {
		a[i*w+m+i] = 1
	}
	for c := range m {
		best := c
		for i := c + 1; i < m; i++ {
			if math.Abs(a[i*w+c]) > math.Abs(a[best*w+c]) {
				best = i
			}
		}
		if math.Abs(a[best*w+c]) < 1e-11 {
			return false
		}
		if best != c {
			for k := range w {
				a[c*w+k], a[best*w+k] = a[best*w+k], a[c*w+k]
			}
		}
		eliminate(a, w, m, c)
	}
	for i := range m {
		copy(s.inv[i*m:(i+1)*m], a[i*w+m:(i+1)*w])
		v := 0.0
		for k, r := range s.rhs {
			v += s.inv[i*m+k] * r
		}
		s.x[i] = max(0, v)
	}
	s.pivots = 0
	return true
}

func eliminate(a []float64, w, m, c int) {
	row := a[c*w : (c+1)*w]
	d := row[c]
	for k := range row {
		row[k] /= d
	}
	for i := range m {
		f := a[i*w+c]
		if i == c || f == 0 {
			continue
		}
		dst := a[i*w : (i+1)*w]
		for k, v := range row {
			dst[k] -= f * v
		}
	}
}
