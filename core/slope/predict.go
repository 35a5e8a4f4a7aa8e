package slope

import "math"

// back turns (intercept, slope) of the frame into those of the readings, but for the height.
func (d *data) back() matrix { return matrix{{1, -d.centre / d.spread}, {0, 1 / d.spread}} }

// estimate takes the minimum out of the frame.
func (d *data) estimate(f found, o Options) Estimate {
	c := over(nil, 0, d.n, o)
	e := Estimate{Groups: len(d.groups), N: d.n}
	e.Sigma = d.height * math.Sqrt(f.state.rss/c.nu)
	line := f.cov.basis.on(f.state.line)
	slope := (d.tilt + d.height*line[1]) / d.spread
	e.Fixed = [2]float64{d.level + d.height*line[0] - slope*d.centre, slope}
	back := d.back()
	e.FixedCov = f.state.a.inverse().seenFrom(back.times(f.cov.basis)).scaled(e.Sigma * e.Sigma).full()
	factor := back.times(f.cov.factor())
	if o.Uncorrelated { // without the detour by the frame, which would leave rounding beside the diagonal
		factor = matrix{{f.cov.l[0], 0}, {0, f.cov.l[2] * f.cov.basis[1][1] / d.spread}}
	}
	g := factor.square().scaled(e.Sigma * e.Sigma)
	e.VarIntercept, e.Cov, e.VarSlope = g.a, g.b, g.c
	e.Singular = f.cov.l[0] == 0 || f.cov.l[2] == 0
	e.LogLik = -(f.state.value + c.nu*(1+math.Log(2*math.Pi)+2*math.Log(d.height))) / 2
	if c.restricted {
		e.LogLik -= math.Log(d.spread) // ln det A is that of the readings' own x
	}
	return e
}

// lines predicts each group's line: with K = R*F the mean of (u0, u1) is F*(I + K'K)^-1 * K'*(z - R*line), and the covariance of the error of
// line plus that is sigma2 * (F*(I + K'K)^-1*F' + J*A^-1*J'), J = I - F*(I + K'K)^-1*K'*R. Laird & Ware 1982, section 3; the second term is the
// uncertainty of the mean line (Henderson's mixed model equations).
func (d *data) lines(in [][]Point, f found, e Estimate) []Line {
	back, factor := d.back(), f.cov.factor()
	line, ainv := f.cov.basis.on(f.state.line), f.state.a.inverse().seenFrom(f.cov.basis)
	out := make([]Line, len(in))
	next := 0
	for i, points := range in {
		var g group
		if len(points) > 0 {
			g = d.groups[next]
			next++
		}
		r := matrix{{g.r1, g.r12}, {0, g.r2}}
		k := r.times(factor)
		kk := k.turned().square()
		dk := k[0][0]*k[1][1] - k[0][1]*k[1][0]
		within := symmetric{1 + kk.c, -kk.b, 1 + kk.a}.scaled(1 / (1 + kk.a + kk.c + dk*dk))
		gain := factor.times(within.full()).times(k.turned())
		fit := r.on(line)
		u := back.on(gain.on([2]float64{g.z1 - fit[0], g.z2 - fit[1]}))
		j := gain.times(r)
		j = matrix{{1 - j[0][0], -j[0][1]}, {-j[1][0], 1 - j[1][1]}}
		cov := within.seenFrom(factor).plus(ainv.seenFrom(j)).seenFrom(back).scaled(e.Sigma * e.Sigma)
		out[i] = Line{Mean: [2]float64{e.Fixed[0] + d.height*u[0], e.Fixed[1] + d.height*u[1]}, Cov: cov.full()}
	}
	return out
}
