package life

import "math"

// Between the rows the posterior is interpolated where the distribution of a quantile of life needs it: mu + z*sigma moves with
// sigma, and where it moves by more than a row is wide from one row to the next, the rows alone would make a staircase. Rows are
// alike once shifted and scaled, so mass, centre and spread are interpolated over six rows, and the shape over four.

// fine is a point on a row or between two.
type fine struct {
	boxed                bool    // whether the points may be too few
	rows                 [4]*row // that it is interpolated from, only the first when it lies on that
	weight               [4]float64
	share, centre, scale float64 // mass as share of all, mean and standard deviation over mu
	shift                float64 // z*sigma
}

// fineMost is into how many parts the distance of two rows is cut at most; beyond, a box is laid over each part.
const fineMost = 32

// refine lists the points for the distribution of mu + z*sigma. It takes every stride-th row.
func (g *grid) refine(z float64, stride int) []fine {
	rows := make([]*row, 0, len(g.rows)/stride+1)
	for i := 0; i < len(g.rows); i += stride {
		if g.rows[i].mass > 0 {
			rows = append(rows, &g.rows[i])
		}
	}
	parts := fineParts(rows, z)
	out := make([]fine, 0, len(rows)*parts)
	total := 0.0
	for i, r := range rows {
		for k := range parts {
			if i == len(rows)-1 && k > 0 {
				break
			}
			f := fine{boxed: parts == fineMost, rows: [4]*row{r}, weight: [4]float64{1}, share: r.mass, centre: r.mean, scale: r.spread, shift: z * r.sigma}
			if k > 0 {
				f.interpolate(rows, float64(i)+float64(k)/float64(parts), z)
			}
			total += f.share
			out = append(out, f)
		}
	}
	for i := range out {
		out[i].share /= total
	}
	return out
}

// fineParts says into how many parts rows are cut for a staircase under 1e-7: the trapezoid rule over steps of d standard deviations
// of a normal density errs by exp(-2*(pi/d)^2).
func fineParts(rows []*row, z float64) int {
	total := 0.0
	for _, r := range rows {
		total += r.mass
	}
	most := 1.0
	for i := 1; i < len(rows); i++ {
		a, b := rows[i-1], rows[i]
		share := math.Max(a.mass, b.mass) / total
		if share < 1e-6 {
			continue
		}
		d := math.Abs(b.mean+z*b.sigma-a.mean-z*a.sigma) / math.Min(a.spread, b.spread)
		if !(d < 1e9) {
			return fineMost
		}
		most = math.Max(most, d/(0.8*math.Pi*math.Sqrt(2/math.Log(share/1e-7))))
	}
	return int(math.Ceil(math.Min(most, fineMost)))
}

// lagrange gives the first of n rows (fewer where there are fewer) about a place x among all rows, and their weights.
func lagrange(all, n int, x float64, weight []float64) (first, last int) {
	n = min(n, all)
	first = max(0, min(int(x)+1-n/2, all-n))
	for j := range n {
		c := 1.0
		for k := range n {
			if k != j {
				c *= (x - float64(first+k)) / float64(j-k)
			}
		}
		weight[j] = c
	}
	return first, first + n
}

// interpolate sets a point at a place between the rows; what is positive is interpolated in logarithms.
func (f *fine) interpolate(rows []*row, x, z float64) {
	var c [6]float64
	share, centre, scale, w := 0.0, 0.0, 0.0, 0.0
	first, last := lagrange(len(rows), len(c), x, c[:])
	for j, r := range rows[first:last] {
		share += c[j] * r.logMass
		centre += c[j] * r.mean
		scale += c[j] * r.logSpread
		w += c[j] * r.w
	}
	f.share, f.centre, f.scale, f.shift = exp(share), centre, exp(scale), z*exp(w)
	f.weight = [4]float64{}
	first, last = lagrange(len(rows), len(f.rows), x, f.weight[:])
	copy(f.rows[:], rows[first:last])
}

// cdf gives the distribution function and density of mu + z*sigma at y.
func (g *grid) cdf(points []fine, y float64) (share, density float64) {
	before := 0.0
	for i := range points {
		f := &points[i]
		u := (y - f.shift - f.centre) / f.scale
		after := u
		if i+1 < len(points) {
			n := &points[i+1]
			after = (y - n.shift - n.centre) / n.scale
		}
		if i == 0 {
			before = u
		}
		s, d := g.spread(f, u, math.Abs(after-before)/2)
		before = u
		share += f.share * s
		density += f.share * d / f.scale
	}
	return share, density
}

// spread is the standardised distribution of a point averaged over a box as wide as u moves from point to point, where that is so wide
// that the points make a staircase.
func (g *grid) spread(f *fine, u, width float64) (share, density float64) {
	const reach, tight, wide = 9, 0.5, 20
	switch {
	case u < -reach-width/2:
		return 0, 0
	case u > reach+width/2:
		return 1, 0
	case !f.boxed || width <= tight:
		return g.standard(f, u)
	case width > wide:
		return math.Min(1, math.Max(0, u/width+0.5)), 1 / width
	}
	n := 1 + int(width/0.8)
	for k := range n {
		s, d := g.standard(f, u+width*((float64(k)+0.5)/float64(n)-0.5))
		share, density = share+s/float64(n), density+d/float64(n)
	}
	return share, density
}

// standard is the distribution over (mu - mean)/spread at a point.
func (g *grid) standard(f *fine, u float64) (share, density float64) {
	for i, r := range f.rows {
		if c := f.weight[i]; c != 0 {
			m, d := g.below(r, r.mean+u*r.spread)
			share += c * m / r.mass
			density += c * d * r.spread / r.mass
		}
	}
	return math.Min(1, math.Max(0, share)), math.Max(0, density)
}
