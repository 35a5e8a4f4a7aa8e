package wear

import "math"

// descent is a point of the search with what is known of the curvature there.
type descent struct {
	x      vector
	cost   float64
	inv    [figures][figures]float64 // inverse of the second derivatives
	scale  vector                    // standard deviations of the figures one by one; 0 = fixed
	cov    [figures][figures]float64 // covariance of the posterior, where it was worked out
	rounds int
	done   bool
	why    string
}

const (
	maxRounds = 80
	renew     = 6    // rounds after which the curvature is measured anew while the slope is steep
	flat      = 1e-2 // slope per standard deviation at which the search ends: the cost is then within 1e-4 of its minimum
)

// descend goes downhill by the method of Broyden, Fletcher, Goldfarb and Shanno with a halving line search (Nocedal & Wright, Numerical
// Optimization, 2nd ed., ch. 6); slopes are central differences. from hands over the curvature of an earlier descent.
func (f *fitter) descend(start vector, from *descent) descent {
	d := descent{x: start}
	f.calibrate(d.x)
	d.cost = f.cost(d.x)
	if math.IsInf(d.cost, 0) {
		d.why = "the start lies outside of what is possible"
		return d
	}
	if from != nil {
		d.inv, d.scale = from.inv, from.scale
	} else {
		f.measure(&d)
	}
	g := f.slope(&d)
	for d.rounds < maxRounds {
		if s := steep(&d, g); s < flat || f.coarse && s < 4*flat {
			d.done, d.why = true, "the maximum was reached"
			return d
		}
		d.rounds++
		step, ok := f.step(&d, g)
		if !ok {
			d.done = steep(&d, g) < 0.1
			d.why = "no step leads further up"
			return d
		}
		f.calibrate(d.x)
		d.cost = f.cost(d.x)
		if d.rounds%renew == 0 && steep(&d, g) > 1 { // still far off: what was learnt of the curvature on the way belongs elsewhere
			d.inv = [figures][figures]float64{}
			f.measure(&d)
			g = f.slope(&d)
			continue
		}
		next := f.slope(&d)
		d.update(step, g, next)
		g = next
	}
	d.why = "the allowed number of steps was used up"
	return d
}

// steep is the largest slope per standard deviation.
func steep(d *descent, g vector) float64 {
	most := 0.0
	for i := range g {
		most = max(most, math.Abs(g[i])*math.Sqrt(max(d.inv[i][i], 0)))
	}
	return most
}

// measure sets the scale of each figure from its second difference, and the first curvature from that.
func (f *fitter) measure(d *descent) {
	for i := range d.x {
		if f.sd[i] == 0 {
			continue
		}
		h := 0.05 * f.sd[i]
		curv := 0.0
		for range 3 { // narrow the difference to about the width of the hill
			hi, lo := d.x, d.x
			hi[i] += h
			lo[i] -= h
			curv = (f.cost(hi) + f.cost(lo) - 2*d.cost) / (h * h)
			if !(curv*h*h > 0.5) {
				break
			}
			h = 0.5 / math.Sqrt(curv)
		}
		d.scale[i] = f.sd[i]
		if curv > 1/(f.sd[i]*f.sd[i]) && !math.IsInf(curv, 0) {
			d.scale[i] = 1 / math.Sqrt(curv)
		}
		d.inv[i][i] = d.scale[i] * d.scale[i]
	}
}

// slope is the gradient at d by central differences.
func (f *fitter) slope(d *descent) vector {
	var g vector
	for i := range d.x {
		if d.scale[i] == 0 {
			continue
		}
		h := 0.03 * d.scale[i]
		hi, lo := d.x, d.x
		hi[i] += h
		lo[i] -= h
		g[i] = (f.cost(hi) - f.cost(lo)) / (2 * h)
		if math.IsNaN(g[i]) || math.IsInf(g[i], 0) {
			g[i] = 0
		}
	}
	return g
}

// step moves d downhill and returns the move; ok is false where even a tiny one leads up.
func (f *fitter) step(d *descent, g vector) (move vector, ok bool) {
	var dir vector
	along := 0.0
	for i := range dir {
		for j := range g {
			dir[i] -= d.inv[i][j] * g[j]
		}
		if d.scale[i] > 0 { // never further than a few prior spreads at once
			dir[i] = max(-1.5*f.sd[i], min(1.5*f.sd[i], dir[i]))
		}
		along += dir[i] * g[i]
	}
	if !(along < 0) {
		for i := range dir {
			dir[i] = -d.scale[i] * d.scale[i] * g[i]
		}
	}
	for t := 1.0; t > 1e-4; t *= 0.4 {
		x := d.x
		for i := range x {
			move[i] = t * dir[i]
			x[i] += move[i]
		}
		if c := f.cost(x); c < d.cost+1e-4*t*min(along, 0) {
			d.x = x
			return move, true
		}
	}
	return move, false
}

// update takes the change of slope along a step into the inverse curvature.
func (d *descent) update(step, before, after vector) {
	var y, hy vector
	sy, yhy := 0.0, 0.0
	for i := range y {
		y[i] = after[i] - before[i]
		sy += step[i] * y[i]
	}
	if !(sy > 1e-10) {
		return
	}
	for i := range hy {
		for j := range y {
			hy[i] += d.inv[i][j] * y[j]
		}
		yhy += y[i] * hy[i]
	}
	for i := range y {
		for j := range y {
			d.inv[i][j] += (1+yhy/sy)*step[i]*step[j]/sy - (hy[i]*step[j]+step[i]*hy[j])/sy
		}
	}
}

// doubt is how uncertain New, LogRate and Bend are at the end of a descent: the inverse of the matrix of second differences (Laplace's
// approximation), never more than the prior's own doubt.
func (f *fitter) doubt(d *descent) Doubt {
	var h [figures][figures]float64
	for i := range d.x {
		if d.scale[i] == 0 {
			h[i][i] = 1
			continue
		}
		e := 0.2 * d.scale[i]
		hi, lo := *d, *d
		hi.x[i] += e
		lo.x[i] -= e
		a, b := f.slope(&hi), f.slope(&lo)
		for j := range d.x {
			if d.scale[j] > 0 {
				v := (a[j] - b[j]) / (4 * e)
				h[i][j] += v
				h[j][i] += v
			}
		}
	}
	inv, ok := invert(h)
	for i := range d.x {
		if d.scale[i] == 0 {
			inv[i] = [figures]float64{}
		}
	}
	if ok {
		d.cov = inv
	}
	sd := func(i int) float64 {
		if f.sd[i] == 0 {
			return 0
		}
		if !ok || !(inv[i][i] > 0) || math.IsInf(inv[i][i], 0) {
			return min(f.sd[i], d.scale[i])
		}
		return min(f.sd[i], math.Sqrt(inv[i][i])) // an infinite one ends here too
	}
	return Doubt{New: sd(atNew), LogRate: sd(atLogRate), Bend: sd(atBend)}
}

// invert inverts a positive definite matrix by Gauss-Jordan elimination; ok is false where a pivot is not positive.
func invert(h [figures][figures]float64) (inv [figures][figures]float64, ok bool) {
	for i := range inv {
		inv[i][i] = 1
	}
	for i := range h {
		p := h[i][i]
		if !(p > 0) || math.IsInf(p, 0) {
			return inv, false
		}
		for j := range h {
			h[i][j] /= p
			inv[i][j] /= p
		}
		for k := range h {
			if k == i {
				continue
			}
			m := h[k][i]
			for j := range h {
				h[k][j] -= m * h[i][j]
				inv[k][j] -= m * inv[i][j]
			}
		}
	}
	return inv, true
}
