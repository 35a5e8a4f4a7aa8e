package slope

import "math"

// criterion is minus twice the profiled log-likelihood of a set of groups, up to a constant, as a function of the relative covariance
// M = G/sigma2 = F*F'. Sigma and the fixed line are at their best for that M.
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

// state is the criterion at one M.
type state struct {
	value float64
	a     symmetric  // information on the line, per sigma2
	line  [2]float64 // best fixed line, in the frame
	rss   float64
	pull  symmetric // derivative of the value by M
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

// at evaluates at M = f*f'. An M so large or small that the arithmetic fails has the value +Inf.
func (c criterion) at(f matrix) state {
	m := c.sum(f)
	s := state{a: symmetric{m.c, m.d, m.f}, value: math.Inf(1)}
	det := s.a.det()
	if !(det > 0) || math.IsInf(det, 0) {
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
		s.value += math.Log(det)
		s.pull = s.pull.plus(m.sandwich(inv).scaled(-1))
	}
	if math.IsNaN(s.value) {
		s.value = math.Inf(1)
	}
	return s
}

// sum goes through the groups once. Determinants and squares are sums of squares, so that nothing cancels however large M is:
// with K = R*f, det V = 1 + |K|^2 + (det K)^2 and det V * z'V^-1 z = |z|^2 + |z1*k2 - z2*k1|^2, k1 and k2 the rows of K.
func (c criterion) sum(f matrix) moments {
	var m moments
	product := 1.0
	for i := range c.groups {
		g := &c.groups[i]
		k11, k12 := g.r1*f[0][0]+g.r12*f[1][0], g.r1*f[0][1]+g.r12*f[1][1]
		k21, k22 := g.r2*f[1][0], g.r2*f[1][1]
		dk := g.r1 * g.r2 * (f[0][0]*f[1][1] - f[0][1]*f[1][0])
		one, two := k11*k11+k12*k12, k21*k21+k22*k22
		det := 1 + one + two + dk*dk
		inv := 1 / det
		if det > 1e150 {
			m.logDet += math.Log(det)
		} else if product *= det; product > 1e150 {
			m.logDet += math.Log(product)
			product = 1
		}
		e1, e2 := g.z1*k21-g.z2*k11, g.z1*k22-g.z2*k12
		p1, p2 := (g.z1+k21*e1+k22*e2)*inv, (g.z2-k11*e1-k12*e2)*inv
		m.q += (g.z1*g.z1 + g.z2*g.z2 + e1*e1 + e2*e2) * inv
		w, v := g.r1*p1, g.r12*p1+g.r2*p2
		v11, v12, v22 := (1+two)*inv, -(k11*k21+k12*k22)*inv, (1+one)*inv
		half := g.r12*v11 + g.r2*v12
		cc, d, ff := g.r1*g.r1*v11, g.r1*half, g.r12*half+g.r2*(g.r12*v12+g.r2*v22)
		m.add(cc, d, ff, w, v)
	}
	m.logDet += math.Log(product)
	return m
}

// add adds one group.
func (m *moments) add(c, d, f, w, v float64) {
	m.c += c
	m.d += d
	m.f += f
	m.w += w
	m.v += v
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
