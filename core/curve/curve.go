// Package curve reads a printed table of two columns as a line through its rows, both ways.
//
// Straight pieces between the rows keep the table's order: what only rises in the table only rises here, nothing
// overshoots, and the inverse of the inverse is the value that was put in.
package curve

// Point is one row of a table.
type Point struct{ X, Y float64 }

// Curve is a table with X rising from row to row. The zero value answers nothing.
type Curve []Point

// At gives the line's Y at x. It is false outside the table and for not-a-number: nothing is extrapolated.
func (c Curve) At(x float64) (float64, bool) {
	n := len(c)
	if n == 0 || !(x >= c[0].X && x <= c[n-1].X) {
		return 0, false
	}
	lo, hi := 0, n-1
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; c[mid].X <= x {
			lo = mid
		} else {
			hi = mid
		}
	}
	return between(c[lo].X, c[lo].Y, c[hi].X, c[hi].Y, x), true
}

// Clamped is At with the end rows' values outside the table; 0 for an empty curve.
func (c Curve) Clamped(x float64) float64 {
	n := len(c)
	switch {
	case n == 0:
		return 0
	case !(x > c[0].X):
		return c[0].Y
	case x >= c[n-1].X:
		return c[n-1].Y
	}
	y, _ := c.At(x)
	return y
}

// Find gives the X at which the line passes y, for a table whose Y only rises or only falls. It is false outside.
func (c Curve) Find(y float64) (float64, bool) {
	n := len(c)
	if n == 0 {
		return 0, false
	}
	first, last := c[0].Y, c[n-1].Y
	rising := last >= first
	if !(y >= min(first, last) && y <= max(first, last)) {
		return 0, false
	}
	lo, hi := 0, n-1
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; (c[mid].Y <= y) == rising {
			lo = mid
		} else {
			hi = mid
		}
	}
	return between(c[lo].Y, c[lo].X, c[hi].Y, c[hi].X, y), true
}

// between is exact at both ends, so that a printed row comes back as printed.
func between(x0, y0, x1, y1, x float64) float64 {
	switch {
	case x == x0 || x1 == x0:
		return y0
	case x == x1:
		return y1
	}
	return y0 + (y1-y0)*((x-x0)/(x1-x0))
}
