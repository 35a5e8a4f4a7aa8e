package slope

import "math"

// criterion is minus twice the profiled log-likelihood of a set of groups, up to a constant, as a function of the relative covariance
// M = G/sigma2. Sigma and the fixed line are at their best for that M.
//
//	V_g = I + R_g*M*R_g',  A = sum of R'V^-1 R,  line = A^-1 * sum of R'V^-1 z,
//	rss = rest + sum of (z - R*line)'V^-1 (z - R*line),
//	value = sum of ln det V + nu*ln(rss/nu) [+ ln det A, restricted],  nu = n [- 2, restricted]
//
// Bates et al. 2015, equations 33 to 42.
type criterion struct {
	groups     []group
	rest, nu   float64
	restricted bool
}

// over builds the criterion over some groups with n readings altogether.
func over(groups []group, rest float64, n int, o Options) criterion {
	c := criterion{groups: groups, rest: rest, nu: float64(n), restricted: !o.ML}
	if c.restricted {
		c.nu -= 2
	}
	return c
}

// steep is the least determinant of A, relative to what it is the difference of, of which enough digits are left.
const steep = 1e-11

// state is the criterion at one M; a, line and pull as seen from the basis that splits it: there A is basis'*A*basis, the line basis^-1*line.
type state struct {
	value float64
	a     symmetric  // information on the line, per sigma2
	line  [2]float64 // best fixed line
	rss   float64
	pull  symmetric // derivative of the value by M
}

// noise is what rounding may do to the value.
func (s state) noise(c criterion) float64 {
	n := float64(len(c.groups)) + c.nu + math.Abs(s.value)
	if c.restricted {
		n += s.a.a * s.a.c / s.a.det()
	}
	return 1e-14 * n
}

// moments are the sums over the groups from which value and derivative follow: with C = R'V^-1 R = ((c, d), (d, f)) and w = R'V^-1 z.
type moments struct {
	logDet, q              float64
	c, d, f                float64
	w, v                   float64 // of the two elements of w
	ww, wv, vv             float64
	cw, dw, fw, cv, dv, fv float64
	cc, cd, dd, cf, df, ff float64
}

// at evaluates at one M. Where the arithmetic has not the digits for it the value is +Inf.
func (c criterion) at(cov covariance) state { return c.evaluate(cov, true) }

// value is at without the derivative.
func (c criterion) value(cov covariance) float64 { return c.evaluate(cov, false).value }

func (c criterion) evaluate(cov covariance, deep bool) state {
	basis, _ := cov.split()
	m := c.sum(basis, cov.l[0]*cov.l[0], cov.l[2]*cov.l[2], deep)
	s := state{a: symmetric{m.c, m.d, m.f}, value: math.Inf(1)}
	det := s.a.det()
	if !(det > steep*s.a.a*s.a.c) || math.IsInf(det, 0) {
		return s
	}
	inv := s.a.inverse()
	s.line = inv.full().on([2]float64{m.w, m.v})
	s.rss = c.rest + m.q - m.w*s.line[0] - m.v*s.line[1]
	if !(s.rss > 0) {
		return s
	}
	s.value = m.logDet + c.nu*math.Log(s.rss/c.nu)
	s.pull = s.a.plus(m.scatter(s.line).scaled(-c.nu / s.rss))
	if c.restricted {
		s.value += math.Log(det) - 2*math.Log(math.Abs(basis.det()))
		s.pull = s.pull.plus(m.sandwich(inv).scaled(-1))
	}
	if math.IsNaN(s.value) {
		s.value = math.Inf(1)
	}
	return s
}

// sum goes through the groups once, in a basis in which M has the diagonal p, q. With r and s the columns of R*basis, dot and cross products in
// the plane, and delta = r x s,
//
//	det V = 1 + p*r.r + q*s.s + p*q*delta^2,   C = ((r.r + q*delta^2, r.s), (., s.s + p*delta^2)) / det V,
//	w = (r.z + q*delta*(z x s), s.z + p*delta*(r x z)) / det V,   z'V^-1 z = (z.z + p*(r x z)^2 + q*(z x s)^2) / det V,
//
// from adj(I + X) = I + adj(X) for 2x2 matrices: sums of squares wherever a large M would make differences cancel.
func (c criterion) sum(basis matrix, p, q float64, deep bool) moments {
	var m moments
	product := 1.0
	turn := basis.det()
	for i := range c.groups {
		g := &c.groups[i]
		rx, ry := g.r1*basis[0][0]+g.r12*basis[1][0], g.r2*basis[1][0]
		sx, sy := g.r1*basis[0][1]+g.r12*basis[1][1], g.r2*basis[1][1]
		delta := g.r1 * g.r2 * turn
		rr, ss, dd := rx*rx+ry*ry, sx*sx+sy*sy, delta*delta
		det := 1 + p*rr + q*ss + p*q*dd
		inv := 1 / det
		if det > 1e150 {
			m.logDet += math.Log(det)
		} else if product *= det; product > 1e150 {
			m.logDet += math.Log(product)
			product = 1
		}
		zs, rz := g.z1*sy-g.z2*sx, rx*g.z2-ry*g.z1
		m.q += (g.z1*g.z1 + g.z2*g.z2 + p*rz*rz + q*zs*zs) * inv
		w := (rx*g.z1 + ry*g.z2 + q*delta*zs) * inv
		v := (sx*g.z1 + sy*g.z2 + p*delta*rz) * inv
		a, b, c := (rr+q*dd)*inv, (rx*sx+ry*sy)*inv, (ss+p*dd)*inv
		m.c += a
		m.d += b
		m.f += c
		m.w += w
		m.v += v
		if deep {
			m.add(a, b, c, w, v)
		}
	}
	m.logDet += math.Log(product)
	return m
}

// add adds what the derivative takes of one group.
func (m *moments) add(c, d, f, w, v float64) {
	m.ww += w * w
	m.wv += w * v
	m.vv += v * v
	m.cw += c * w
	m.dw += d * w
	m.fw += f * w
	m.cv += c * v
	m.dv += d * v
	m.fv += f * v
	m.cc += c * c
	m.cd += c * d
	m.dd += d * d
	m.cf += c * f
	m.df += d * f
	m.ff += f * f
}

// scatter is the sum of (w - C*b)(w - C*b)', minus the derivative of rss by M.
func (m *moments) scatter(b [2]float64) symmetric {
	p, q := b[0], b[1]
	return symmetric{
		m.ww - 2*(p*m.cw+q*m.dw) + p*p*m.cc + 2*p*q*m.cd + q*q*m.dd,
		m.wv - p*(m.dw+m.cv) - q*(m.fw+m.dv) + p*p*m.cd + p*q*(m.dd+m.cf) + q*q*m.df,
		m.vv - 2*(p*m.dv+q*m.fv) + p*p*m.dd + 2*p*q*m.df + q*q*m.ff,
	}
}

// sandwich is the sum of C*s*C; with s = A^-1 it is minus the derivative of ln det A by M.
func (m *moments) sandwich(s symmetric) symmetric {
	return symmetric{
		m.cc*s.a + 2*m.cd*s.b + m.dd*s.c,
		m.cd*s.a + (m.cf+m.dd)*s.b + m.df*s.c,
		m.dd*s.a + 2*m.df*s.b + m.ff*s.c,
	}
}
